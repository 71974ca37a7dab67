"""Several programs write in one book, and some are killed at it."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from kit.book import Book

WRITERS = Path(__file__).with_name("writers.py")


def started(*words):
    return subprocess.Popen(
        [sys.executable, "-W", "ignore", str(WRITERS), *map(str, words)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )


def ended(program):
    said, complained = program.communicate(timeout=300)
    assert program.returncode == 0, complained
    return [json.loads(line) for line in said.splitlines()]


def test_two_programs_that_edit_one_job_lose_none_of_each_others_edits(
    book, place, demo_job
):
    """Each adds its letter again and again; in the end every letter is there."""
    kept = book.keep(demo_job.changed(number=""))

    programs = [started("mark", place, kept.job_id, 50, who) for who in "AB"]
    for program in programs:
        assert program.stdout.readline() == '"ready"\n'
    for program in programs:
        program.stdin.write("go\n")
        program.stdin.flush()
    clashes = [ended(program)[0]["clashes"] for program in programs]

    marks = book.latest(kept.job_id).number
    assert (marks.count("A"), marks.count("B")) == (50, 50)
    history = book.history(kept.job_id)
    assert [r.number for r in history] == list(range(1, 102))
    assert "".join(r.who for r in history) == marks
    assert sum(clashes) > 0  # else they never met


def test_two_programs_may_open_a_new_book_at_once(tmp_path, demo_job):
    def begun(turn):
        with Book(tmp_path / f"book-{turn // 4}.sqlite") as book:
            return book.keep(demo_job).job_id

    with ThreadPoolExecutor(4) as crew:
        ids = list(crew.map(begun, range(24)))

    for turn in range(6):
        with Book(tmp_path / f"book-{turn}.sqlite") as book:
            assert {entry.job_id for entry in book.jobs()} == set(
                ids[4 * turn : 4 * turn + 4]
            )


@pytest.mark.skipif(not hasattr(os, "fork"), reason="kills by signal")
@pytest.mark.parametrize(("rounds", "seed"), [(20, 1)])
def test_a_writer_killed_at_any_moment_loses_nothing_it_was_told_is_kept(
    place, rounds, seed
):
    told = {}

    outcomes = ended(started("killed", place, rounds, seed))

    assert len(outcomes) == rounds
    for outcome in outcomes:
        told |= dict(outcome["told"])
        held = dict(outcome["held"])
        assert list(held) == list(range(1, len(held) + 1))
        assert told.items() <= held.items()
        assert outcome["new"] == 1
    # only kills in mid-write prove anything
    assert sum(outcome["hot"] for outcome in outcomes) >= rounds // 20
    # each round may have kept one that it had no time to tell
    assert len(held) - 1 - len(told) <= rounds
