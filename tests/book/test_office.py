"""A book on a server: what befalls it is told in one line, and nothing is kept twice."""

from __future__ import annotations

from contextlib import contextmanager
from types import SimpleNamespace

import pytest
from sqlalchemy import create_engine, inspect

from kit.bench.keeping import Keeper
from kit.book import Book, ClashError, tables
from kit.errors import BookError

psycopg = pytest.importorskip("psycopg")


@contextmanager
def told(*words):
    with pytest.raises(BookError) as complaint:
        yield
    line = str(complaint.value)
    assert line.isprintable()
    assert all(word in line for word in words), line


@pytest.fixture
def bare(office):
    with psycopg.connect(office.replace("+psycopg", ""), autocommit=True) as connection:
        yield connection


def test_a_book_on_a_server_is_opened_by_the_url_in_the_environment(
    office, monkeypatch, demo_job
):
    monkeypatch.setenv("KIT_BOOK_URL", office)
    with Book() as book:
        kept = book.keep(demo_job, who="Ann")
    monkeypatch.setenv("KIT_BOOK_URL", office.replace("+psycopg", ""))
    with Book() as book:
        assert book.latest(kept.job_id) == demo_job
        assert str(book.place) == "postgres at 127.0.0.1"


def test_the_steps_make_the_tables_that_the_queries_name(office):
    Book(office).close()
    reader = create_engine(office)
    found = inspect(reader)
    for table in (tables.STEP, tables.JOB, tables.REVISION, tables.ENTRY, tables.MARK):
        made = {column["name"] for column in found.get_columns(table.name)}
        assert made >= {column.name for column in table.columns}
    reader.dispose()


def test_the_database_itself_refuses_to_change_or_drop_a_revision(office, bare, demo_job):
    with Book(office) as book:
        kept = book.keep(demo_job)
        for statement in (
            "UPDATE revision SET note = 'other'",
            "DELETE FROM revision",
            "TRUNCATE revision",
        ):
            with pytest.raises(psycopg.errors.RaiseException, match="never changed"):
                bare.execute(statement)
        assert book.history(kept.job_id) == (kept,)


def test_a_wrong_password_or_database_is_told_without_repeating_either(office, server):
    for url, words in (
        (office.replace(server.password, "guessed"), "does not let this user in"),
        (office.removesuffix("postgres") + "elsewhere", "is not on its server"),
    ):
        with pytest.raises(BookError, match=words) as complaint:
            Book(url)
        line = str(complaint.value)
        assert line.isprintable()
        assert "guessed" not in line
        assert server.password not in line


def test_the_database_of_another_program_is_refused_and_left_alone(office, bare):
    bare.execute("DROP SCHEMA public CASCADE")
    bare.execute("CREATE SCHEMA public")
    bare.execute("CREATE TABLE song (title text)")
    with told("belongs to another program"):
        Book(office)
    tables_there = bare.execute("SELECT tablename FROM pg_tables WHERE schemaname='public'")
    assert tables_there.fetchall() == [("song",)]


def test_a_writer_that_never_lets_go_is_told_after_a_while(
    office, bare, demo_job, monkeypatch
):
    from kit.book import engine

    monkeypatch.setattr(engine, "BUSY_S", 1)
    with Book(office) as book:
        book.keep(demo_job)
        bare.execute(f"SELECT pg_advisory_lock({engine.WRITERS_LOCK})")
        with told("was held by another program", "nothing was changed"):
            book.keep(demo_job)
        bare.execute(f"SELECT pg_advisory_unlock({engine.WRITERS_LOCK})")
        book.keep(demo_job)
        assert len(book.jobs()) == 2


def test_a_server_that_goes_away_is_told_and_what_was_kept_is_there_when_it_is_back(
    office, server, demo_job
):
    with Book(office) as book:
        kept = book.keep(demo_job)
        glossy = demo_job.changed(finish="gloss")
        server.stop()
        try:
            for _ in range(2):
                with told("does not answer", "try again"):
                    book.keep(glossy, job_id=kept.job_id, after=1)
        finally:
            server.start()
        again = book.keep(glossy, job_id=kept.job_id, after=1)
        assert again.number == 2
        assert [r.number for r in book.history(kept.job_id)] == [1, 2]


def test_an_edit_whose_answer_was_lost_is_not_kept_twice(office, demo_job):
    """The server kept it but went before it said so: trying again finds it there."""
    with Book(office) as book:
        kept = book.keep(demo_job)
        glossy = demo_job.changed(finish="gloss")
        first = book.keep(glossy, job_id=kept.job_id, after=1)
        assert book.keep(glossy, job_id=kept.job_id, after=1) == first
        with pytest.raises(ClashError, match="changed finish"):
            book.keep(demo_job.changed(valid_days=9), job_id=kept.job_id, after=1)


def test_an_edit_at_the_table_outlives_a_server_that_is_gone_for_a_minute(
    office, server, demo_job
):
    """What cannot be kept stays on the table, is said once, and is kept once."""
    seconds, said = [0.0], []
    with Book(office) as book:
        kept = book.keep(demo_job)
        keeper = Keeper(book, demo_job, kept, said.append, clock=lambda: seconds[0])
        state = SimpleNamespace(job=demo_job.changed(finish="gloss"), total=None)
        server.stop()
        try:
            assert not keeper.keep(state)
            assert "does not answer" in str(said[-1])
            state.job = state.job.changed(valid_days=9)
            for _ in range(6):
                seconds[0] += 10.0
                keeper.look(state)
            assert keeper.fault is not None
        finally:
            server.start()
        seconds[0] += 11.0
        keeper.look(state)
        assert said[-1] is None
        assert book.latest(kept.job_id) == state.job
        assert keeper.keep(state)
        assert [r.number for r in book.history(kept.job_id)] == [1, 2]
