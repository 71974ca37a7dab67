"""Which job lies on the table when it is opened without naming one."""

import sqlite3

import pytest

from kit.bench.beginning import begun, begun_from, last_kept
from kit.book import Book
from kit.job import blank_job


@pytest.fixture
def place(tmp_path, monkeypatch):
    place = tmp_path / "book.sqlite"
    monkeypatch.setenv("KIT_BOOK_URL", str(place))
    return place


def test_the_job_kept_last_is_gone_on_with_and_an_empty_book_begins_on_the_sheet(
    place, demo_sheet
):
    first = begun(demo_sheet, goes_on=True)
    with Book(place) as book:
        assert book.latest(first).site.client.name == "Slipway Pottery"
        other = book.keep(blank_job().changed(title="Net loft")).job_id
    assert begun(demo_sheet, goes_on=True) == other
    assert begun(demo_sheet, goes_on=False) == first


def test_a_job_that_cannot_be_opened_is_not_gone_on_with(place, demo_sheet):
    with Book(place) as book:
        first = begun_from(book, demo_sheet)
        assert last_kept(book) == first
    with sqlite3.connect(place) as raw:  # as a disk does, asking nobody
        for trigger in raw.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'"):
            raw.execute(f"DROP TRIGGER {trigger[0]}")
        raw.execute("UPDATE revision SET payload = '{}'")
    with Book(place) as book:
        assert last_kept(book) is None
