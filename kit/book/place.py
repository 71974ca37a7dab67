"""Where the book lies, and that nobody but its owner reads it.

::

    Place ─┬ Path      one SQLite file
           └ Office    a database of a PostgreSQL server, that several people share
"""

from __future__ import annotations

import os
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from platformdirs import user_data_path
from sqlalchemy.engine import URL, make_url
from sqlalchemy.exc import ArgumentError

from kit.errors import BookError

FILE_NAME = "book.sqlite"
_FILES = {"sqlite", "sqlite+pysqlite"}
_SERVERS = {"postgresql", "postgresql+psycopg"}


@dataclass(frozen=True)
class Office:
    """A database of a PostgreSQL server; as text it never shows the password."""

    url: URL

    def __str__(self) -> str:
        return f"{self.url.database or 'postgres'} at {self.url.host or 'this machine'}"


Place = Path | Office


def book_place(asked: str | Path | None = None) -> Place:
    """Find the file, or the database of a server, of the book that is asked for.

    Parameters
    ----------
    asked : str or Path, optional
        A file, an existing folder to hold ``book.sqlite``, a ``sqlite:///`` or a
        ``postgresql://`` URL. Else the environment's ``KIT_BOOK_URL``, else the
        user's data folder.

    Raises
    ------
    BookError
        If it is a book of another kind, or one that would not outlive us.
    """
    about = "job book"
    if asked is None and (asked := os.environ.get("KIT_BOOK_URL") or None):
        about = "KIT_BOOK_URL"
    if asked is None:
        return user_data_path("pourtable", appauthor=False) / FILE_NAME
    if isinstance(asked, str) and "://" in asked:
        url = _read_url(asked, about)
        if url.drivername in _SERVERS:
            return Office(url.set(drivername="postgresql+psycopg"))
        asked = _file_of_url(url, about)
    if str(asked) in {"", ".", ":memory:"} or "\0" in str(asked):
        raise BookError(about, found=str(asked), expected="a file that stays")
    try:
        path = Path(asked).expanduser().absolute()
        return path / FILE_NAME if path.is_dir() else path
    except (OSError, RuntimeError):
        raise BookError(about, found=str(asked), expected="the path of a file") from None


def _read_url(text: str, about: str) -> URL:
    try:
        return make_url(text)
    except (ArgumentError, ValueError):
        # a URL may carry a password, so only its kind is repeated
        raise BookError(about, found="an unreadable URL", expected=_EXPECTED) from None


def _file_of_url(url: URL, about: str) -> str:
    if url.drivername not in _FILES:
        raise BookError(about, found=f"{url.drivername}://", expected=_EXPECTED)
    if url.query or url.host or url.username:
        raise BookError(
            about, found="a URL with more than a path", expected="sqlite:/// and a path"
        )
    return url.database or ""


def make_room(path: Path) -> None:
    """Make the folder and an empty file, its owner's only, unless they are there.

    Raises
    ------
    OSError
        If the folder or the file cannot be made.
    """
    if not path.parent.is_dir():
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    # made before SQLite sees it, so that it is never readable by others, not even for
    # a moment; an existing file is not opened here, because closing it would drop the
    # locks that this process holds on it
    with suppress(FileExistsError):
        os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600))


def close_to_others(path: Path) -> None:
    """Take the book away from all but its owner; only once it is known to be a book.

    Raises
    ------
    OSError
        If its permissions cannot be changed.
    """
    state = path.stat()
    if os.name == "posix" and state.st_uid == os.geteuid() and state.st_mode & 0o077:
        path.chmod(0o600)


_EXPECTED = "a path, sqlite:/// and a path, or postgresql:// with a server and a database"
