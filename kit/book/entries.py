"""The list as it is written: one row a job, from its newest revision and its last mark.

It follows from what is kept, so it is the one thing that is written over; whenever the
tables change it is written anew.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from sqlalchemy import Connection, Row, delete, func, insert, select, text, update

from kit.book.engine import is_of_a_server
from kit.book.folding import as_caseless, folded
from kit.book.tables import ENTRY, EVENT, MARK, REVISION

UNMARKED = "talking"


def write_list_anew(connection: Connection) -> None:
    """Write the whole list from the revisions and marks."""
    if not is_of_a_server(connection):
        connection.execute(text("DELETE FROM entry_words"))
    connection.execute(delete(ENTRY))
    newest = select(func.max(REVISION.c.serial)).group_by(REVISION.c.job_id)
    for serial in connection.execute(newest).scalars().all():
        enter(connection, serial)


def enter(connection: Connection, serial: int) -> None:
    """Write the row of a job whose newest revision has this serial number."""
    row = connection.execute(select(REVISION).where(REVISION.c.serial == serial)).one()
    marked = _last_mark(connection, row.job_id)
    told = {
        "serial": row.serial,
        "number": row.number,
        "kept_at": row.kept_at,
        "client": row.client,
        "title": row.title,
        "job_number": row.job_number,
        "finish": row.finish,
        "total_cents": row.total_cents,
        "signed_on": row.signed_on,
        "marked": marked,
        "stands": _stands(marked, signed=row.signed_on is not None),
        "payload_sha256": row.payload_sha256,
        "caseless": as_caseless(
            "\n".join((row.client, row.title, row.job_number, row.finish))
        ),
    }
    known = update(ENTRY).where(ENTRY.c.job_id == row.job_id).values(told)
    place = connection.execute(known.returning(ENTRY.c.place)).scalar_one_or_none()
    if place is None:
        new = insert(ENTRY).values(job_id=row.job_id, **told).returning(ENTRY.c.place)
        place = connection.execute(new).scalar_one()
    _write_words(connection, place, words_of(row, _facts(connection, row.job_id)))


def enter_words(connection: Connection, job_id: str) -> None:
    """Write the words of a job anew, because a fact was noted of it."""
    query = select(ENTRY.c.place, ENTRY.c.serial).where(ENTRY.c.job_id == job_id)
    place, serial = connection.execute(query).one()
    row = connection.execute(select(REVISION).where(REVISION.c.serial == serial)).one()
    _write_words(connection, place, words_of(row, _facts(connection, job_id)))


def enter_mark(connection: Connection, job_id: str, marked: str) -> None:
    """Write a new mark into the row of a job."""
    mine = ENTRY.c.job_id == job_id
    signed_on = connection.execute(select(ENTRY.c.signed_on).where(mine)).scalar_one()
    stands = _stands(marked, signed=signed_on is not None)
    connection.execute(update(ENTRY).where(mine).values(marked=marked, stands=stands))


def words_of(row: Row[Any], facts: Iterable[Mapping[str, Any]] = ()) -> dict[str, str]:
    """Folded words of a revision and of what is noted, by what they are sought as."""
    job = _readable(row.payload)
    site = _inside(job, "site")
    client = _inside(site, "client")
    pigments = [
        str(color.get("pigment", ""))
        for color in _inside(_inside(job, "recipe"), "palette").get("color", ())
        if isinstance(color, Mapping)
    ]
    rest = [row.title, row.job_number, row.finish, row.note, row.who]
    rest += [
        text
        for part in (site.get("slab"), client, *facts)
        if isinstance(part, Mapping)
        for text in part.values()
        if isinstance(text, str)
    ]
    return {
        "client": folded(row.client),
        "address": folded(str(client.get("address", ""))),
        "color": folded(" ".join(pigments)),
        "rest": folded(" ".join(rest)),
    }


WEIGHTS = {"client": "A", "address": "B", "color": "C", "rest": "D"}
"""What PostgreSQL tells the four kinds of words apart by."""


def _write_words(connection: Connection, place: int, words: Mapping[str, str]) -> None:
    if is_of_a_server(connection):
        vector = " ".join(_lexemes(words))
        query = "UPDATE entry SET words = CAST(:words AS tsvector) WHERE place = :place"
        connection.execute(text(query), {"words": vector, "place": place})
        return
    connection.execute(
        text("DELETE FROM entry_words WHERE rowid = :place"), {"place": place}
    )
    connection.execute(
        text(
            "INSERT INTO entry_words (rowid, client, address, color, rest) "
            "VALUES (:place, :client, :address, :color, :rest)"
        ),
        {"place": place, **words},
    )


def _lexemes(words: Mapping[str, str]) -> Iterator[str]:
    """Each word once a kind: folded words hold no quote, so they need no escape."""
    for position, (kind, weight) in enumerate(WEIGHTS.items(), start=1):
        for word in dict.fromkeys(words[kind].split()):
            yield f"'{word}':{position}{weight}"


def _facts(connection: Connection, job_id: str) -> list[Mapping[str, Any]]:
    query = select(EVENT.c.payload).where(EVENT.c.job_id == job_id)
    return [_readable(payload) for payload in connection.execute(query).scalars()]


def _last_mark(connection: Connection, job_id: str) -> str:
    query = (
        select(MARK.c.stands)
        .where(MARK.c.job_id == job_id)
        .order_by(MARK.c.serial.desc())
        .limit(1)
    )
    return connection.execute(query).scalar_one_or_none() or UNMARKED


def _stands(marked: str, *, signed: bool) -> str:
    if marked == "done":
        return marked
    return "signed" if signed else marked


def _readable(payload: Any) -> Mapping[str, Any]:
    """Fields of a payload, or none if it is damaged: then only its words are missing."""
    try:
        job = json.loads(payload)
    except (TypeError, ValueError):
        return {}
    return job if isinstance(job, Mapping) else {}


def _inside(job: Mapping[str, Any], name: str) -> Mapping[str, Any]:
    there = job.get(name)
    return there if isinstance(there, Mapping) else {}
