"""Putting a job in the book, and saying so plainly when that fails."""

from __future__ import annotations

import sys

from kit.errors import BookError
from kit.job import Job, Workup


def keep(job: Job, answers: Workup, *, note: str, paper: bytes | None = None) -> None:
    """Keep the job in the book, and that its paper is out, if it is given.

    A book that cannot be written is told, not fatal.
    """
    from kit.book import Book, sent

    try:
        with Book() as book:
            kept = book.keep(
                job, job_id=book.find(job), note=note, total=answers.offer.total
            )
            if paper is not None:
                sent(
                    book, kept.job_id, paper,
                    job=job, total=answers.offer.total, cost=answers.bid.cost,
                )  # fmt: skip
    except BookError as error:
        print(f"not kept in the job book: {error}", file=sys.stderr)
