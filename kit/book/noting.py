"""Facts noted of a job: appended with who and when, never changed, only taken back."""

from __future__ import annotations

import secrets
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING, Any, TypeVar

from pydantic import ValidationError
from sqlalchemy import Connection, Row, func, insert, select

from kit.book import queries
from kit.book.entries import enter_words
from kit.book.facts import FACTS, Answer, ChangeOrder, Fact, ProposalSent, Withdrawn
from kit.book.payload import sha256_of
from kit.book.tables import EVENT
from kit.book.wording import check_words
from kit.errors import BookError
from kit.record import complaint

if TYPE_CHECKING:
    from kit.book.book import Book

VERSION = 2
"""Of the shape of facts; raised when a Pourtable of before could not read a new one."""

Kind = TypeVar("Kind", bound=Fact)


@dataclass(frozen=True)
class Noted:
    """A fact in the book: ``number`` counts those of its job from 1 without gaps.

    ``revision`` is that of the job's newest state when it was noted; ``mark`` the word
    that tells a second try from a second fact.
    """

    job_id: str
    number: int
    revision: int
    when: datetime
    who: str
    fact: Fact
    mark: str
    sha256: str


def note(book: Book, job_id: str, fact: Fact, *, who: str = "", mark: str = "") -> Noted:
    """Note a fact of a job.

    Parameters
    ----------
    book : Book
    job_id : str
    fact : Fact
    who : str
        Who notes it, up to 80 characters; nobody named is the book's own.
    mark : str
        A word of the caller's for this very fact, up to 80 characters. Noting it again
        under the same mark, because an answer got lost, adds nothing.

    Raises
    ------
    BookError
        If the job is not in the book, the fact answers or takes back one that is not
        there, the mark was given to another fact, or the book cannot be written.
    """
    check_words(("who", who, 80, False), ("mark", mark, 80, False))
    payload = sealed_fact(fact)
    with book.writing() as connection:
        newest = queries.newest_revision(connection, job_id)
        before = noted_of(connection, newest.job_id)
        if mark and (same := next((n for n in before if n.mark == mark), None)):
            if same.sha256 != sha256_of(payload):
                raise BookError("mark", found=mark, expected="a word of its own")
            return same
        _check_about(fact, before)
        noted = Noted(
            job_id=newest.job_id,
            number=len(before) + 1,
            revision=newest.number,
            when=book.now().astimezone(UTC),
            who=who or book.who,
            fact=fact,
            mark=mark or secrets.token_hex(8),
            sha256=sha256_of(payload),
        )
        append_fact(connection, noted, payload)
    return noted


def facts_of(book: Book, job_id: str) -> tuple[Noted, ...]:
    """Every fact noted of a job, the first first, those taken back among them.

    Raises
    ------
    BookError
        If the job is not in the book, or a fact was damaged.
    """
    with book.reading() as connection:
        newest = queries.newest_revision(connection, job_id)
        return noted_of(connection, newest.job_id)


def standing(noted: tuple[Noted, ...]) -> tuple[Noted, ...]:
    """Those that were not taken back, without what took them back."""
    gone = {n.fact.number for n in noted if isinstance(n.fact, Withdrawn)}
    return tuple(
        n for n in noted if n.number not in gone and not isinstance(n.fact, Withdrawn)
    )


def of_kind(noted: tuple[Noted, ...], kind: type[Kind]) -> tuple[Kind, ...]:
    """The standing facts of one kind, the first first."""
    return tuple(n.fact for n in standing(noted) if isinstance(n.fact, kind))


def append_fact(connection: Connection, noted: Noted, payload: str) -> None:
    """Add a fact to the tables."""
    connection.execute(
        insert(EVENT).values(
            job_id=noted.job_id,
            number=noted.number,
            revision=noted.revision,
            kind=noted.fact.KIND,
            noted_at=noted.when,
            who=noted.who,
            mark=noted.mark,
            day=day_of(noted.fact),
            amount_cents=noted.fact.amount,
            payload_version=VERSION,
            payload_sha256=noted.sha256,
            payload=payload,
        )
    )
    enter_words(connection, noted.job_id)


def noted_of(connection: Connection, job_id: str) -> tuple[Noted, ...]:
    """Facts of a job by its id as the book writes it."""
    query = select(EVENT).where(EVENT.c.job_id == job_id).order_by(EVENT.c.number)
    return tuple(read_rows(connection.execute(query)))


def read_rows(rows: Iterable[Row[Any]]) -> Iterator[Noted]:
    """Read whole rows of the table of facts, each checked."""
    return (_noted(row) for row in rows)


def count_facts(connection: Connection) -> int:
    """How many facts are in the book."""
    return connection.execute(select(func.count()).select_from(EVENT)).scalar_one()


def sealed_fact(fact: Fact) -> str:
    """Write a fact down as JSON text.

    Raises
    ------
    BookError
        If it is of no known kind.
    """
    if FACTS.get(getattr(fact, "KIND", "")) is not type(fact):
        raise BookError("fact", found=type(fact).__name__, expected=" or ".join(FACTS))
    return fact.model_dump_json(by_alias=True)


def opened_fact(kind: str, version: int, sha256: str, payload: str, *, about: str) -> Fact:
    """Read a fact back, once its seal is found whole.

    Raises
    ------
    BookError
        If the text was damaged, or was written by a newer Pourtable.
    """
    if version > VERSION or kind not in FACTS:
        raise BookError(
            f"{about} was noted by a newer Pourtable",
            found=f"{kind}, version {version}",
            expected=f"version {VERSION} or earlier; update Pourtable to open it",
        )
    if not isinstance(payload, str) or sha256_of(payload) != sha256:
        raise BookError(
            f"{about} is damaged: its text no longer matches its SHA-256",
            expected="it as it was noted; put back a copy of the book",
        )
    try:
        return FACTS[kind].model_validate_json(payload)
    except ValidationError as error:
        raise complaint(error, where=about, family=BookError) from None


def day_of(fact: Fact) -> date | None:
    """The day that a fact is about, if it names one."""
    day: date | None = getattr(fact, "day", None) or getattr(fact, "start", None)
    return day


def _noted(row: Row[Any]) -> Noted:
    fact = opened_fact(
        row.kind,
        row.payload_version,
        row.payload_sha256,
        row.payload,
        about=f"job {row.job_id}, fact {row.number}",
    )
    return Noted(
        row.job_id, row.number, row.revision, row.noted_at, row.who, fact, row.mark,
        row.payload_sha256,
    )  # fmt: skip


def _check_about(fact: Fact, before: tuple[Noted, ...]) -> None:
    """A fact that speaks of another must speak of one that is there."""
    there = {n.number: n.fact for n in standing(before)}
    if isinstance(fact, Withdrawn) and fact.number not in there:
        raise BookError(
            "withdrawn, number", found=fact.number, expected="a fact that still counts"
        )
    if isinstance(fact, Answer) and fact.to is not None:
        answered = there.get(fact.to)
        if not isinstance(answered, ProposalSent | ChangeOrder):
            raise BookError(
                "answer, to",
                found=fact.to,
                expected="the number of a proposal or a change order",
            )
