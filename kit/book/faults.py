"""What can go wrong with the book, each in one plain line."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy.exc import DBAPIError, SQLAlchemyError

from kit.book.place import Place
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

_BUSY = _WORDS[sqlite3.SQLITE_BUSY]
_SERVER_WORDS = {
    "55P03": _BUSY,  # lock_not_available
    "40": _BUSY,  # a transaction rolled back for another's sake
    "53100": _WORDS[sqlite3.SQLITE_FULL],
    "25006": _WORDS[sqlite3.SQLITE_READONLY],
    "42501": ("may not be written by this user", "a user that the office let in"),
    "28": ("does not let this user in", "the right user and password in KIT_BOOK_URL"),
    "3D000": ("is not on its server", "the name of a database that was made there"),
    "22021": ("cannot hold such a character", "whole Unicode text"),
    "XX001": ("is damaged", _WHOLE),
    "XX002": ("is damaged", _WHOLE),
}
"""By what PostgreSQL calls its faults (SQLSTATE), or the first two letters of it."""
_GONE = (
    "does not answer",
    "its server to run and to be reached; what was not kept is still here, try again",
)
_GONE_CLASSES = {"08", "57"}


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
def told_in_words(place: Place) -> Iterator[None]:
    """Turn whatever the file or its database complains of into a `BookError`."""
    try:
        yield
    except (SQLAlchemyError, OSError, UnicodeError, OverflowError) as error:
        says, expected = _words_for(error)
        if expected == _WHOLE or says == _WORDS[sqlite3.SQLITE_NOTADB][0]:
            expected = _with_a_copy(place, expected)
        raise BookError(f"job book {shown(place)} {says}", expected=expected) from error


def shown(place: Place) -> str:
    """Path or database as it may stand in one line, without a password."""
    return "".join(
        c if c.isprintable() else "\N{REPLACEMENT CHARACTER}" for c in str(place)
    )


def _with_a_copy(place: Place, expected: str) -> str:
    """Offer the last copy that is whole in the place of a damaged book."""
    # copies are looked for only once there is need of one
    from kit.book.backups import newest_whole

    backup = newest_whole(place)
    if backup is None:
        return expected
    return f"a whole book; `pourtable jobs restore` puts back the copy of {backup.day}"


def _words_for(error: Exception) -> tuple[str, str]:
    if isinstance(error, DBAPIError):
        if hasattr(error.orig, "sqlstate"):
            return _words_of_a_server(error)
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


def _words_of_a_server(error: DBAPIError) -> tuple[str, str]:
    state = getattr(error.orig, "sqlstate", None)
    if state is None and "NUL" in str(error.orig):
        return _SERVER_WORDS["22021"]
    if state is None or state[:2] in _GONE_CLASSES:
        letters = str(error.orig)
        if state is None and 'database "' in letters and "does not exist" in letters:
            return _SERVER_WORDS["3D000"]
        if "password" in letters or "authentication" in letters:
            return _SERVER_WORDS["28"]
        return _GONE
    words = _SERVER_WORDS.get(state) or _SERVER_WORDS.get(state[:2])
    return words or (f"refused: {_one_line(error.orig)}", "a book that Pourtable made")


def _one_line(error: object) -> str:
    return " ".join(str(error).split())[:120]
