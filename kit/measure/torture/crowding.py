"""Many writers on one job, and a line to the server that breaks."""

from __future__ import annotations

import json
import os
import random
import socket
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from sqlalchemy.engine import make_url

from kit.book import Book, ClashError
from kit.errors import BookError
from kit.job import Job
from kit.measure.torture.rows import Fault

PATIENCE = 200
"""Tries of one edit before a writer gives up; a fault if it comes to that."""


def writers(where: Path | str, job: Job, *, crowd: int, edits: int, name: str) -> Fault:
    """Let a crowd of programs edit one job at once, each from what it last read.

    Each adds its own mark to a list that the job carries; in the end every mark of
    every accepted edit must be there, once.
    """
    with Book(where) as book:
        slab = job.site.slab.changed(notes="")
        begun = job.changed(site=job.site.changed(slab=slab))
        job_id = book.keep(begun).job_id
    pipes = []
    for writer in range(crowd):
        hears, tells = os.pipe()
        if os.fork() == 0:
            os.close(hears)
            try:
                told = json.dumps(_edit(where, job_id, writer, edits))
                os.write(tells, told.encode())
            finally:
                os._exit(0)
        os.close(tells)
        pipes.append(hears)
    outcomes = []
    for hears in pipes:
        with os.fdopen(hears) as pipe:
            said = pipe.read()
        outcomes.append(json.loads(said) if said else None)
    for _ in range(crowd):
        os.wait()
    done = [outcome for outcome in outcomes if outcome is not None]
    accepted = [mark for outcome in done for mark in outcome["marks"]]
    with Book(where) as book:
        numbers = [revision.number for revision in book.history(job_id)]
        note = book.latest(job_id).site.slab.notes.split()
    gaps = numbers != list(range(1, len(numbers) + 1))
    doubled = len(note) - len(set(note)) + max(0, len(numbers) - 1 - len(accepted))
    wait_s = max((outcome["longest_s"] for outcome in done), default=0.0)
    return Fault(
        name, crowd, len(accepted), len(set(accepted) - set(note)),
        (len(outcomes) - len(done)) + gaps + doubled + sum(o["faults"] for o in done),
        f"{sum(o['clashes'] for o in done)} told of another's edit, "
        f"longest wait {wait_s:.1f} s",
    )  # fmt: skip


def _edit(where: Path | str, job_id: str, writer: int, edits: int) -> dict[str, object]:
    chance = random.Random(writer)
    marks: list[str] = []
    clashes = gave_up = refused = 0
    longest_s = 0.0
    with Book(where) as book:
        for turn in range(edits):
            mark = f"w{writer}e{turn}"
            for tried in range(PATIENCE):
                opened = book.open(job_id)
                begun = time.monotonic()
                try:
                    book.keep(
                        _marked(opened.job, mark), job_id=job_id, who=f"writer {writer}",
                        after=opened.revision.number,
                    )  # fmt: skip
                    marks.append(mark)
                    break
                except ClashError:
                    clashes += 1
                    time.sleep(chance.uniform(0.0, 0.002 * 2 ** min(tried, 7)))
                except BookError as error:
                    # held for too long is told and tried again; all else is a fault
                    refused += "was held" not in error.line
                finally:
                    longest_s = max(longest_s, time.monotonic() - begun)
            else:
                gave_up += 1
    return {
        "marks": marks, "clashes": clashes, "faults": gave_up + refused,
        "longest_s": longest_s,
    }  # fmt: skip


def _marked(job: Job, mark: str) -> Job:
    slab = job.site.slab
    notes = f"{slab.notes} {mark}".strip()
    return job.changed(site=job.site.changed(slab=slab.changed(notes=notes)))


def broken_line(url: str, job: Job, *, edits: int, seed: int) -> Fault:
    """Edit over a line that breaks at random moments, each edit tried until it is kept.

    The line may break after the server has kept an edit and before it could say so:
    trying again must find it there and not keep it twice.
    """
    chance = random.Random(seed)
    broken = told = 0
    with _line_to(url) as line:
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


class _Line:
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

    def close(self) -> None:
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
def _line_to(url: str) -> Iterator[_Line]:
    line = _Line(url)
    try:
        yield line
    finally:
        line.close()
