"""Books made by earlier versions of the kit open for ever, with all that was in them."""

from __future__ import annotations

import shutil
from decimal import Decimal
from pathlib import Path

import pytest

from kit.book import Book, facts_of

SAMPLES = sorted((Path(__file__).parent / "samples").glob("book_step_*.sqlite"))


def test_there_is_a_sample_to_open():
    assert SAMPLES


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda s: s.stem)
def test_a_book_made_earlier_opens_with_its_jobs_their_history_and_where_they_stand(
    sample, tmp_path
):
    place = tmp_path / "book.sqlite"
    shutil.copyfile(sample, place)

    with Book(place) as book:
        entries = {entry.title: entry for entry in book.jobs()}
        old = entries["Studio, hall and showroom"]
        history = book.history(old.job_id)

        assert set(entries) == {"Studio, hall and showroom", "Porch, Éva Łuk's"}
        assert (old.stands, old.total) == ("out", Decimal("8163.95"))
        assert [(r.who, r.note) for r in history] == [
            ("Ann", "first visit"),
            ("Ben", "gloss after all"),
        ]
        assert book.at(old.job_id, 1).finish == "matte"
        assert book.latest(old.job_id).finish == "gloss"
        job = book.latest(old.job_id)
        assert book.find(job) == old.job_id
        assert book.keep(job.changed(finish="satin"), job_id=old.job_id).number == 3
        assert [e.title for e in book.jobs("łuk")] == ["Porch, Éva Łuk's"]


def test_facts_noted_in_an_earlier_book_are_there(tmp_path):
    for sample in SAMPLES[1:]:
        place = tmp_path / sample.name
        shutil.copyfile(sample, place)
        with Book(place) as book:
            (job_id,) = (entry.job_id for entry in book.jobs() if entry.stands == "out")
            paid, log = (noted.fact for noted in facts_of(book, job_id))
            assert (paid.paid, paid.how) == (Decimal("2500.00"), "check")
            assert (log.says, log.air_c) == ("Ground the hall", 20.5)
