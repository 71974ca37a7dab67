"""The list of jobs: found by words, told where each stands, counted."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, Literal, get_args

from sqlalchemy import (
    ColumnElement,
    Connection,
    Select,
    and_,
    case,
    func,
    insert,
    literal,
    select,
)

from kit.book.records import JobEntry
from kit.book.tables import MARK, REVISION
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
        query = query.where(_stands() == stands)
    query = query.order_by(REVISION.c.serial.desc()).limit(most)
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
    if _marked(connection, job_id) != stands:
        connection.execute(
            insert(MARK).values(job_id=job_id, stands=stands, marked_at=when)
        )


def _marked(connection: Connection, job_id: str) -> str | None:
    query = (
        select(MARK.c.stands)
        .where(MARK.c.job_id == job_id)
        .order_by(MARK.c.serial.desc())
        .limit(1)
    )
    return connection.execute(query).scalar_one_or_none()


def _listed(words: str, called: Mapping[str, str]) -> Select[Any]:
    number = func.max(REVISION.c.number).label("number")
    newest = select(REVISION.c.job_id, number).group_by(REVISION.c.job_id).subquery()
    query = (
        select(
            REVISION.c.job_id,
            REVISION.c.client,
            REVISION.c.title,
            REVISION.c.job_number,
            REVISION.c.number,
            REVISION.c.kept_at,
            REVISION.c.finish,
            REVISION.c.total_cents,
            _stands().label("stands"),
            REVISION.c.signed_on,
        )
        .join(
            newest,
            and_(
                REVISION.c.job_id == newest.c.job_id, REVISION.c.number == newest.c.number
            ),
        )
        .outerjoin(MARK, MARK.c.serial == _last_mark())
    )
    for word in words.casefold().split()[:_MOST_WORDS]:
        query = query.where(_haystack(called).contains(word, autoescape=True))
    return query


def _last_mark() -> ColumnElement[int]:
    return (
        select(func.max(MARK.c.serial))
        .where(MARK.c.job_id == REVISION.c.job_id)
        .correlate(REVISION)
        .scalar_subquery()
    )


def _stands() -> ColumnElement[str]:
    return case(
        (MARK.c.stands == "done", "done"),
        (REVISION.c.signed_on.is_not(None), "signed"),
        (MARK.c.stands == "out", "out"),
        else_="talking",
    )


def _haystack(called: Mapping[str, str]) -> ColumnElement[str]:
    """All that a job is found by, as `engine` makes it the same in both cases."""
    finish: ColumnElement[str] = REVISION.c.finish
    if called:
        finish = case(dict(called), value=REVISION.c.finish, else_=REVISION.c.finish)
    told = [REVISION.c.client, REVISION.c.title, REVISION.c.job_number, finish]
    whole: ColumnElement[str] = literal("")
    for part in told:
        whole = whole + part + "\n"
    return func.casefolded(whole)
