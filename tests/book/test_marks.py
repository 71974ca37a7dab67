"""A job is begun once, however often its answer gets lost on the way."""

from __future__ import annotations

import sqlite3

import pytest

from kit.book import Book, ClashError, engine
from kit.errors import BookError
from kit.measure.torture.lines import line_to


class CutFile(sqlite3.Connection):
    """A file whose disk takes a commit and then answers with a fault."""

    is_whole = True

    @classmethod
    def breaks_before_its_answer(cls):
        cls.is_whole = False

    def commit(self):
        super().commit()
        if not CutFile.is_whole:
            CutFile.is_whole = True
            raise sqlite3.OperationalError("disk I/O error")


@pytest.fixture
def on_a_file(tmp_path, monkeypatch, clock):
    create = engine.create_engine

    def created(url, connect_args):
        return create(url, connect_args=connect_args | {"factory": CutFile})

    monkeypatch.setattr(engine, "create_engine", created)
    with Book(tmp_path / "book.sqlite", clock=clock) as book:
        yield book, CutFile


@pytest.fixture
def on_a_server(office, clock):
    pytest.importorskip("psycopg")
    with line_to(office) as line, Book(line.url, clock=clock) as book:
        yield book, line


@pytest.fixture(params=["on_a_file", "on_a_server"])
def cut(request):
    """A book, and what cuts its next answer off once the commit is through."""
    return request.getfixturevalue(request.param)


def lost(book, line, job, **given):
    """Begin a job, whose answer gets lost after it was committed."""
    line.breaks_before_its_answer()
    with pytest.raises(BookError):
        book.keep(job, **given)
    assert line.is_whole, "it never broke"
    assert len(book.jobs()) == 1


def test_a_job_begun_again_because_its_answer_was_lost_is_there_once(cut, demo_job):
    book, line = cut
    lost(book, line, demo_job, who="Ann")
    kept = book.keep(demo_job, who="Ann")
    assert kept.number == 1
    assert [entry.job_id for entry in book.jobs()] == [kept.job_id]
    assert book.keep(demo_job).job_id != kept.job_id, "answered, the next one is another"


def test_under_its_mark_it_is_found_though_it_was_changed_before_the_second_try(
    cut, demo_job
):
    book, line = cut
    lost(book, line, demo_job, mark="new at table 1")
    kept = book.keep(demo_job.changed(finish="gloss"), mark="new at table 1")
    assert len(book.jobs()) == 1
    assert kept.number == 2
    assert book.latest(kept.job_id).finish == "gloss"


def test_a_job_whose_commit_never_came_is_begun_at_the_second_try(
    book, demo_job, monkeypatch
):
    from kit.book import queries

    append = queries.append
    monkeypatch.setattr(queries, "append", lambda *_: 1 / 0)
    with pytest.raises(ZeroDivisionError):
        book.keep(demo_job)
    monkeypatch.setattr(queries, "append", append)
    assert book.keep(demo_job).number == 1
    assert len(book.jobs()) == 1


def test_marks_tell_beginnings_apart_and_the_same_job_may_be_begun_twice(book, demo_job):
    first = book.keep(demo_job, mark="first")
    assert book.keep(demo_job, mark="first") == first
    assert book.keep(demo_job, mark="second").job_id != first.job_id
    assert book.keep(demo_job).job_id != book.keep(demo_job).job_id
    assert len(book.jobs()) == 4


def test_what_another_went_on_with_is_not_begun_over(book, demo_job):
    kept = book.keep(demo_job, mark="mine")
    book.keep(demo_job.changed(finish="gloss"), job_id=kept.job_id, who="Ben")
    with pytest.raises(ClashError, match="by Ben"):
        book.keep(demo_job.changed(valid_days=9), mark="mine")
    assert len(book.jobs()) == 1


@pytest.mark.parametrize(
    ("given", "told"),
    [
        ({"mark": "x" * 81}, "mark: found 81 characters"),
        ({"mark": "mine", "job_id": "K7MQ-4T2X"}, "none where there is a job_id"),
    ],
)
def test_a_mark_that_can_mark_no_beginning_is_refused(book, demo_job, given, told):
    with pytest.raises(BookError, match=told):
        book.keep(demo_job, **given)
    assert book.jobs() == ()
