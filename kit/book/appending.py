"""How a state of a job comes into the book: begun once, appended, never over another's."""

from __future__ import annotations

import secrets
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import datetime
from decimal import Decimal
from typing import TYPE_CHECKING

from sqlalchemy import Connection

from kit.book import queries
from kit.book.differences import changed_fields, listed
from kit.book.faults import ClashError
from kit.book.payload import Payload, fields
from kit.book.records import Revision
from kit.money import cents

if TYPE_CHECKING:
    from kit.job import Job

_LETTERS = "23456789BCDFGHJKMNPQRSTVWXZ"  # none that look alike, no vowels, so no words


class Beginnings:
    """Marks that new jobs are begun under, remembered until the book has answered.

    A job may be in the book although its answer got lost on the way. Under the same
    mark it is found there, so trying again begins no second one.
    """

    def __init__(self) -> None:
        self._unanswered: dict[str, str] = {}

    @contextmanager
    def marked(self, payload: Payload, mark: str) -> Iterator[str]:
        """Give the mark to begin this payload under: the caller's, or one of our own."""
        mark = mark or self._unanswered.pop(payload.sha256, "") or secrets.token_hex(16)
        try:
            yield mark
        except BaseException:
            self._unanswered[payload.sha256] = mark
            raise


@dataclass(frozen=True)
class State:
    """A state of a job as it is to be kept: sealed, with who says it, why and at what."""

    job: Job
    payload: Payload
    when: datetime
    who: str
    note: str
    total: Decimal | None

    def as_revision(self, job_id: str, number: int) -> Revision:
        """The revision that it becomes."""
        return Revision(
            job_id=job_id,
            number=number,
            when=self.when,
            who=self.who,
            note=self.note,
            finish=self.job.finish,
            total=None if self.total is None else cents(self.total),
            sha256=self.payload.sha256,
        )


def begin_or_go_on(connection: Connection, state: State, mark: str) -> Revision:
    """Begin a job under a mark, or go on with the one that was begun under it.

    Raises
    ------
    ClashError
        If somebody went on with that one meanwhile.
    """
    job_id = queries.id_begun_under(connection, mark)
    if job_id is not None:
        return append_state(connection, state, job_id=job_id, after=1)
    job_id = new_job_id()
    while queries.is_taken(connection, job_id):
        job_id = new_job_id()
    queries.begin(connection, job_id, state.when, mark)
    return _appended(connection, state, job_id, 1)


def append_state(
    connection: Connection, state: State, *, job_id: str, after: int | None
) -> Revision:
    """Append a state of a job that is in the book, unless it already says all of it.

    Raises
    ------
    ClashError
        If another revision came after the one that the edit began from.
    BookError
        If the job is not in the book.
    """
    latest = queries.newest_revision(connection, job_id)
    if _says_all(latest, state):
        return latest
    if after is not None and after != latest.number:
        raise _clash(connection, latest, after)
    if state.total is None and latest.sha256 == state.payload.sha256:
        state = replace(state, total=latest.total)
    return _appended(connection, state, latest.job_id, latest.number + 1)


def _appended(connection: Connection, state: State, job_id: str, number: int) -> Revision:
    revision = state.as_revision(job_id, number)
    queries.append(connection, revision, state.job, state.payload)
    return revision


def new_job_id() -> str:
    """Draw an id that can be read over a telephone, such as ``K7MQ-4T2X``."""
    drawn = "".join(secrets.choice(_LETTERS) for _ in range(8))
    return f"{drawn[:4]}-{drawn[4:]}"


def named(revision: Revision) -> str:
    """What an error calls a revision."""
    return f"job {revision.job_id}, revision {revision.number}"


def _says_all(latest: Revision, state: State) -> bool:
    """Whether keeping would add nothing: a note or total not given adds none."""
    return (
        latest.sha256 == state.payload.sha256
        and state.note in {"", latest.note}
        and state.total in {None, latest.total}
    )


def _clash(connection: Connection, latest: Revision, after: int) -> ClashError:
    """Tell what came after the revision that an edit began from."""
    begun_from = queries.revision_at(connection, latest.job_id, after)
    states = [
        fields(queries.payload_of(connection, revision), about=named(revision))
        for revision in (begun_from, latest)
    ]
    changed = changed_fields(*states)
    by = f" by {latest.who}" if latest.who else ""
    meanwhile = f", which changed {listed(changed)}" if changed else ""
    return ClashError(
        f"job {latest.job_id} was kept as revision {latest.number}{by} on "
        f"{latest.when:%Y-%m-%d at %H:%M} UTC{meanwhile}, after this edit began from "
        f"revision {after}",
        latest=latest,
        changed=changed,
    )
