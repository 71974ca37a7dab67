"""The list of jobs: other clients and their prices, behind the owner's lock.

Like the owner's side it is sent to a page on which the passphrase was given, is kept in
no trait, and is gone from the page when it shuts.
"""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from datetime import date, datetime
from typing import Any, get_args

from kit.bench.beginning import begin_blank, taken_in
from kit.bench.choices import as_copy
from kit.bench.complaining import Complaint, sentence
from kit.bench.moments import moment
from kit.bench.numbering import next_number
from kit.bench.once import Once
from kit.bench.owner import CLOSES_S, OwnersSide
from kit.bench.painter import later
from kit.bench.saving import Saving, granted
from kit.bench.state import TableState
from kit.book import STANDS, Book, JobEntry, Opened, Stands, read_job_file
from kit.errors import BookError, KitError, SheetError
from kit.money import shown
from kit.stock import Shelf

MOST_ROWS = 200
"""A longer list is read by nobody; words narrow it."""
_SHUT = "The list of jobs is shut; it opens to the owner"
STANDS_WORDS = {"talking": "Talking", "out": "Out", "signed": "Signed", "done": "Done"}

Told = Callable[[dict[str, Any] | None], None]


class JobsSide:
    """The list, shut or open; open, it lays other jobs on the table.

    Parameters
    ----------
    state : TableState
    saving : Saving
    owner : OwnersSide
        Whose lock it lies behind.
    tell : callable
        Takes what the open list shows, or None when it shuts.
    """

    def __init__(
        self, state: TableState, saving: Saving, owner: OwnersSide, tell: Told
    ) -> None:
        self.is_open = False
        self._state = state
        self._saving = saving
        self._owner = owner
        self._tell = tell
        self._words = ""
        self._stands: Stands | None = None
        self._timer: asyncio.TimerHandle | None = None
        self._once = Once()
        self.wishes: dict[str, Callable[[dict[str, Any]], Complaint | None]] = {
            "jobs": lambda w: granted(
                lambda: self.open(str(w.get("passphrase", "")), str(w.get("again", "")))
            ),
            "jobs_shut": lambda _: granted(self.shut),
            "jobs_find": self._when_open(self._find),
            "jobs_open": self._when_open(lambda w: self.lay(str(w.get("job")))),
            "jobs_copy": self._when_open(lambda w: self.copy(str(w.get("job")))),
            "jobs_new": self._when_open(lambda _: self.begin()),
            "jobs_done": self._when_open(self._mark),
            "jobs_take_in": self._when_open(self._take_in),
        }

    def open(self, passphrase: str, again: str = "") -> None:
        """Show the list to the owner's passphrase; if the owner's side is open, at once.

        Raises
        ------
        KitError
            If it is another one, or there is no book.
        """
        book = self._book
        if not self._owner.is_open:
            self._owner.lock.admit(passphrase, again)
        self._owner.shut()
        self._words, self._stands = "", None
        figures = self._figures(book)
        self.is_open = True
        self._show(figures)

    def shut(self) -> None:
        """Have the page forget the list."""
        self.is_open = False
        self._words, self._stands = "", None
        if self._timer is not None:
            self._timer.cancel()
            self._timer = None
        self._tell(None)

    def lay(self, job_id: str) -> None:
        """Keep the job on the table, then lay another one there.

        Raises
        ------
        KitError
            If the one cannot be kept, or the other cannot be read or priced.
        """
        if job_id != self._saving.job_id:
            self._saving.settle()
            self._saving.take_up(self._book.open(job_id))
        self.shut()

    def copy(self, job_id: str) -> None:
        """Begin a copy of another job, of today and with a number of its own, and lay it.

        Raises
        ------
        KitError
            As `lay` does.
        """
        self._saving.settle()
        today = date.today()
        number = next_number(self._book, today)
        job = as_copy(self._book.latest(job_id)).changed(number=number, date=today)
        total = TableState(job, self._state.shelf).total
        kept = self._once(
            f"copy {job_id}", lambda mark: self._book.keep(job, total=total, mark=mark)
        )
        self._saving.take_up(Opened(job, kept))
        self.shut()

    def begin(self) -> None:
        """Begin a job with nothing measured and lay it on the table.

        Raises
        ------
        KitError
            If the job on the table cannot be kept, or the book not be written.
        """
        self._saving.settle()
        job_id = self._once("new", lambda mark: begin_blank(self._book, mark=mark))
        self._saving.take_up(self._book.open(job_id))
        self.shut()

    def _find(self, wish: dict[str, Any]) -> None:
        stands = wish.get("stands") or None
        if stands is not None and stands not in STANDS:
            raise SheetError("stands", found=stands, expected=", ".join(get_args(Stands)))
        self._words, self._stands = str(wish.get("words", ""))[:200], stands
        self._show(self._figures(self._book))

    def _mark(self, wish: dict[str, Any]) -> None:
        self._book.mark(str(wish.get("job")), "done" if wish.get("done") else "out")
        self._show(self._figures(self._book))

    def _take_in(self, wish: dict[str, Any]) -> None:
        name = str(wish.get("name", "file"))[:120]
        carried = read_job_file(
            str(wish.get("text", "")).encode("utf-8", "replace"), about=name
        )
        self.lay(taken_in(self._book, carried))

    @property
    def _book(self) -> Book:
        if self._saving.book is None:
            raise BookError("jobs", found="a table without its job book", expected="one")
        return self._saving.book

    def _when_open(
        self, does: Callable[[dict[str, Any]], None]
    ) -> Callable[[dict[str, Any]], Complaint | None]:
        def grant(wish: dict[str, Any]) -> Complaint | None:
            if not self.is_open:
                return Complaint(KitError(_SHUT))
            try:
                does(wish)
            except KitError as error:
                self._show(self._figures(self._book) | {"complaint": sentence(error)})
            return None

        return grant

    def _show(self, figures: dict[str, Any]) -> None:
        if self._timer is not None:
            self._timer.cancel()
        self._tell(figures)
        try:
            asyncio.get_running_loop()
        except RuntimeError:
            return
        self._timer = later(CLOSES_S, self.shut)

    def _figures(self, book: Book) -> dict[str, Any]:
        called = {f.key: f.name for f in self._state.shelf.finishes}
        tally = book.tally(self._words, called=called)
        entries = book.jobs(self._words, stands=self._stands, called=called, most=MOST_ROWS)
        found = tally[self._stands] if self._stands else sum(tally.values())
        return {
            "words": self._words,
            "stands": self._stands or "",
            "tally": [["", "All", sum(tally.values())]]
            + [[key, STANDS_WORDS[key], tally[key]] for key in STANDS],
            "rows": [
                _row(entry, self._state.shelf, here=entry.job_id == self._saving.job_id)
                for entry in entries
            ],
            "more": found - len(entries),
        }


def _row(entry: JobEntry, shelf: Shelf, *, here: bool) -> dict[str, Any]:
    now = datetime.now().astimezone()
    kept = moment(entry.when.astimezone(now.tzinfo), now)
    stands = STANDS_WORDS[entry.stands]
    if entry.stands == "signed" and entry.signed_on is not None:
        stands = f"{stands} {entry.signed_on:%b} {entry.signed_on.day}"
    finish = next((f.name for f in shelf.finishes if f.key == entry.finish), entry.finish)
    return {
        "job": entry.job_id,
        "client": entry.client,
        "title": entry.title,
        "number": entry.number,
        "finish": finish,
        "total": "no price yet"
        if entry.total is None
        else shown(entry.total, shelf.house.currency),
        "kept": kept.removeprefix("at ").removeprefix("on "),
        "stands": stands,
        "can_be_done": entry.stands == "signed",
        "is_done": entry.stands == "done",
        "here": here,
    }
