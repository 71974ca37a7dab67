"""Many writers on one job."""

from __future__ import annotations

import json
import os
import random
import time
from pathlib import Path

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
