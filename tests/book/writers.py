"""Programs that write in one book at once, and that are killed at it.

``mark PLACE JOB TIMES WHO``: add a letter to a job's number TIMES times, each from
the revision it was read at, again when somebody came between.

``killed PLACE ROUNDS SEED``: let a child keep, kill it at a random moment, look
what the book holds; one JSON line a round.
"""

from __future__ import annotations

import json
import os
import random
import select
import signal
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from kit.book import Book, ClashError
from kit.job import Job

SHEET = Path(__file__).parents[2] / "demo_assets" / "boathouse.toml"


def mark(place, job_id, times, who):
    clashes, chance = 0, random.Random(who)
    print(json.dumps("ready"), flush=True)  # noqa: T201
    sys.stdin.readline()
    with Book(place) as book:
        for _ in range(int(times)):
            while True:
                opened = book.open(job_id)
                more = opened.job.changed(number=opened.job.number + who)
                time.sleep(chance.uniform(0, 0.004))  # as a person thinks
                try:
                    book.keep(more, job_id=job_id, who=who, after=opened.revision.number)
                    break
                except ClashError:
                    clashes += 1
    print(json.dumps({"clashes": clashes}))  # noqa: T201


def killed(place, rounds, seed):
    place, chance = Path(place), random.Random(int(seed))
    job = Job.from_sheet(SHEET)
    with Book(place) as book:
        job_id = book.keep(job).job_id
    for turn in range(int(rounds)):
        new = place.with_name(f"new-{turn}.sqlite")
        told, hot = _kill_one(place, new, job_id, job, chance)
        with Book(place) as book:
            held = [(r.number, r.sha256) for r in book.history(job_id)]
            for number, _ in held[-40:]:
                book.at(job_id, number)
        with Book(new) as made:
            made.keep(job)
            jobs = len(made.jobs())
        print(json.dumps({"told": told, "held": held, "hot": hot, "new": jobs}))  # noqa: T201


def _kill_one(place, new, job_id, job, chance):
    """Kill a child that keeps; give what it told was kept, and if it was mid-write."""
    hears, tells = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(hears)
        _keep_for_ever(place, new, job_id, job, tells)
    os.close(tells)
    if chance.random() < 0.75:  # else it may die as early as in making the new book
        select.select([hears], [], [], 30)
    time.sleep(chance.uniform(0, 0.03))
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    with os.fdopen(hears) as pipe:
        lines = pipe.read().splitlines()
    hot = place.with_name(f"{place.name}-journal").exists()
    return [json.loads(line) for line in lines], hot


def _keep_for_ever(place, new, job_id, job, tells):
    Book(new).close()
    book = Book(place)
    for step in range(10**9):
        kept = book.keep(job.changed(title=f"state {os.getpid()} {step}"), job_id=job_id)
        # a line shorter than a page goes into the pipe whole or not at all
        os.write(tells, (json.dumps([kept.number, kept.sha256]) + "\n").encode())


if __name__ == "__main__":
    {"mark": mark, "killed": killed}[sys.argv[1]](*sys.argv[2:])
