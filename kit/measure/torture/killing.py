"""Programs killed while they write: by SIGKILL, at moments that a seed draws."""

from __future__ import annotations

import os
import random
import select
import signal
import time
from collections.abc import Callable
from pathlib import Path

from kit.book import Book, attach, facts_of
from kit.book.checking import examine
from kit.errors import BookError
from kit.job import Job
from kit.measure.torture.rows import Fault

LONGEST_S = 0.03
"""A child lives this long at most once it has begun to write. [s]"""

Told = list[str]


def killed(folder: Path, job: Job, *, rounds: int, seed: int) -> Fault:
    """Kill a program that keeps revisions, `rounds` times, and look what the book holds."""
    place, chance = folder / "killed.sqlite", random.Random(seed)
    with Book(place) as book:
        job_id = book.keep(job).job_id

    def keeps(say: Callable[[str], None]) -> None:
        with Book(place) as book:
            for step in range(10**9):
                changed = job.changed(title=f"state {os.getpid()} {step}")
                kept = book.keep(changed, job_id=job_id)
                say(f"{kept.number} {kept.sha256}")

    told: set[str] = set()
    broken = in_mid_write = 0
    for _ in range(rounds):
        told |= set(kill_one(keeps, chance))
        in_mid_write += place.with_name(f"{place.name}-journal").exists()
        try:
            with Book(place) as book:
                history = book.history(job_id)
                for revision in history[-30:]:
                    book.at(job_id, revision.number)
        except BookError:
            broken += 1
            continue
        broken += [r.number for r in history] != list(range(1, len(history) + 1))
    with Book(place) as book:
        held = {f"{r.number} {r.sha256}" for r in book.history(job_id)}
        broken += len(examine(book).faults)
    return Fault(
        "killed while keeping", rounds, len(told), len(told - held), broken,
        f"{in_mid_write} in mid-write, {len(held)} revisions",
    )  # fmt: skip


def killed_attaching(folder: Path, job: Job, *, rounds: int, seed: int) -> Fault:
    """Kill a program between a file and its record: no name may be without its file."""
    place, chance = folder / "attached.sqlite", random.Random(seed)
    with Book(place) as book:
        job_id = book.keep(job).job_id

    def attaches(say: Callable[[str], None]) -> None:
        with Book(place) as book:
            for step in range(10**9):
                content = f"{os.getpid()} {step}".encode() * 500
                say(attach(book, job_id, content, name=f"{step}.jpg").sha256)

    told: set[str] = set()
    for _ in range(rounds):
        told |= set(kill_one(attaches, chance))
    with Book(place) as book:
        held = {noted.sha256 for noted in facts_of(book, job_id)}
        seen = examine(book)
    return Fault(
        "killed between file and record", rounds, len(told), len(told - held),
        len(seen.faults), f"{seen.files} files, {seen.unnamed} without a record",
    )  # fmt: skip


def kill_one(does: Callable[[Callable[[str], None]], None], chance: random.Random) -> Told:
    """Let a child do this and kill it; give the lines it had said by then."""
    hears, tells = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(hears)
        try:
            does(lambda line: _say(tells, line))
        finally:
            os._exit(1)
    os.close(tells)
    if chance.random() < 0.8:  # else it may die as early as in opening the book
        select.select([hears], [], [], 30)
    time.sleep(chance.uniform(0.0, LONGEST_S))
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    with os.fdopen(hears) as pipe:
        return pipe.read().splitlines()


def _say(pipe: int, line: str) -> None:
    # a line shorter than a page goes into the pipe whole or not at all
    os.write(pipe, f"{line}\n".encode())
