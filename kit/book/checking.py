"""Is the book whole: every page, seal, number and file, told in words."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from sqlalchemy import Connection, func, select, text

from kit.book.attaching import attached, files_there
from kit.book.engine import is_of_a_server
from kit.book.facts import Attached
from kit.book.noting import noted_of
from kit.book.payload import Payload, checked
from kit.book.tables import ENTRY, JOB, REVISION
from kit.errors import BookError, KitError

if TYPE_CHECKING:
    from kit.book.book import Book


@dataclass
class Examined:
    """How much was looked at, and what was wrong, a line each.

    ``unnamed`` files are of no job: what is left where the power went between a file and
    its record. They do no harm.
    """

    jobs: int = 0
    revisions: int = 0
    facts: int = 0
    files: int = 0
    unnamed: int = 0
    faults: list[str] = field(default_factory=list)

    @property
    def is_whole(self) -> bool:
        """Whether nothing was wrong."""
        return not self.faults


def examine(book: Book) -> Examined:
    """Read the whole book and check everything that can be checked.

    Pages by the database's own means, the SHA-256 of every revision, fact and file,
    numbers without gaps, and the list against the revisions it follows from.

    Raises
    ------
    BookError
        If the book cannot be read at all.
    """
    seen = Examined()
    with book.reading() as connection:
        seen.faults += _page_faults(connection)
        names: set[str] = set()
        for job_id in (
            connection.execute(select(JOB.c.id).order_by(JOB.c.id)).scalars().all()
        ):
            seen.jobs += 1
            _examine_revisions(connection, job_id, seen)
            names |= _examine_facts(connection, job_id, seen)
        seen.faults += _list_faults(connection)
    for name in sorted(names):
        seen.files += 1
        try:
            attached(book, name)
        except KitError as error:
            seen.faults.append(error.line)
    try:
        seen.unnamed = sum(name not in names for name in files_there(book.place))
    except BookError:
        if names:
            raise
    return seen


def _page_faults(connection: Connection) -> Iterator[str]:
    if is_of_a_server(connection):
        return
    for (says,) in connection.execute(text("PRAGMA integrity_check(20)")):
        if says != "ok":
            yield f"pages of the file: {says}"
    for row in connection.execute(text("PRAGMA foreign_key_check")):
        yield f"a row of {row[0]} belongs to no {row[2]}"


def _examine_revisions(connection: Connection, job_id: str, seen: Examined) -> None:
    query = (
        select(
            REVISION.c.number,
            REVISION.c.payload_version,
            REVISION.c.payload_sha256,
            REVISION.c.payload,
        )
        .where(REVISION.c.job_id == job_id)
        .order_by(REVISION.c.number)
    )
    expected = 0
    for row in connection.execute(query):
        expected += 1
        seen.revisions += 1
        about = f"job {job_id}, revision {row[0]}"
        if row[0] != expected:
            seen.faults.append(f"{about}: expected revision {expected}")
            expected = row[0]
        try:
            checked(Payload(*row[1:]), about=about)
        except KitError as error:
            seen.faults.append(error.line)
    if not expected:
        seen.faults.append(f"job {job_id} has no revision")


def _examine_facts(connection: Connection, job_id: str, seen: Examined) -> set[str]:
    try:
        noted = noted_of(connection, job_id)
    except KitError as error:
        seen.faults.append(error.line)
        return set()
    seen.facts += len(noted)
    if [n.number for n in noted] != list(range(1, len(noted) + 1)):
        seen.faults.append(f"job {job_id}: a fact is missing")
    return {n.fact.sha256 for n in noted if isinstance(n.fact, Attached)}


def _list_faults(connection: Connection) -> Iterator[str]:
    newest = select(func.max(REVISION.c.serial)).group_by(REVISION.c.job_id)
    kept = set(connection.execute(newest).scalars())
    listed = set(connection.execute(select(ENTRY.c.serial)).scalars())
    if kept != listed:
        yield f"the list of jobs: {len(kept ^ listed)} rows follow from no revision"
