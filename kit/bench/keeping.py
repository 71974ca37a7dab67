"""Every change at the table goes into the job book before the page says it is saved."""

from __future__ import annotations

import asyncio
from collections.abc import Callable

from kit.bench.painter import later
from kit.bench.state import TableState
from kit.book import Book
from kit.errors import BookError
from kit.job import Job, blank_job

SETTLES_S = 0.4
"""Changes this close together, such as one drag, are kept as one."""
OPENED = "opened at the table"
"""Note of the revision that a sheet was opened as."""


def job_on_the_table(book: Book, job: Job) -> str:
    """Id of the job in the book for a sheet that is opened.

    If the sheet has not changed since it was last opened or proposed, the job stays
    as it was left; a changed sheet is the newest word, and becomes a revision of its
    own with its price.

    Raises
    ------
    KitError
        If the book cannot be written, or a sheet that is new to it cannot be priced.
    """
    job_id = book.find(job)
    if job_id is not None:
        # Only what comes from a sheet has a note; what is kept at the table has none.
        given = [r for r in book.history(job_id) if r.note]
        if given and book.at(job_id, given[-1].number) == job:
            return job_id
    total = TableState(job).total
    return book.keep(job, job_id=job_id, note=OPENED, total=total).job_id


def begin_blank(book: Book) -> str:
    """Begin a job with nothing measured, by the firm of the job last kept; give its id.

    Raises
    ------
    BookError
        If the book cannot be read or written.
    """
    jobs = book.jobs()
    firm = book.latest(jobs[0].job_id).firm if jobs else None
    return book.keep(blank_job(firm=firm)).job_id


class Keeper:
    """Keep one job of the book up to date with the table.

    Parameters
    ----------
    book : Book
    job_id : str
        The job in the book that is on the table.
    said : callable
        Told after each attempt: "" when it is kept, else why not.
    """

    def __init__(self, book: Book, job_id: str, said: Callable[[str], None]) -> None:
        self._book = book
        self._job_id = job_id
        self._said = said
        self._timer: asyncio.TimerHandle | None = None

    def follow(self, state: TableState) -> None:
        """Keep the job as soon as it has settled."""
        if self._timer is not None:
            self._timer.cancel()
        self._timer = later(SETTLES_S, lambda: self.keep(state))

    def keep(self, state: TableState) -> None:
        """Keep the job now."""
        try:
            self._book.keep(state.job, job_id=self._job_id, total=state.total)
        except BookError as error:
            self._said(error.line)
        else:
            self._said("")
