"""A job goes from book to book with all that was kept of it; nothing is written over."""

from __future__ import annotations

import datetime
import json
from decimal import Decimal

import pytest

from kit.book import Book, attach, attached, facts_of, note
from kit.book.facts import Log, Payment
from kit.book.whole import TakenIn, export_all, exported, take_in, take_in_all
from kit.errors import BookError

DAY = datetime.date(2026, 11, 12)
ODD = "Robert'); DROP TABLE job;-- 東京 \N{SMILING FACE WITH SMILING EYES} = +1"


@pytest.fixture
def full(book, demo_job):
    """A job with three revisions, two facts, a photo and a mark."""
    job_id = book.keep(demo_job, who="Ann", note=ODD, total=Decimal("7751.95")).job_id
    book.keep(demo_job.changed(finish="gloss"), job_id=job_id, who="Ben")
    book.keep(demo_job.changed(finish="satin"), job_id=job_id)
    note(book, job_id, Payment(paid=Decimal("100.00"), day=DAY, how=ODD), who="Ann")
    attach(book, job_id, b"\x00picture\xff", name=ODD, shows="photo")
    book.mark(job_id, "out")
    return job_id


@pytest.fixture(params=["file", "office"])
def other(request, tmp_path, monkeypatch):
    """Another book, in a file or on a server."""
    monkeypatch.setenv("KIT_BOOK_FILES", str(tmp_path / "shared"))
    office = request.param == "office"
    where = request.getfixturevalue("office") if office else tmp_path / "other.sqlite"
    with Book(where) as opened:
        yield opened


def test_a_job_comes_out_of_another_book_with_all_that_was_kept_of_it(book, full, other):
    taken = take_in(other, exported(book, full.lower()), about="x.json")

    assert taken == TakenIn(full, revisions=3, facts=2)
    assert other.history(full) == book.history(full)
    assert facts_of(other, full) == facts_of(book, full)
    assert other.jobs() == book.jobs()
    assert attached(other, facts_of(book, full)[1].fact.sha256) == b"\x00picture\xff"
    for number in (1, 2, 3):
        assert other.at(full, number) == book.at(full, number)
    assert exported(other, full) == exported(book, full)


def test_what_the_file_has_more_is_added_and_what_it_has_less_is_left(
    book, full, other, demo_job
):
    early = exported(book, full)
    take_in(other, early, about="x.json")
    assert take_in(other, early, about="x.json") == TakenIn(full)

    book.keep(demo_job.changed(finish="matte", title="Late"), job_id=full)
    note(book, full, Log(day=DAY))
    assert take_in(other, exported(book, full), about="x.json") == TakenIn(full, 1, 1)
    assert take_in(other, early, about="x.json") == TakenIn(full)
    assert other.history(full) == book.history(full)
    assert other.jobs()[0].title == "Late"


def test_a_job_that_went_two_ways_is_named_and_left_as_it_is(book, full, other, demo_job):
    take_in(other, exported(book, full), about="x.json")
    book.keep(demo_job.changed(title="Here"), job_id=full, who="Ann")
    other.keep(demo_job.changed(title="There"), job_id=full)
    note(book, full, Log(day=DAY))
    before = exported(other, full)

    taken = take_in(other, exported(book, full), about="x.json")

    assert taken.conflict.startswith("revision 4 in the book is another one")
    assert taken.conflict.endswith("by Ann")
    assert (taken.revisions, taken.facts) == (0, 0)
    assert exported(other, full) == before


def test_a_whole_book_goes_through_a_folder(book, full, other, demo_job, tmp_path):
    book.keep(demo_job.changed(title="Second"))
    folder = tmp_path / "out"
    assert export_all(book, folder) == 2
    assert all(p.stat().st_mode & 0o777 == 0o600 for p in folder.iterdir())
    assert sum(taken.revisions for taken in take_in_all(other, folder)) == 4
    assert {e.job_id for e in other.jobs()} == {e.job_id for e in book.jobs()}


def _set(path, value):
    def spoil(told):
        for step in path[:-1]:
            told = told[step]
        told[path[-1]] = value

    return spoil


@pytest.mark.parametrize(
    ("spoil", "words"),
    [
        (_set(["kind"], "a letter"), "something else"),
        (_set(["version"], 99), "1 or earlier"),
        (_set(["job_id"], "../../x"), "job_id"),
        (_set(["revisions"], []), "at least one"),
        (_set(["revisions", 1, "number"], 1), "revision 2, number"),
        (_set(["revisions", 1, "payload"], "{}"), "revision 2 is damaged"),
        (_set(["revisions", 0, "payload_version"], 99), "newer Pourtable"),
        (_set(["revisions", 0, "total"], "1.005"), "revision 1, total"),
        (_set(["revisions", 0, "who"], "a\u202eb"), r"revision 1, who.*U\+202E"),
        (_set(["revisions", 0, "note"], None), "revision 1, note"),
        (_set(["revisions", 0, "kept_at"], "soon"), "a moment in UTC"),
        (_set(["facts", 0, "payload"], "{}"), "fact 1 is damaged"),
        (_set(["facts", 0, "kind"], "song"), "newer Pourtable"),
        (_set(["marks", 0, "stands"], "signed"), "talking, out or done"),
        (_set(["files"], {}), "expected it to be there"),
        (lambda told: told["files"].update({next(iter(told["files"])): "AAAA"}), "damaged"),
    ],
)
def test_a_file_that_was_spoilt_is_refused_by_name_and_nothing_is_taken_in(
    book, full, tmp_path, spoil, words
):
    told = json.loads(exported(book, full))
    spoil(told)
    with Book(tmp_path / "other.sqlite") as other:
        with pytest.raises(BookError, match=words) as complaint:
            take_in(other, json.dumps(told).encode(), about="x.json")
        assert str(complaint.value).startswith("x.json")
        assert other.jobs() == ()
    assert not (tmp_path / "other.files").exists()


@pytest.mark.parametrize("content", [b"", b"[" * 100_000, b"\xff", b"[]", b"{}"])
def test_a_file_that_is_none_is_refused(book, content):
    with pytest.raises(BookError, match="exported with its history"):
        take_in(book, content, about="x.json")
