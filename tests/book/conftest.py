"""A book for each test, in a file or on a server, and a clock that can be set."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from datetime import UTC, datetime, timedelta

import postgres
import pytest

from kit.book import Book
from kit.book.steps import STEPS

ALIKE = {
    "test_keeping",
    "test_listing",
    "test_events",
    "test_searching",
    "test_marks",
    "test_agreed",
}
"""What these ask of a book in a file they ask of one on a server too."""


def pytest_generate_tests(metafunc):
    names = set(metafunc.fixturenames)
    alike = metafunc.module.__name__.rpartition(".")[2] in ALIKE
    if alike and "book" in names and not names & {"place", "tamper"}:
        metafunc.parametrize("book", ["file", "office"], indirect=True)


class Clock:
    """Tells a minute more each time it is asked, from a moment that can be set."""

    def __init__(self):
        self.now = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)

    def __call__(self):
        told, self.now = self.now, self.now + timedelta(minutes=1)
        return told


@pytest.fixture
def clock():
    return Clock()


@pytest.fixture
def place(tmp_path):
    return tmp_path / "book.sqlite"


@pytest.fixture(scope="session")
def server():
    """A PostgreSQL server of our own on loopback."""
    server = postgres.started()
    yield server
    server.end()


@pytest.fixture
def office(server):
    """The URL of an empty database on that server."""
    import psycopg

    with psycopg.connect(server.url.replace("+psycopg", ""), autocommit=True) as bare:
        bare.execute("SET client_min_messages = warning")
        if not _emptied(bare):
            bare.execute("DROP SCHEMA public CASCADE")
            bare.execute("CREATE SCHEMA public")
    return server.url


def _emptied(bare):
    """Empty the tables of the test before, whose triggers are told to look away."""
    names = bare.execute("SELECT tablename FROM pg_tables WHERE schemaname = 'public'")
    tables = {name for (name,) in names} - {"step"}
    if not tables or "job" not in tables:
        return False
    done = bare.execute("SELECT max(number) FROM step").fetchone()[0]
    if done != len(STEPS):
        return False
    bare.execute("SET session_replication_role = replica")
    bare.execute(f"TRUNCATE {', '.join(tables)} RESTART IDENTITY CASCADE")
    return True


@pytest.fixture
def book(request, clock):
    asked = getattr(request, "param", "file")
    where = request.getfixturevalue("office" if asked == "office" else "place")
    with Book(where, clock=clock) as opened:
        yield opened


@pytest.fixture
def tamper(place):
    """Change the file behind the book's back, as bare SQL."""

    def changed(*statements):
        with closing(sqlite3.connect(place)) as connection:
            for statement in statements:
                connection.execute(statement)
            connection.commit()

    return changed
