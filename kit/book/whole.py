"""One job with all that was ever kept of it as a file; the book as a folder of these.

The file is JSON::

    {"kind": "pourtable job with its history", "version": 1, "job_id": "K7MQ-4T2X",
     "begun_at": "2026-03-02T09:00:00.000000+00:00",
     "revisions": [{"number": 1, "kept_at": …, "who": …, "note": …, "total": "7751.95",
                    "payload_version": 2, "payload_sha256": …, "payload": "{…}"}, …],
     "marks": [{"stands": "out", "marked_at": …}, …],
     "facts": [{"number": 1, "revision": 1, "kind": "payment", "noted_at": …, "who": …,
                "mark": …, "payload_version": 1, "payload_sha256": …, "payload": …}, …],
     "files": {"<SHA-256>": "<base64>", …}}

Texts and seals are those of the book, so what is read back is checked as in the book.
"""

from __future__ import annotations

import base64
import json
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from sqlalchemy import Connection, insert, select

from kit.book import queries
from kit.book.attaching import attached, keep_file
from kit.book.entries import enter_mark
from kit.book.facts import Attached
from kit.book.noting import Noted, append_fact, noted_of
from kit.book.payload import Payload
from kit.book.records import Revision
from kit.book.tables import EVENT, JOB, MARK
from kit.book.whole_reading import (
    KIND,
    VERSION,
    checked_facts,
    checked_files,
    checked_revisions,
    read_moment,
    read_whole,
)
from kit.writing import write_file

if TYPE_CHECKING:
    from kit.book.book import Book


@dataclass(frozen=True)
class TakenIn:
    """What taking a file in did: how much was added, or why nothing was.

    ``conflict`` names the first revision or fact that the book has otherwise; a job with
    one is left as it is in the book, whole.
    """

    job_id: str
    revisions: int = 0
    facts: int = 0
    conflict: str = ""


def exported(book: Book, job_id: str) -> bytes:
    """Write a job with its history, facts and files as one file.

    Raises
    ------
    BookError
        If the job is not in the book, or a part of it is damaged or missing.
    """
    with book.reading() as connection:
        revisions = queries.revisions(connection, job_id)
        job_id = revisions[0].job_id
        payloads = [queries.payload_of(connection, revision) for revision in revisions]
        noted = noted_of(connection, job_id)
        begun = connection.execute(select(JOB.c.begun_at).where(JOB.c.id == job_id))
        marks = select(MARK).where(MARK.c.job_id == job_id).order_by(MARK.c.serial)
        told = {
            "kind": KIND,
            "version": VERSION,
            "job_id": job_id,
            "begun_at": _moment(begun.scalar_one()),
            "revisions": [
                _revision(*pair) for pair in zip(revisions, payloads, strict=True)
            ],
            "marks": [
                {"stands": row.stands, "marked_at": _moment(row.marked_at)}
                for row in connection.execute(marks)
            ],
            "facts": _facts(connection, job_id),
        }
    names = {n.fact.sha256 for n in noted if isinstance(n.fact, Attached)}
    told["files"] = {
        name: base64.b64encode(attached(book, name)).decode() for name in sorted(names)
    }
    return json.dumps(told, ensure_ascii=False, indent=1).encode()


def export_all(book: Book, folder: Path) -> int:
    """Write every job of the book into a folder, one file a job; give their number."""
    jobs = book.jobs()
    for entry in jobs:
        write_file(
            folder / f"{entry.job_id}.json", exported(book, entry.job_id), mode=0o600
        )
    return len(jobs)


def take_in(book: Book, content: bytes, *, about: str) -> TakenIn:
    """Add a job out of a file to the book; nothing in the book is ever written over.

    A job that is not there is added under its id. Of one that is there, what the file
    has more is added; if the two differ in anything that both have, nothing is.

    Parameters
    ----------
    book : Book
    content : bytes
    about : str
        Name of the file, for complaints.

    Raises
    ------
    BookError
        If it is no such file, was damaged, was written by a newer Pourtable, or the
        book cannot be written.
    """
    told = read_whole(content, about)
    jobs, noted = checked_revisions(told, about), checked_facts(told, about)
    for file in checked_files(told, about).values():
        keep_file(book.place, file)
    with book.writing() as connection:
        return _add(connection, told, jobs, noted, about)


def take_in_all(book: Book, folder: Path) -> Iterator[TakenIn]:
    """Take in every job of a folder, each whole or not at all."""
    for path in sorted(folder.glob("*.json")):
        yield take_in(book, path.read_bytes(), about=path.name)


def _add(
    connection: Connection,
    told: dict[str, Any],
    jobs: list[tuple[Revision, Payload, Any]],
    noted: list[tuple[Noted, str]],
    about: str,
) -> TakenIn:
    job_id = told["job_id"]
    known = queries.is_taken(connection, job_id)
    here = queries.revisions(connection, job_id) if known else ()
    facts = noted_of(connection, job_id) if known else ()
    conflict = _conflict(here, [revision for revision, _, _ in jobs], "revision")
    conflict = conflict or _conflict(facts, [n for n, _ in noted], "fact")
    if conflict:
        return TakenIn(job_id, conflict=conflict)
    if not known:
        queries.begin(connection, job_id, read_moment(told["begun_at"], about))
    for revision, payload, job in jobs[len(here) :]:
        queries.append(connection, revision, job, payload)
    for fact, text in noted[len(facts) :]:
        append_fact(connection, fact, text)
    if not known:
        for mark in told["marks"]:
            when = read_moment(mark["marked_at"], about)
            connection.execute(
                insert(MARK).values(job_id=job_id, stands=mark["stands"], marked_at=when)
            )
            enter_mark(connection, job_id, mark["stands"])
    return TakenIn(job_id, max(0, len(jobs) - len(here)), max(0, len(noted) - len(facts)))


def _conflict(here: Any, there: Any, what: str) -> str:
    for mine, theirs in zip(here, there, strict=False):
        if mine != theirs:
            who = f" by {theirs.who}" if theirs.who else ""
            return (
                f"{what} {mine.number} in the book is another one than in the file, "
                f"of {theirs.when:%Y-%m-%d %H:%M} UTC{who}"
            )
    return ""


def _revision(revision: Revision, payload: Payload) -> dict[str, Any]:
    return {
        "number": revision.number,
        "kept_at": _moment(revision.when),
        "who": revision.who,
        "note": revision.note,
        "total": None if revision.total is None else str(revision.total),
        "payload_version": payload.version,
        "payload_sha256": payload.sha256,
        "payload": payload.text,
    }


def _facts(connection: Connection, job_id: str) -> list[dict[str, Any]]:
    query = select(EVENT).where(EVENT.c.job_id == job_id).order_by(EVENT.c.number)
    return [
        {
            "number": row.number,
            "revision": row.revision,
            "kind": row.kind,
            "noted_at": _moment(row.noted_at),
            "who": row.who,
            "mark": row.mark,
            "payload_version": row.payload_version,
            "payload_sha256": row.payload_sha256,
            "payload": row.payload,
        }
        for row in connection.execute(query)
    ]


def _moment(when: datetime) -> str:
    return when.astimezone(UTC).isoformat(timespec="microseconds")
