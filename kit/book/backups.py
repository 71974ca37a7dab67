"""Copies of the book: one after each day's work, checked by opening, the last few kept.

::

    book.sqlite
    book.backups/book-2026-11-25.sqlite      the state after that day's work

A book on a server is copied by the server's own means (`pg_dump`).
"""

from __future__ import annotations

import re
import sqlite3
from contextlib import closing, suppress
from dataclasses import dataclass
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from kit.book.faults import shown, told_in_words
from kit.book.place import Place
from kit.errors import BookError

if TYPE_CHECKING:
    from kit.book.book import Book

MOST_BYTES = 500_000_000
"""A larger book is not copied while somebody waits for it to open."""
KEPT_DAYS = 14
KEPT_MONTHS = 24
"""The newest copy of each of so many months is kept longer than the days."""
_NAME = re.compile(r"book-(\d{4}-\d{2}-\d{2})\.sqlite")
_WHOLE = "a whole one"


@dataclass(frozen=True)
class Backup:
    """A copy of the book, as it was after a day's work."""

    path: Path
    day: date


def backups_of(place: Place) -> tuple[Backup, ...]:
    """Copies that there are, the newest first."""
    folder = _folder(place)
    found = []
    if folder.is_dir():
        for path in folder.iterdir():
            if match := _NAME.fullmatch(path.name):
                with suppress(ValueError):
                    found.append(Backup(path, date.fromisoformat(match[1])))
    return tuple(sorted(found, key=lambda backup: backup.day, reverse=True))


def back_up(book: Book, day: date | None = None) -> Backup:
    """Copy the book while it may be in use, check the copy, and drop the oldest ones.

    Parameters
    ----------
    book : Book
    day : date, optional
        Whose work it holds; that of the last change by default.

    Raises
    ------
    BookError
        If the book is on a server, or the copy cannot be written or is not whole; the
        copies of before then still stand.
    """
    place = _file_of(book.place)
    day = day or last_worked_on(place) or book.now().astimezone(UTC).date()
    folder = _folder(place)
    path = folder / f"book-{day.isoformat()}.sqlite"
    draft = folder / f".{path.name}.draft"
    with told_in_words(place):
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        draft.unlink(missing_ok=True)
        draft.touch(mode=0o600)
        try:
            copy_database(place, draft)
            if fault := fault_of(draft):
                raise BookError(
                    f"copy of job book {shown(place)} {fault}", expected="a whole one"
                )
            draft.replace(path)
        except sqlite3.Error as error:
            raise BookError(
                f"copy of job book {shown(place)}",
                found=str(error),
                expected="a folder with room beside it; the book itself was not touched",
            ) from None
        finally:
            draft.unlink(missing_ok=True)
    rotate(place)
    return Backup(path, day)


def is_due(place: Place, today: date) -> bool:
    """Whether a day's work before today is in no copy yet."""
    if not isinstance(place, Path):
        return False
    worked = last_worked_on(place)
    if worked is None or worked >= today:
        return False
    newest = backups_of(place)[:1]
    return not newest or newest[0].day < worked


def is_too_large(place: Place) -> bool:
    """Whether copying the book would keep whoever opens it waiting."""
    return isinstance(place, Path) and place.stat().st_size > MOST_BYTES


def last_worked_on(place: Path) -> date | None:
    """Day (UTC) on which something was last added to the book, if ever."""
    tables = (("revision", "kept_at"), ("event", "noted_at"), ("mark", "marked_at"))
    told = []
    try:
        with closing(_opened(place)) as connection:
            for table, when in tables:
                query = f"SELECT {when} FROM {table} ORDER BY serial DESC LIMIT 1"
                told += [row[0] for row in connection.execute(query)]
        return max(datetime.fromisoformat(w).astimezone(UTC).date() for w in told)
    except (sqlite3.Error, ValueError, TypeError):
        return None


def rotate(place: Path) -> None:
    """Drop the copies that are older than the last days, but one a month."""
    found = backups_of(place)
    kept = {backup.path for backup in found[:KEPT_DAYS]}
    months: dict[str, Path] = {}
    for backup in found:
        months.setdefault(backup.day.isoformat()[:7], backup.path)
    kept |= set(list(months.values())[:KEPT_MONTHS])
    for backup in found:
        if backup.path not in kept:
            with suppress(OSError):
                backup.path.unlink()


def newest_whole(place: Place) -> Backup | None:
    """Newest copy that opens and is whole, if there is one."""
    if not isinstance(place, Path):
        return None
    return next((b for b in backups_of(place) if not fault_of(b.path)), None)


def restore(
    place: Place, backup: Backup | None = None, *, now: datetime
) -> tuple[Backup, Path]:
    """Put a copy in the place of the book, which is set aside and not thrown away.

    Parameters
    ----------
    place : Path
        Of the book.
    backup : Backup, optional
        Which copy; the newest that is whole by default.
    now : datetime
        Stamped on what is set aside.

    Returns
    -------
    Backup, Path
        The copy that was put back, and the book as it was.

    Raises
    ------
    BookError
        If there is no whole copy, or the folder cannot be written.
    """
    path = _file_of(place)
    chosen = backup or newest_whole(path)
    if chosen is None:
        raise BookError(
            f"copies of job book {shown(path)}", found="none", expected="a whole one"
        )
    if fault := fault_of(chosen.path):
        raise BookError(f"copy {chosen.path.name} {fault}", expected=_WHOLE)
    aside = path.with_name(
        f"{path.stem}.set-aside-{now.astimezone(UTC):%Y%m%dT%H%M%SZ}.sqlite"
    )
    draft = path.with_name(f".{path.name}.draft")
    with told_in_words(path):
        draft.unlink(missing_ok=True)
        draft.touch(mode=0o600)
        try:
            copy_database(chosen.path, draft)
            if path.exists():
                # a journal belongs to the book it lies beside, and goes where that goes
                journal = path.with_name(f"{path.name}-journal")
                if journal.exists():
                    journal.replace(aside.with_name(f"{aside.name}-journal"))
                path.replace(aside)
            draft.replace(path)
        except sqlite3.Error as error:
            raise BookError(
                f"job book {shown(path)}",
                found=str(error),
                expected="room to put a copy back",
            ) from None
        finally:
            draft.unlink(missing_ok=True)
    return chosen, aside


def copy_database(source: Path, target: Path) -> None:
    """Copy a database while it may be in use (SQLite's online backup)."""
    with closing(_opened(source)) as here, closing(sqlite3.connect(target)) as there:
        here.backup(there)


def fault_of(path: Path) -> str:
    """What is wrong with the file of a book, or nothing: opened, and every page read."""
    try:
        with closing(_opened(path)) as connection:
            (says,) = connection.execute("PRAGMA integrity_check(1)").fetchone()
            if says != "ok":
                return f"is damaged ({says})"
            connection.execute("SELECT max(number) FROM step").fetchone()
            connection.execute("SELECT max(serial) FROM revision").fetchone()
    except sqlite3.Error as error:
        return f"is damaged ({error})"
    return ""


def _opened(path: Path) -> sqlite3.Connection:
    return sqlite3.connect(f"{path.absolute().as_uri()}?mode=rw", uri=True, timeout=10)


def _folder(place: Place) -> Path:
    path = _file_of(place)
    return path.with_name(f"{path.stem}.backups")


def _file_of(place: Place) -> Path:
    if isinstance(place, Path):
        return place
    raise BookError(
        f"job book {place}",
        found="a book on a server",
        expected="it to be copied there: pg_dump makes a copy, pg_restore puts it back",
    )
