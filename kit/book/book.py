"""The job book: append a state of a job, find it again, open any earlier one."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Mapping
from contextlib import AbstractContextManager, contextmanager
from datetime import UTC, datetime
from decimal import Decimal
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING, Self

from sqlalchemy import Connection, Engine

from kit.book import listing, queries
from kit.book.appending import Beginnings, State, append_state, begin_or_go_on, named
from kit.book.backups import back_up, is_due, is_too_large
from kit.book.engine import engines_for
from kit.book.faults import shown, told_in_words
from kit.book.listing import Stands
from kit.book.payload import opened, sealed
from kit.book.place import book_place, close_to_others, make_room
from kit.book.records import JobEntry, Opened, Revision
from kit.book.steps import bring_up_to_date
from kit.book.tables import MOST_CENTS
from kit.book.wording import check_words
from kit.errors import BookError, Concern
from kit.money import cents

if TYPE_CHECKING:
    from kit.job import Job


def _now() -> datetime:
    return datetime.now(UTC)


class Book:
    """Every job, as revisions that are only ever added to.

    Parameters
    ----------
    url_or_path : str or Path, optional
        A file, an existing folder to hold ``book.sqlite``, a ``sqlite:///`` URL, or a
        ``postgresql://`` URL of a database that is there. Else ``KIT_BOOK_URL`` in the
        environment, else ``book.sqlite`` in the user's data folder. A file is made if
        it is not there, its owner's only.
    clock : callable, optional
        Tells the moment that revisions are stamped with.
    who : str, optional
        Who keeps and notes where nobody else is named, up to 80 characters. Else
        ``KIT_WHO`` in the environment, as an office sets it for each of its people.

    Attributes
    ----------
    concerns : tuple of Concern
        What did not stop the book from opening, such as a copy that cannot be made.

    Raises
    ------
    BookError
        From here and from every method, in one line: the book cannot be read or
        written, and what would mend it. Nothing is ever left half-written.
    """

    def __init__(
        self,
        url_or_path: str | Path | None = None,
        *,
        clock: Callable[[], datetime] = _now,
        who: str | None = None,
    ) -> None:
        self.who = os.environ.get("KIT_WHO", "") if who is None else who
        check_words(("KIT_WHO" if who is None else "who", self.who, 80, False))
        self.place = book_place(url_or_path)
        self._clock = clock
        self._closed = False
        self._beginnings = Beginnings()
        self.concerns: tuple[Concern, ...] = ()
        with told_in_words(self.place):
            if isinstance(self.place, Path):
                make_room(self.place)
            self._readers, self._writers = engines_for(self.place)
            try:
                bring_up_to_date(self._readers, self._writers, self.place, clock)
                if isinstance(self.place, Path):
                    close_to_others(self.place)
                    self._back_up_if_due()
            except BaseException:
                self.close()
                raise

    def keep(
        self,
        job: Job,
        *,
        job_id: str | None = None,
        who: str = "",
        note: str = "",
        after: int | None = None,
        total: Decimal | None = None,
        mark: str = "",
    ) -> Revision:
        """Append this state of a job; a job without an id is begun as a new one.

        A new job whose answer got lost is not begun twice: keeping the same once more
        through this book goes on with the one that was begun, if it was.

        Parameters
        ----------
        job : Job
            As it is to be kept.
        job_id : str, optional
            The job in the book that it is a state of; None begins another.
        who, note : str
            Who keeps it, up to 80 characters, and why, up to 2000. Nobody named is
            the book's own.
        after : int, optional
            Number of the revision that the edit began from. None appends
            whatever has come between.
        total : Decimal, optional
            What it was priced at, in whole cents. None leaves an unchanged job at
            the price it was last known at.
        mark : str
            A word of the caller's for this very beginning, up to 80 characters, where
            the job may have changed before it is kept once more: under the same mark
            it goes on with the job that was begun, after its first revision.

        Returns
        -------
        Revision
            The new one; the newest of before if it already says all of this.

        Raises
        ------
        ClashError
            If another revision came after the one that the edit began from.
        BookError
            If the job is not in the book, or the book cannot be written.
        """
        payload = sealed(job)
        check_words(
            ("who", who, 80, False), ("note", note, 2000, True), ("mark", mark, 80, False)
        )
        _check_total(total)
        if job_id is None and after:
            raise BookError("after", found=after, expected="a job_id with it, or no after")
        if job_id is not None and mark:
            raise BookError("mark", found=mark, expected="none where there is a job_id")

        def state() -> State:  # stamped once no other writes, so that moments follow
            when = self._clock().astimezone(UTC)
            return State(job, payload, when, who or self.who, note, total)

        if job_id is None:
            with self._beginnings.marked(payload, mark) as mark, self.writing() as writes:
                return begin_or_go_on(writes, state(), mark)
        with self.writing() as writes:
            return append_state(writes, state(), job_id=job_id, after=after)

    def find(self, job: Job) -> str | None:
        """Id of the job last kept under this number, client and title, if any."""
        with self.reading() as connection:
            return queries.id_of(connection, job)

    def last_kept_by(self, who: str) -> str | None:
        """Id of the job that this person kept last, if any, by the name they bear."""
        with self.reading() as connection:
            return queries.id_last_kept_by(connection, who)

    def holding(self, job: Job) -> str | None:
        """Id of the job last kept that says exactly this in its newest revision, if any."""
        with self.reading() as connection:
            return queries.id_holding(connection, sealed(job))

    def jobs(
        self,
        words: str = "",
        *,
        stands: Stands | None = None,
        called: Mapping[str, str] | None = None,
        most: int | None = None,
    ) -> tuple[JobEntry, ...]:
        """List jobs as their newest revisions have them, the last kept first.

        Parameters
        ----------
        words : str
            Each must be found in client, title, number or finish, in large letters or
            small; none lists every job.
        stands : {"talking", "out", "signed", "done"}, optional
            Only those that stand there.
        called : mapping, optional
            Names of finishes by their keys, to be found by.
        most : int, optional
            No more than so many.
        """
        with self.reading() as connection:
            return listing.listed_jobs(
                connection, words, stands=stands, called=called, most=most
            )

    def tally(
        self, words: str = "", *, called: Mapping[str, str] | None = None
    ) -> dict[Stands, int]:
        """Count the jobs that `jobs` would find, by where they stand."""
        with self.reading() as connection:
            return listing.tally(connection, words, called)

    def mark(self, job_id: str, stands: Stands) -> None:
        """Note that a job's paper is out, that it is done, or that it is neither."""
        with self.writing() as connection:
            job_id = queries.newest_revision(connection, job_id).job_id
            listing.mark(connection, job_id, stands, self._clock())

    def history(self, job_id: str) -> tuple[Revision, ...]:
        """List every revision of a job, the first first."""
        with self.reading() as connection:
            return queries.revisions(connection, job_id)

    def newest(self, job_id: str) -> Revision:
        """Tell of a job's newest revision without opening it."""
        with self.reading() as connection:
            return queries.newest_revision(connection, job_id)

    def open(self, job_id: str, revision: int | None = None) -> Opened:
        """Take a job out at a revision, or at its newest, ready to be edited."""
        with self.reading() as connection:
            if revision is None:
                found = queries.newest_revision(connection, job_id)
            else:
                found = queries.revision_at(connection, job_id, revision)
            payload = queries.payload_of(connection, found)
        return Opened(opened(payload, about=named(found)), found)

    def latest(self, job_id: str) -> Job:
        """Read a job as it was last kept."""
        return self.open(job_id).job

    def at(self, job_id: str, revision: int) -> Job:
        """Read a job as it was at an earlier revision."""
        return self.open(job_id, revision).job

    def now(self) -> datetime:
        """Tell the moment that what is kept next is stamped with."""
        return self._clock()

    def reading(self) -> AbstractContextManager[Connection]:
        """Read in one transaction: ``with book.reading() as connection``."""
        return self._transaction(self._readers)

    def writing(self) -> AbstractContextManager[Connection]:
        """Write in one transaction, all of it or nothing; other writers wait."""
        return self._transaction(self._writers)

    def close(self) -> None:
        """Let go of the file."""
        self._closed = True
        self._readers.dispose()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def _back_up_if_due(self) -> None:
        """Copy what the last day's work left, before today's begins."""
        about = "copy of the job book"
        fix = "Make room beside the book, or copy it by hand."
        try:
            if not is_due(self.place, self._clock().astimezone(UTC).date()):
                return
            if is_too_large(self.place):
                says = "The book is too large to be copied while it is opened."
                fix = "Run `pourtable jobs backup` after the day's work."
                self.concerns = (Concern(about, says, fix),)
                return
            back_up(self)
        except BookError as error:
            self.concerns = (Concern(about, f"{error.line}.", fix),)

    @contextmanager
    def _transaction(self, engine: Engine) -> Iterator[Connection]:
        if self._closed:
            raise BookError(f"job book {shown(self.place)} is closed")
        with told_in_words(self.place), engine.begin() as connection:
            yield connection


def _check_total(total: Decimal | None) -> None:
    if total is None:
        return
    whole = total.is_finite() and abs(total) < MOST_CENTS // 100 and total == cents(total)
    if not whole:
        raise BookError("total", found=total, expected="an amount in whole cents")
