"""A large book made for timing is a book like any other."""

from __future__ import annotations

from kit.book.checking import examine
from kit.measure.bookscale import (
    LIST,
    LIST_SQL,
    OPEN,
    OPEN_SQL,
    PARSED,
    SEARCH,
    SEARCH_SQL,
    large_book,
    works_in,
)


def test_what_is_timed_beside_bare_sql_finds_the_same(demo_job):
    with large_book(demo_job, 90) as (book, raw):
        seen = examine(book)
        assert seen.is_whole
        assert (seen.jobs, seen.revisions) == (90, 900)
        works = works_in(book, raw, 90)
        assert works[OPEN]().job == works[PARSED]()
        assert len(works[OPEN_SQL]()) == 1
        for ours, bare in ((SEARCH, SEARCH_SQL), (LIST, LIST_SQL)):
            ids = [entry.job_id for entry in works[ours]()]
            assert ids == [row[0] for row in works[bare]()]
        assert [entry.client for entry in works[SEARCH]()] == [
            "Celia Mill 82", "Celia Mill 42", "Celia Mill 2",
        ]  # fmt: skip
    assert not book.place.exists()
