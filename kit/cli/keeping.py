"""Putting a job in the book, and saying so plainly when that fails."""

from __future__ import annotations

import sys

from kit.errors import BookError
from kit.job import Job, Workup


def keep(
    job: Job,
    answers: Workup,
    *,
    note: str,
    paper: bytes | None = None,
    number: int = 1,
    unsealed: bytes | None = None,
) -> None:
    """Keep the job in the book, and that its paper is out, if it is given.

    A book that cannot be written is told, not fatal.

    Parameters
    ----------
    job, answers : Job, Workup
    note : str
        Why it is kept.
    paper, unsealed : bytes, optional
        The file that was handed out, and the same before it was sealed, if it was.
    number : int
        Of the paper's revision, from 1.
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
                    number=number, unsealed=unsealed,
                )  # fmt: skip
    except BookError as error:
        print(f"not kept in the job book: {error}", file=sys.stderr)
