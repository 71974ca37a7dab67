"""A book of its own for each test, and a clock that the test can set."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from datetime import UTC, datetime, timedelta

import pytest

from kit.book import Book


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


@pytest.fixture
def book(place, clock):
    with Book(place, clock=clock) as opened:
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
