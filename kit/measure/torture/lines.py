"""A line to the server that breaks, and what is kept over it all the same."""

from __future__ import annotations

import random
import socket
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress

from sqlalchemy.engine import make_url

from kit.book import Book, ClashError
from kit.errors import BookError
from kit.job import Job
from kit.measure.torture.crowding import PATIENCE
from kit.measure.torture.rows import Fault


def broken_line(url: str, job: Job, *, edits: int, seed: int) -> Fault:
    """Edit over a line that breaks at random moments, each edit tried until it is kept.

    The line may break after the server has kept an edit and before it could say so:
    trying again must find it there and not keep it twice.
    """
    chance = random.Random(seed)
    broken = told = 0
    with line_to(url) as line:
        with Book(line.url) as book:
            job_id = book.keep(job).job_id
            number = 1
            for turn in range(edits):
                changed = job.changed(title=f"state {turn}")
                if chance.random() < 0.3:
                    line.breaks_before_its_answer()
                elif chance.random() < 0.5:
                    line.breaks_after(chance.randrange(1, 16_000))
                for _ in range(PATIENCE):
                    try:
                        kept = book.keep(changed, job_id=job_id, after=number)
                        break
                    except ClashError:
                        broken += 1  # its own edit came back as another's
                        break
                    except BookError as error:
                        told += "does not answer" in error.line
                        line.mend()
                broken += kept.number != number + 1
                number = kept.number
        line.mend()
    with Book(url) as book:
        titles = [book.at(job_id, n).title for n in range(2, len(book.history(job_id)) + 1)]
    wanted = [f"state {turn}" for turn in range(edits)]
    lost = len(set(wanted) - set(titles))
    return Fault(
        "line to the server that breaks", edits, edits, lost,
        broken + len(titles) - len(set(titles)), f"{told} breaks told in words",
    )  # fmt: skip


def begun_unanswered(url: str, job: Job, *, jobs: int) -> Fault:
    """Begin jobs whose first answer gets lost once they are kept, each tried again."""
    broken = told = 0
    with line_to(url) as line, Book(line.url) as book:
        before = len(book.jobs())
        begun = set()
        for turn in range(jobs):
            new = job.changed(title=f"begun {turn}")
            line.breaks_before_its_answer()
            try:
                book.keep(new)
            except BookError as error:
                told += "does not answer" in error.line
            line.mend()
            kept = book.keep(new)
            broken += kept.number != 1
            begun.add(kept.job_id)
        there = len(book.jobs()) - before
    return Fault(
        "answer lost as a job is begun", jobs, len(begun), max(0, jobs - there),
        broken + max(0, there - jobs), f"{told} breaks told in words",
    )  # fmt: skip


class Line:
    """Carries bytes between a book and its server until it is told to break."""

    def __init__(self, url: str) -> None:
        server = make_url(url)
        self._to = (server.host or "127.0.0.1", server.port or 5432)
        self._door = socket.create_server(("127.0.0.1", 0))
        here = server.set(host="127.0.0.1", port=self._door.getsockname()[1])
        self.url = here.render_as_string(hide_password=False)
        self._left: int | None = None
        self._swallows = self._has_committed = False
        self._open: set[socket.socket] = set()
        self._lock = threading.Lock()
        threading.Thread(target=self._answer, daemon=True).start()

    def breaks_after(self, count: int | None) -> None:
        """Break once so many more bytes have come from the book or from the server."""
        self._left = count

    def breaks_before_its_answer(self) -> None:
        """Break once the server has answered the next COMMIT, and swallow the answer."""
        self._swallows = True

    def mend(self) -> None:
        """Carry everything again."""
        self._left, self._swallows, self._has_committed = None, False, False

    @property
    def is_whole(self) -> bool:
        """Whether what was to break it has."""
        return not self._swallows

    def close(self) -> None:
        """Break for good."""
        self._door.close()
        self._break()

    def _answer(self) -> None:
        while True:
            try:
                near, _ = self._door.accept()
                if self._left is not None and self._left <= 0:
                    near.close()
                    continue
                far = socket.create_connection(self._to)
            except OSError:
                return
            with self._lock:
                self._open |= {near, far}
            for ends in ((near, far, True), (far, near, False)):
                threading.Thread(target=self._carry, args=ends, daemon=True).start()

    def _carry(self, one: socket.socket, other: socket.socket, asks: bool) -> None:
        with suppress(OSError):
            while piece := one.recv(65536):
                if asks and self._swallows and b"COMMIT" in piece:
                    self._has_committed = True
                if self._has_committed and not asks:
                    self._swallows = self._has_committed = False
                    self._break()
                    return
                if self._left is not None:
                    self._left -= len(piece)
                    if self._left <= 0:
                        self._break()
                        return
                other.sendall(piece)
        for end in (one, other):
            with suppress(OSError):
                end.close()

    def _break(self) -> None:
        with self._lock:
            ends, self._open = self._open, set()
        for end in ends:
            with suppress(OSError):
                end.shutdown(socket.SHUT_RDWR)
            end.close()


@contextmanager
def line_to(url: str) -> Iterator[Line]:
    """Put a line before a server, for as long as it is used."""
    line = Line(url)
    try:
        yield line
    finally:
        line.close()
