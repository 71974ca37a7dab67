"""What can go wrong with the book, each in one plain line."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy.exc import DBAPIError, SQLAlchemyError

from kit.book.records import Revision
from kit.errors import BookError

BUSY_S = 10
"""How long to wait for another program to let go of the book. [s]"""

_WRITABLE = "a file and a folder that you may write"
_WHOLE = "a whole book; put back a copy of it"
_WORDS = {
    sqlite3.SQLITE_BUSY: (
        f"was held by another program for {BUSY_S} seconds",
        "it to be let go; nothing was changed, try again",
    ),
    sqlite3.SQLITE_READONLY: ("cannot be written, nothing was changed", _WRITABLE),
    sqlite3.SQLITE_FULL: (
        "has no room on its disk",
        "space to write; nothing was changed",
    ),
    sqlite3.SQLITE_NOTADB: ("is not a job book", "a file that Pourtable made"),
    sqlite3.SQLITE_CORRUPT: ("is damaged", _WHOLE),
    sqlite3.SQLITE_PERM: ("cannot be opened", _WRITABLE),
    sqlite3.SQLITE_CANTOPEN: ("cannot be opened", _WRITABLE),
    sqlite3.SQLITE_IOERR: (
        "could not be read or written by its disk",
        "a disk that answers; nothing was changed",
    ),
}


class ClashError(BookError):
    """Somebody kept the job after the revision that this edit began from.

    Parameters
    ----------
    about : str
        What happened, in a sentence.
    latest : Revision
        The one that came between.
    changed : tuple of str
        The fields it changed, as a person names them.
    """

    def __init__(self, about: str, *, latest: Revision, changed: tuple[str, ...]) -> None:
        self.latest = latest
        self.changed = changed
        super().__init__(
            about,
            expected=f"the edit to be made again on revision {latest.number}; "
            "nothing was overwritten",
        )


@contextmanager
def told_in_words(path: Path) -> Iterator[None]:
    """Turn whatever the file or its database complains of into a `BookError`."""
    try:
        yield
    except (SQLAlchemyError, OSError, UnicodeError, OverflowError) as error:
        says, expected = _words_for(error)
        raise BookError(f"job book {shown(path)} {says}", expected=expected) from error


def shown(path: Path) -> str:
    """Path as it may stand in one line."""
    return "".join(c if c.isprintable() else "\N{REPLACEMENT CHARACTER}" for c in str(path))


def _words_for(error: Exception) -> tuple[str, str]:
    if isinstance(error, DBAPIError):
        code = getattr(error.orig, "sqlite_errorcode", None)
        if code is not None and code & 0xFF in _WORDS:
            return _WORDS[code & 0xFF]
        if "decode" in str(error.orig):  # text that is not UTF-8 has no code of its own
            return "is damaged", _WHOLE
        return f"refused: {_one_line(error.orig)}", "a book that Pourtable made"
    if isinstance(error, UnicodeError):
        return "cannot hold half a character", "whole Unicode text"
    if isinstance(error, OSError):
        return f"cannot be opened ({error.strerror or _one_line(error)})", _WRITABLE
    return f"failed: {_one_line(error)}", ""


def _one_line(error: object) -> str:
    return " ".join(str(error).split())[:120]
