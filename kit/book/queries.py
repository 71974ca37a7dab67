"""Every question put to the tables, and the one thing ever added to them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from sqlalchemy import ColumnElement, Connection, Select, insert, select

from kit.book.entries import enter
from kit.book.payload import Payload
from kit.book.records import Revision
from kit.book.tables import ENTRY, JOB, REVISION
from kit.errors import BookError

if TYPE_CHECKING:
    from datetime import datetime

    from kit.job import Job

_REVISION: Select[Any] = select(
    REVISION.c.job_id,
    REVISION.c.number,
    REVISION.c.kept_at,
    REVISION.c.who,
    REVISION.c.note,
    REVISION.c.finish,
    REVISION.c.total_cents,
    REVISION.c.payload_sha256,
)
_PAYLOAD: Select[Any] = select(
    REVISION.c.payload_version, REVISION.c.payload_sha256, REVISION.c.payload
)


def id_of(connection: Connection, job: Job) -> str | None:
    """Id of the job last kept under this number, client and title, if any."""
    return _last_kept(
        connection,
        ENTRY.c.job_number == job.number,
        ENTRY.c.client == job.site.client.name,
        ENTRY.c.title == job.title,
    )


def id_holding(connection: Connection, payload: Payload) -> str | None:
    """Id of the job last kept whose newest revision says exactly this, if any."""
    return _last_kept(connection, ENTRY.c.payload_sha256 == payload.sha256)


def id_last_kept_by(connection: Connection, who: str) -> str | None:
    """Id of the job that this person kept last, if any."""
    query = (
        select(REVISION.c.job_id)
        .where(REVISION.c.who == who)
        .order_by(REVISION.c.serial.desc())
        .limit(1)
    )
    return connection.execute(query).scalar_one_or_none()


def _last_kept(connection: Connection, *such: ColumnElement[bool]) -> str | None:
    query = select(ENTRY.c.job_id).where(*such).order_by(ENTRY.c.serial.desc()).limit(1)
    return connection.execute(query).scalar_one_or_none()


def revisions(connection: Connection, job_id: str) -> tuple[Revision, ...]:
    """Every revision of a job, the first first.

    Raises
    ------
    BookError
        If no such job is in the book.
    """
    query = _REVISION.where(REVISION.c.job_id == _plain(job_id)).order_by(REVISION.c.number)
    found = tuple(Revision(*row) for row in connection.execute(query))
    if not found:
        raise _no_such(job_id)
    return found


def newest_revision(connection: Connection, job_id: str) -> Revision:
    """Newest revision of a job.

    Raises
    ------
    BookError
        If no such job is in the book.
    """
    query = (
        _REVISION.where(REVISION.c.job_id == _plain(job_id))
        .order_by(REVISION.c.number.desc())
        .limit(1)
    )
    row = connection.execute(query).first()
    if row is None:
        raise _no_such(job_id)
    return Revision(*row)


def revision_at(connection: Connection, job_id: str, number: int) -> Revision:
    """Revision of a job by its number.

    Raises
    ------
    BookError
        If no such job is in the book, or it has no such revision.
    """
    newest = newest_revision(connection, job_id)
    if not 1 <= number <= newest.number:
        raise BookError(
            f"job {newest.job_id}, revision",
            found=number,
            expected=f"1 to {newest.number}",
        )
    query = _REVISION.where(REVISION.c.job_id == newest.job_id, REVISION.c.number == number)
    return Revision(*connection.execute(query).one())


def payload_of(connection: Connection, revision: Revision) -> Payload:
    """The sealed text of a revision, not yet checked."""
    query = _PAYLOAD.where(
        REVISION.c.job_id == revision.job_id, REVISION.c.number == revision.number
    )
    return Payload(*connection.execute(query).one())


def is_taken(connection: Connection, job_id: str) -> bool:
    """Whether a job of this id is in the book."""
    return (
        connection.execute(select(JOB.c.id).where(JOB.c.id == job_id)).first() is not None
    )


def id_begun_under(connection: Connection, mark: str) -> str | None:
    """Id of the job that was begun under this mark, if any."""
    query = select(JOB.c.id).where(JOB.c.mark == mark)
    return connection.execute(query).scalar_one_or_none()


def begin(
    connection: Connection, job_id: str, when: datetime, mark: str | None = None
) -> None:
    """Enter a job that has no revision yet, under a mark that no other has, if any."""
    connection.execute(insert(JOB).values(id=job_id, begun_at=when, mark=mark))


def append(connection: Connection, revision: Revision, job: Job, payload: Payload) -> None:
    """Add a revision with its payload, and what the list shows of it."""
    added = (
        insert(REVISION)
        .values(
            job_id=revision.job_id,
            number=revision.number,
            kept_at=revision.when,
            who=revision.who,
            note=revision.note,
            client=job.site.client.name,
            title=job.title,
            job_number=job.number,
            finish=revision.finish,
            total_cents=revision.total,
            payload_version=payload.version,
            payload_sha256=payload.sha256,
            payload=payload.text,
            signed_on=job.signed.day if job.signed else None,
        )
        .returning(REVISION.c.serial)
    )
    enter(connection, connection.execute(added).scalar_one())


def _plain(job_id: str) -> str:
    # no id holds a NUL, and a server would stumble over one
    return job_id.strip().upper().replace("\0", "?")


def _no_such(job_id: str) -> BookError:
    return BookError("job", found=job_id, expected="the id of a job in the book")
