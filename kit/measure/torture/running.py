"""All faults one after the other, as often as the time allows."""

from __future__ import annotations

import random
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from kit.job import Job
from kit.measure.torture.crowding import writers
from kit.measure.torture.disks import (
    clock_backward,
    damaged,
    full_disk,
    odd_texts,
    read_only,
)
from kit.measure.torture.killing import killed, killed_attaching
from kit.measure.torture.lines import begun_unanswered, broken_line
from kit.measure.torture.rows import Fault
from kit.shipped import shipped

KILLS = 300
"""Kills that are made however short the time."""
CROWD = 50


def tortured(
    *, minutes: float, office: str | None = None, seed: int | None = None
) -> Iterator[Fault]:
    """Bring about every fault on books of its own, telling each as it is done.

    Parameters
    ----------
    minutes : float
        What is left of these, once each fault was brought about, goes into more kills.
    office : str, optional
        URL of an empty database on a PostgreSQL server, for the faults of a server; what
        is kept there stays there.
    seed : int, optional
        Draws the moments; the clock by default.
    """
    ends = time.monotonic() + 60.0 * minutes
    job = Job.from_sheet(shipped("demo_assets") / "boathouse.toml")
    chance = random.Random(seed)
    with tempfile.TemporaryDirectory(prefix="torture-") as name:
        folder = Path(name)
        yield killed_attaching(folder, job, rounds=KILLS // 5, seed=chance.randrange(2**32))
        yield full_disk(folder, job, rounds=max(1, KILLS // 15))
        yield read_only(folder, job)
        yield damaged(folder, job, rounds=KILLS // 5, seed=chance.randrange(2**32))
        yield clock_backward(folder, job, rounds=KILLS // 3, seed=chance.randrange(2**32))
        yield odd_texts(folder / "odd.sqlite", job)
        yield writers(
            folder / "crowd.sqlite", job, crowd=CROWD, edits=2,
            name=f"{CROWD} writers on one job, a file",
        )  # fmt: skip
        if office:
            yield writers(
                office, job, crowd=CROWD, edits=2,
                name=f"{CROWD} writers on one job, a server",
            )  # fmt: skip
            yield broken_line(office, job, edits=KILLS // 3, seed=chance.randrange(2**32))
            yield begun_unanswered(office, job, jobs=KILLS // 15)
            yield odd_texts(office, job)
        turn = 0
        while turn == 0 or time.monotonic() < ends:
            turn += 1
            home = folder / f"kills-{turn}"
            home.mkdir()
            yield killed(home, job, rounds=KILLS, seed=chance.randrange(2**32))
