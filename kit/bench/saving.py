"""What is on the table and in the book: said in words, and what to do where they differ."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import datetime
from typing import Any, Protocol

from kit.bench.choices import as_copy
from kit.bench.complaining import Complaint, sentence
from kit.bench.keeping import Keeper
from kit.bench.moments import clash_words, restored_words
from kit.bench.once import Once
from kit.bench.state import TableState
from kit.bench.together import asked_of_both, called_on, decisions
from kit.book import (
    FIRST,
    Book,
    CarriedJob,
    ClashError,
    Merged,
    NextPaper,
    Opened,
    Revision,
    Side,
    job_file,
    job_file_name,
    merged,
    next_paper,
    sent,
)
from kit.errors import BookError, KitError, SheetError

Offers = Sequence[tuple[str, str]]
AS_FILE = ("Save the job as a file", "carry")
AGAIN = ("Try again", "keep_now")
FROM_BOOK = ("Show what is in the book", "from_book")
AS_COPY = ("Keep mine as a copy", "as_copy")
TOGETHER = ("Put both together", "together")


class Say(Protocol):
    """Puts a sentence into the banner, with buttons; "" takes such a one away again."""

    def __call__(self, words: str, offers: Offers = (), *, passes: bool = False) -> None:
        """Say `words`; each offer is what a button says and the wish it stands for."""


class Saving:
    """The job on the table, the book it is kept in, and how both stand.

    Parameters
    ----------
    state : TableState
    send : callable
        Takes a message for the page and its buffers.
    say : Say
    """

    def __init__(
        self,
        state: TableState,
        send: Callable[[dict[str, Any], list[bytes]], None],
        say: Say,
    ) -> None:
        self.book: Book | None = None
        self._state = state
        self._send = send
        self._say = say
        self._keeper: Keeper | None = None
        self._saved: dict[str, Any] | None = None
        self._found: Opened | None = None
        self._clashed = ""
        self._once = Once()
        self.wishes: dict[str, Callable[[dict[str, Any]], Complaint | None]] = {
            "carry": lambda _: granted(self.carry),
            "keep_now": lambda _: granted(self.keep_now),
            "from_book": lambda _: granted(self.show_what_is_kept),
            "as_copy": lambda _: granted(self.keep_as_copy),
            "together": lambda w: granted(lambda: self.put_together(*decisions(w))),
        }

    @property
    def job_id(self) -> str | None:
        """Id of the job on the table, if it is in a book."""
        return self._keeper.kept.job_id if self._keeper else None

    def begin(self, book: Book, opened: Opened) -> None:
        """Keep every change of the job that lies on the table from here on."""
        self.book, self._found = book, opened
        self._keeper = Keeper(book, opened.job, opened.revision, self._said)
        self._said(None)

    def follow(self, state: TableState) -> None:
        """Keep the job as soon as it has settled."""
        if self._keeper is not None:
            self._keeper.follow(state)

    def look(self) -> None:
        """See now and then whether the book has something newer."""
        if self._keeper is not None:
            self._keeper.look(self._state)

    def greet(self, came: str) -> None:
        """Tell a page that opens which job it shows, and what has happened to it.

        Parameters
        ----------
        came : {"lost", "reload", "open"}
            Whether the table had stopped answering, the page was loaded again, or
            neither.
        """
        if self._saved is not None:
            self._send({"saved": self._saved, "job": self.job_id}, [])
        if self._found is not None:
            if words := restored_words(self._found, came, datetime.now().astimezone()):
                self._say(words, passes=True)
            self._found = None

    def settle(self) -> None:
        """Have the job on the table in the book before another one is laid there.

        Raises
        ------
        SheetError
            If it cannot be kept.
        """
        keeper = self._keeper
        if keeper is None or keeper.keep(self._state):
            return
        wanted = "a word first on which of the two to go on with; see the message above"
        raise SheetError(
            "the job on the table",
            found="changes that are not in the book",
            expected=wanted
            if keeper.has_clashed
            else "them saved first, if only as a file",
        )

    def take_up(self, opened: Opened) -> None:
        """Lay another job of the book on the table.

        Raises
        ------
        KitError
            If it cannot be priced; the job before is then still there, and kept.
        """
        book = self._books
        before = self._keeper
        # Changed first: what the table tells as it changes must not go into the old job.
        self._keeper = Keeper(book, opened.job, opened.revision, self._said)
        try:
            self._state.take_up(opened.job)
        except KitError:
            self._keeper = before
            raise
        if before is not None:
            before.stop()
        self._said(None)
        self._send({"laid": self.job_id}, [])

    def keep_now(self) -> None:
        """Try again to keep what could not be kept."""
        if self._keeper is not None:
            self._keeper.keep(self._state)

    def carry(self) -> None:
        """Hand the job over as a file."""
        job = self._state.job
        carried = CarriedJob(job)
        if self._keeper is not None:
            kept = self._keeper.kept
            carried = CarriedJob(job, kept.job_id, kept.number)
        self._send({"file": {"name": job_file_name(job)}}, [job_file(carried)])

    def show_what_is_kept(self) -> None:
        """Lay the job as the book has it on the table, in the place of what is there."""
        if self.job_id is not None:
            self.take_up(self._books.open(self.job_id))
            self._say("This is the job as it is in the book now.", passes=True)

    def keep_as_copy(self) -> None:
        """Keep what is on the table as a job of its own, and go on with that."""
        copy = as_copy(self._state.job)
        total = self._state.total
        kept = self._once(
            f"copy {self.job_id}",
            lambda mark: self._books.keep(copy, total=total, mark=mark),
        )
        self.take_up(Opened(copy, kept))
        self._say(
            f"Your changes are kept as a job of their own, {copy.title}.", passes=True
        )

    def put_together(self, take: Mapping[str, Side], seen: int) -> None:
        """Lay what both windows changed on the table, and keep it after the other's.

        A field that both changed, each to something else, is asked of the page first.

        Parameters
        ----------
        take : mapping
            Whose to take, by field.
        seen : int
            The other's revision that this was decided against.

        Raises
        ------
        KitError
            If the two make no job together, or none that can be priced.
        """
        keeper = self._keeper
        if keeper is None or not keeper.has_clashed:
            return
        put = self._put(keeper.kept, take)
        # what was decided against other values than these is not decided
        is_newer = bool(take) and put.latest.number != seen
        if is_newer:
            put = self._put(keeper.kept, {})
        if put.conflicts:
            self._send(
                {"both": asked_of_both(put, self._state.shelf, once_more=is_newer)}, []
            )
            return
        # what cannot be priced is refused before mine goes off the table
        TableState(put.job, self._state.shelf)
        self._send({"both": None}, [])
        self.take_up(self._books.open(put.latest.job_id, put.latest.number))
        if self._state.job != put.job:
            self._state.take_up(put.job)
            self.keep_now()
        there = "; ".join(put.theirs[:3])
        self._say(f"Both are here now. From the other window: {there}.", passes=True)

    def next_paper(self) -> NextPaper:
        """Tell which paper of this job the next one is; the first where no book says."""
        job, total = self._state.job, self._state.total
        if self.book is None or self.job_id is None or total is None:
            return FIRST
        try:
            return next_paper(self.book, job, total, job_id=self.job_id)
        except BookError:
            return FIRST  # that the book cannot be read is told when something is kept

    def handed_out(self, paper: bytes | None = None) -> None:
        """Note that the paper of this job is out, by its bytes where these are known."""
        if self.book is None or self.job_id is None:
            return
        state = self._state
        if paper is None or state.total is None:
            self.book.mark(self.job_id, "out")
            return
        cost = state.answers.bid.cost if state.answers else None
        number = self.next_paper().number
        self.keep_now()  # so that what the paper was made from is the newest in the book
        sent(
            *(self.book, self.job_id, paper),
            job=state.job, total=state.total, cost=cost, number=number,
        )  # fmt: skip

    def _put(self, kept: Revision, take: Mapping[str, Side]) -> Merged:
        return merged(
            self._books, self._state.job,
            job_id=kept.job_id, after=kept.number, take=take,
            called=called_on(self._state.shelf),
        )  # fmt: skip

    @property
    def _books(self) -> Book:
        if self.book is None:
            raise BookError("job book", found="none in use here", expected="one")
        return self.book

    def _said(self, fault: BookError | None) -> None:
        if fault is None:
            self._saved, self._clashed = {"ok": True, "says": ""}, ""
            self._say("")
        elif isinstance(fault, ClashError):
            own = self._keeper is not None and not self._keeper.holds(self._state.job)
            self._saved = {"ok": False, "says": "Not saved" if own else "Changed elsewhere"}
            if (words := clash_words(fault, own=own)) != self._clashed:
                self._clashed = words
                offers = (TOGETHER, FROM_BOOK, AS_COPY) if own else (FROM_BOOK, AS_COPY)
                self._say(words, offers)
        else:
            self._saved = {"ok": False, "says": "Not saved"}
            words = "The last change is on this screen but not in the job book."
            self._say(f"{words} {sentence(fault)}", (AS_FILE, AGAIN))
        self._send({"saved": self._saved, "job": self.job_id}, [])


def granted(does: Callable[[], None]) -> Complaint | None:
    """Do it, or say to whoever asked why not."""
    try:
        does()
    except KitError as error:
        return Complaint(error)
    return None
