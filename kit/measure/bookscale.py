"""A large book, and what it costs to open, find and list in it beside the bare SQL."""

from __future__ import annotations

import sqlite3
import tempfile
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path

from kit.book import Book, Sought, search
from kit.book.entries import write_list_anew
from kit.job import Job
from kit.measure.timing import Work

REVISIONS = 10
ROWS = 200
"""As many as a list shows at once."""
_START = datetime(2020, 1, 1, tzinfo=UTC)
_FIRST = ("Anders", "Bram", "Celia", "Dov", "Esme", "Finn", "Greta", "Hal", "Iris", "Jonas")
_LAST = ("Quarry", "Harbor", "Mill", "Orchard", "Signal", "Ferry", "Granary", "Kiln")


@contextmanager
def large_book(job: Job, jobs: int) -> Iterator[tuple[Book, sqlite3.Connection]]:
    """Make a book of so many jobs with ten revisions each, gone when the block ends.

    Rows are put into its tables at once, then its list is written as the book writes it.

    Parameters
    ----------
    job : Job
        Which all of them are, under other clients.
    jobs : int
    """
    with tempfile.TemporaryDirectory(prefix="large-book-") as folder:
        place = Path(folder) / "book.sqlite"
        Book(place).close()
        with closing(sqlite3.connect(place)) as raw, Book(place) as book:
            with raw:
                raw.execute("PRAGMA synchronous = OFF")
                for number in range(jobs):
                    _put(raw, job, number)
            with book.writing() as connection:
                write_list_anew(connection)
            yield book, raw


def works_in(book: Book, raw: sqlite3.Connection, jobs: int) -> dict[str, Work]:
    """Works and peers: one job, a search that finds one in forty, a page of the list."""
    job_id, words = _id(jobs // 2), f"{_FIRST[2]} {_LAST[2]}"
    return {
        OPEN: lambda: book.open(job_id),
        OPEN_SQL: _bare(
            raw,
            "SELECT payload FROM revision WHERE job_id = ? ORDER BY number DESC LIMIT 1",
            job_id,
        ),
        PARSED: _parsed(raw, job_id),
        SEARCH: lambda: search(book, Sought(words=words), most=ROWS),
        SEARCH_SQL: _bare(
            raw,
            f"SELECT {_COLUMNS} FROM entry WHERE place IN (SELECT rowid FROM entry_words "
            f"WHERE entry_words MATCH ?) ORDER BY serial DESC LIMIT {ROWS}",
            " ".join(f'"{word.lower()}" *' for word in words.split()),
        ),
        LIST: lambda: book.jobs(most=ROWS),
        LIST_SQL: _bare(
            raw, f"SELECT {_COLUMNS} FROM entry ORDER BY serial DESC LIMIT {ROWS}"
        ),
    }


OPEN, OPEN_SQL = "open a job of the book", "its text by bare SQL"
PARSED = "bare SQL and parsing it"
SEARCH, SEARCH_SQL = "search the book", "the same by bare SQL"
LIST, LIST_SQL = f"list {ROWS} jobs", f"{ROWS} rows by bare SQL"
_COLUMNS = (
    "job_id, client, title, job_number, number, kept_at, finish, total_cents, stands, "
    "signed_on"
)


def _bare(raw: sqlite3.Connection, query: str, *given: str) -> Work:
    return lambda: raw.execute(query, given).fetchall()


def _parsed(raw: sqlite3.Connection, job_id: str) -> Callable[[], object]:
    query = "SELECT payload FROM revision WHERE job_id = ? ORDER BY number DESC LIMIT 1"
    return lambda: Job.model_validate_json(raw.execute(query, (job_id,)).fetchone()[0])


def _put(raw: sqlite3.Connection, job: Job, number: int) -> None:
    from kit.book.payload import sealed

    job_id, client = _id(number), f"{_FIRST[number % 10]} {_LAST[number % 8]} {number}"
    who = job.site.client.model_copy(update={"name": client})
    site = job.site.model_copy(update={"client": who})
    payload = sealed(job.model_copy(update={"site": site, "number": f"N-{number}"}))
    begun = _START + timedelta(minutes=20 * number)
    moment = begun.isoformat(timespec="microseconds")
    raw.execute("INSERT INTO job (id, begun_at) VALUES (?, ?)", (job_id, moment))
    raw.executemany(
        "INSERT INTO revision (job_id, number, kept_at, who, note, client, title, "
        "job_number, finish, total_cents, payload_version, payload_sha256, payload) "
        "VALUES (?, ?, ?, '', '', ?, ?, ?, ?, ?, ?, ?, ?)",
        [
            (
                job_id, revision, moment, client, job.title, f"N-{number}", job.finish,
                100 * (5000 + number % 9000), payload.version, payload.sha256, payload.text,
            )
            for revision in range(1, REVISIONS + 1)
        ],
    )  # fmt: skip


def _id(number: int) -> str:
    letters = "23456789BCDFGHJKMNPQRSTVWXZ"
    drawn = ""
    for _ in range(8):
        number, place = divmod(number, len(letters))
        drawn = letters[place] + drawn
    return f"{drawn[:4]}-{drawn[4:]}"
