"""Every change at the table goes into the job book before the page says it is saved."""

from __future__ import annotations

import asyncio
import time
from collections.abc import Callable

from kit.bench.painter import later
from kit.bench.state import TableState
from kit.book import Book, ClashError, Revision
from kit.errors import BookError
from kit.job import Job

SETTLES_S = 0.4
"""Changes this close together, such as one drag, are kept as one."""
TRIES_AGAIN_S = 10.0
"""What could not be kept is tried again after this long."""


class Keeper:
    """Keep one job of the book up to date with the table.

    It never keeps over what another window has kept meanwhile: it says so and waits.

    Parameters
    ----------
    book : Book
    job, kept : Job, Revision
        The job as it was taken out of the book, and the revision that says it.
    said : callable
        Told after each attempt: None when it is kept, else why not.
    clock : callable
        Seconds that never run backwards.
    """

    def __init__(
        self,
        book: Book,
        job: Job,
        kept: Revision,
        said: Callable[[BookError | None], None],
        *,
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        self.kept = kept
        self.fault: BookError | None = None
        self._book = book
        self._job = job
        self._said = said
        self._clock = clock
        self._tried = 0.0
        self._timer: asyncio.TimerHandle | None = None

    @property
    def has_clashed(self) -> bool:
        """Whether another window kept the job, so that this one keeps it no more."""
        return isinstance(self.fault, ClashError)

    def follow(self, state: TableState) -> None:
        """Keep the job as soon as it has settled."""
        self.stop()
        if self.fault is not None or state.job != self._job:
            self._timer = later(SETTLES_S, lambda: self.keep(state))

    def stop(self) -> None:
        """Keep nothing that has not settled."""
        if self._timer is not None:
            self._timer.cancel()
            self._timer = None

    def keep(self, state: TableState) -> bool:
        """Keep the job now; whether it is in the book."""
        self.stop()
        self._tried = self._clock()
        job, fault = state.job, None
        if self.fault is None and job == self._job:
            return True
        try:
            self.kept = self._book.keep(
                job, job_id=self.kept.job_id, after=self.kept.number, total=state.total
            )
            self._job = job
        except BookError as error:
            fault = error
        self.fault = fault
        self._said(fault)
        return fault is None

    def look(self, state: TableState) -> None:
        """See whether another window kept the job, and try again what was not kept."""
        if self.has_clashed or self._timer is not None:
            return
        if self.fault is not None:
            if self._clock() - self._tried > TRIES_AGAIN_S:
                self.keep(state)
            return
        try:
            newest = self._book.newest(self.kept.job_id)
        except BookError:
            return  # to be told when there is something to keep
        if newest.number > self.kept.number:
            self.fault = ClashError("job", latest=newest, changed=())
            self._said(self.fault)

    def holds(self, job: Job) -> bool:
        """Whether this is the job as it was last kept from here."""
        return job == self._job
