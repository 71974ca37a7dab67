"""The list of jobs: found by words, told where each stands, counted."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, Literal, get_args

from sqlalchemy import Connection, Select, func, insert, or_, select

from kit.book.entries import enter_mark
from kit.book.folding import as_caseless
from kit.book.records import JobEntry
from kit.book.tables import ENTRY, MARK
from kit.errors import BookError

if TYPE_CHECKING:
    from datetime import datetime

Stands = Literal["talking", "out", "signed", "done"]
"""Where a job stands: talked about, its paper handed out, signed, poured and paid."""

STANDS: tuple[Stands, ...] = get_args(Stands)
MARKS: tuple[Stands, ...] = ("talking", "out", "done")
"""What a job can be marked as; that it is signed, it says itself."""
_MOST_WORDS = 12


def listed_jobs(
    connection: Connection,
    words: str = "",
    *,
    stands: Stands | None = None,
    called: Mapping[str, str] | None = None,
    most: int | None = None,
) -> tuple[JobEntry, ...]:
    """Jobs as their newest revisions have them, the last kept first; see `Book.jobs`."""
    query = _listed(words, called or {})
    if stands is not None:
        query = query.where(ENTRY.c.stands == stands)
    query = query.order_by(ENTRY.c.serial.desc()).limit(most)
    return tuple(JobEntry(*row) for row in connection.execute(query))


def tally(
    connection: Connection, words: str, called: Mapping[str, str] | None
) -> dict[Stands, int]:
    """How many of the jobs found stand where."""
    stood = _listed(words, called or {}).subquery().c.stands
    query = select(stood, func.count()).group_by(stood)
    counted = {row[0]: row[1] for row in connection.execute(query)}
    return {stands: counted.get(stands, 0) for stands in STANDS}


def mark(connection: Connection, job_id: str, stands: Stands, when: datetime) -> None:
    """Note where a job stands from now on."""
    if stands not in MARKS:
        raise BookError("mark", found=stands, expected=" or ".join(MARKS))
    marked = select(ENTRY.c.marked).where(ENTRY.c.job_id == job_id)
    if connection.execute(marked).scalar_one() != stands:
        connection.execute(
            insert(MARK).values(job_id=job_id, stands=stands, marked_at=when)
        )
        enter_mark(connection, job_id, stands)


ENTRY_COLUMNS = (
    ENTRY.c.job_id,
    ENTRY.c.client,
    ENTRY.c.title,
    ENTRY.c.job_number,
    ENTRY.c.number,
    ENTRY.c.kept_at,
    ENTRY.c.finish,
    ENTRY.c.total_cents,
    ENTRY.c.stands,
    ENTRY.c.signed_on,
)
"""As a `JobEntry` takes them."""


def _listed(words: str, called: Mapping[str, str]) -> Select[Any]:
    query = select(*ENTRY_COLUMNS)
    for word in as_caseless(words).split()[:_MOST_WORDS]:
        there = ENTRY.c.caseless.contains(word, autoescape=True)
        named = [key for key, name in called.items() if word in as_caseless(name)]
        query = query.where(or_(there, ENTRY.c.finish.in_(named)) if named else there)
    return query
