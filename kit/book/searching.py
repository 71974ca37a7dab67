"""Jobs found by what is known of them: one question to both kinds of book."""

from __future__ import annotations

from dataclasses import dataclass, fields
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from sqlalchemy import (
    ColumnElement,
    Connection,
    Select,
    Text,
    bindparam,
    func,
    select,
    text,
)

from kit.book.engine import is_of_a_server
from kit.book.entries import WEIGHTS
from kit.book.folding import folded
from kit.book.listing import ENTRY_COLUMNS, Stands
from kit.book.records import JobEntry
from kit.book.tables import ENTRY
from kit.errors import BookError

if TYPE_CHECKING:
    from kit.book.book import Book

_MOST_WORDS = 12
_LAST_FIRST: Select[Any] = select(*ENTRY_COLUMNS).order_by(ENTRY.c.serial.desc())
_KEPT_ON = func.substr(ENTRY.c.kept_at, 1, 10, type_=Text)


@dataclass(frozen=True)
class Sought:
    """What a job must have to be found; what is left out narrows nothing.

    Parameters
    ----------
    words : str
        Each must begin a word anywhere: client, address, colors, title, number, finish,
        the slab's notes, and all that was noted of the job.
    client, address, color : str
        Each word must begin a word there.
    stands : {"talking", "out", "signed", "done"}, optional
    least, most : Decimal, optional
        What the job was last priced at, both ends in.
    since, until : date, optional
        Days (UTC) on which it was last kept, both in.
    """

    words: str = ""
    client: str = ""
    address: str = ""
    color: str = ""
    stands: Stands | None = None
    least: Decimal | None = None
    most: Decimal | None = None
    since: date | None = None
    until: date | None = None


def search(book: Book, sought: Sought, *, most: int | None = None) -> tuple[JobEntry, ...]:
    """Find jobs, the last kept first.

    Accents and large letters make no difference.

    Parameters
    ----------
    book : Book
    sought : Sought
    most : int, optional
        No more than so many.

    Raises
    ------
    BookError
        If an amount is none, or the book cannot be read.
    """
    with book.reading() as connection:
        query = _LAST_FIRST.where(*found_by(connection, sought)).limit(most)
        return tuple(JobEntry(*row) for row in connection.execute(query))


def found_by(connection: Connection, sought: Sought) -> list[ColumnElement[bool]]:
    """What the rows of the list must fulfil to be found."""
    for name in ("least", "most"):
        amount = getattr(sought, name)
        if amount is not None and not amount.is_finite():
            raise BookError(name, found=amount, expected="an amount of money")
    such: list[ColumnElement[bool]] = []
    if sought.stands is not None:
        such.append(ENTRY.c.stands == sought.stands)
    if sought.least is not None:
        such.append(ENTRY.c.total_cents >= sought.least)
    if sought.most is not None:
        such.append(ENTRY.c.total_cents <= sought.most)
    if sought.since is not None:
        such.append(sought.since.isoformat() <= _KEPT_ON)
    if sought.until is not None:
        such.append(sought.until.isoformat() >= _KEPT_ON)
    asked = {f.name: getattr(sought, f.name) for f in fields(sought)}
    such += _by_words(
        connection, {k: asked[k] for k in ("words", *WEIGHTS) if asked.get(k)}
    )
    return such


def _by_words(connection: Connection, asked: dict[str, str]) -> list[Any]:
    """Folded words hold letters and digits only, so none can be read as an operator."""
    terms: list[tuple[str, str]] = []
    for kind, words in asked.items():
        runs = folded(words).split()[:_MOST_WORDS]
        if words.strip() and not runs:
            return [text("1 = 0")]  # only signs, which begin no word
        terms += [(kind, run) for run in runs]
    if not terms:
        return []
    if is_of_a_server(connection):
        told = " & ".join(f"'{run}':*{WEIGHTS.get(kind, '')}" for kind, run in terms)
        query = "entry.words @@ CAST(:sought AS tsquery)"
    else:
        told = " AND ".join(
            f'{kind} : "{run}" *' if kind in WEIGHTS else f'"{run}" *'
            for kind, run in terms
        )
        query = (
            "entry.place IN (SELECT rowid FROM entry_words WHERE entry_words MATCH :sought)"
        )
    return [text(query).bindparams(bindparam("sought", told, type_=Text))]
