"""Jobs are found by words, told where they stand, and counted."""

import datetime
import sqlite3
from contextlib import closing
from decimal import Decimal

import pytest

from kit.book import Book, steps
from kit.book.payload import sealed
from kit.errors import BookError
from kit.job import Signature

CALLED = {"matte_grip": "Matte with grip", "gloss": "Gloss"}


@pytest.fixture
def kept(book, demo_job):
    """Three jobs by their clients, the last kept first in the list."""

    def keep(client, title, number, finish):
        site = demo_job.site.changed(client=demo_job.site.client.changed(name=client))
        job = demo_job.changed(site=site, title=title, number=number, finish=finish)
        return book.keep(job, total=Decimal("10.00")).job_id

    return {
        "Straße 9": keep("Straße 9", "Hall", "A-1", "gloss"),
        "Éva Łuk": keep("Éva Łuk", "Kitchen_2", "A-2", "matte_grip"),
        "50% Off": keep("50% Off", "Cellar", "B\\3", "matte"),
    }


def found(book, words="", **given):
    return [entry.client for entry in book.jobs(words, called=CALLED, **given)]


@pytest.mark.parametrize(
    ("words", "clients"),
    [
        ("", ["50% Off", "Éva Łuk", "Straße 9"]),
        ("  HALL ", ["Straße 9"]),
        ("STRASSE", ["Straße 9"]),
        ("éVA łUK", ["Éva Łuk"]),
        ("%", ["50% Off"]),
        ("n_2", ["Éva Łuk"]),
        ("\\", ["50% Off"]),
        ("a-", ["Éva Łuk", "Straße 9"]),
        ("grip with", ["Éva Łuk"]),
        ("9 hall", ["Straße 9"]),
        ("hall cellar", []),
        ("off\ncellar", ["50% Off"]),
        ("' OR 1=1 --", []),
    ],
)
def test_every_word_is_found_in_client_title_number_or_finish(book, kept, words, clients):
    assert found(book, words) == clients


def test_no_more_are_listed_than_are_asked_for_and_all_are_counted(book, kept):
    assert found(book, most=2) == ["50% Off", "Éva Łuk"]
    assert book.tally("a-") == {"talking": 2, "out": 0, "signed": 0, "done": 0}


def test_a_job_stands_where_its_paper_its_signature_and_its_marks_put_it(book, kept):
    job_id = kept["Éva Łuk"]

    def stands():
        return next(e for e in book.jobs() if e.job_id == job_id)

    assert stands().stands == "talking"
    book.mark(job_id, "out")
    assert stands().stands == "out"
    day = datetime.date(2026, 11, 12)
    signature = Signature(name="Éva", day=day, total=Decimal("10.00"))
    book.keep(book.latest(job_id).changed(signed=signature), job_id=job_id)
    assert (stands().stands, stands().signed_on) == ("signed", day)
    book.mark(job_id, "done")
    assert stands().stands == "done"
    assert found(book, stands="done") == ["Éva Łuk"]
    book.mark(job_id, "out")
    assert stands().stands == "signed"
    book.keep(book.latest(job_id).changed(signed=None), job_id=job_id)
    assert (stands().stands, stands().signed_on) == ("out", None)


def test_a_mark_that_is_none_or_of_no_job_is_refused(book, kept):
    with pytest.raises(BookError, match="talking or out or done"):
        book.mark(kept["Straße 9"], "signed")
    with pytest.raises(BookError, match="the id of a job"):
        book.mark("2222-3333", "out")


def test_a_book_of_before_lists_its_jobs_as_talked_about(place, demo_job, monkeypatch):
    with monkeypatch.context() as before:
        before.setattr(steps, "STEPS", steps.STEPS[:2])
        Book(place).close()
    payload = sealed(demo_job)
    with closing(sqlite3.connect(place)) as raw, raw:
        raw.execute("INSERT INTO job VALUES ('K7MQ-4T2X', '2026-03-02T09:00:00+00:00')")
        raw.execute(
            "INSERT INTO revision VALUES (1, 'K7MQ-4T2X', 1, '2026-03-02T09:00:00+00:00', "
            "'', '', 'C', 'T', '', 'matte', NULL, ?, ?, ?)",
            (payload.version, payload.sha256, payload.text),
        )

    with Book(place) as book:
        entry = book.jobs()[0]
        assert (entry.job_id, entry.stands, entry.signed_on) == (
            "K7MQ-4T2X", "talking", None
        )  # fmt: skip
        book.mark(entry.job_id, "out")
        assert book.jobs()[0].stands == "out"
        assert book.latest(entry.job_id) == demo_job
