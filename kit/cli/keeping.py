"""Putting a job in the book, and saying so plainly when that fails."""

from __future__ import annotations

import sys

from kit.errors import BookError
from kit.job import Job, Workup


def keep(job: Job, answers: Workup, *, note: str, is_out: bool = False) -> None:
    """Keep the job in the book; a book that cannot be written is told, not fatal."""
    from kit.book import Book

    try:
        with Book() as book:
            kept = book.keep(
                job, job_id=book.find(job), note=note, total=answers.offer.total
            )
            if is_out:
                book.mark(kept.job_id, "out")
    except BookError as error:
        print(f"not kept in the job book: {error}", file=sys.stderr)
