"""Photos and files of a job, each kept once under the SHA-256 of what is in it.

::

    book.sqlite
    book.files/3f/3f8a…   written whole before the book is told of it

Power lost between the two leaves a file that nothing names, never a name without a file.
"""

from __future__ import annotations

import hashlib
import os
import re
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from kit.book.facts import Attached
from kit.book.noting import Noted, note
from kit.book.place import Place
from kit.errors import BookError, OutputError
from kit.record import filled
from kit.writing import write_file

if TYPE_CHECKING:
    from kit.book.book import Book

MOST_BYTES = 64_000_000
"""Larger than any photo; a film belongs elsewhere."""
_NAME = re.compile(r"[0-9a-f]{64}")


def attach(
    book: Book,
    job_id: str,
    content: bytes,
    *,
    name: str,
    says: str = "",
    shows: Literal["photo", "file"] = "file",
    who: str = "",
) -> Noted:
    """Keep a photo or a file with a job; the same again on the same job adds nothing.

    Raises
    ------
    BookError
        If the job is not in the book, the file is too large, or it cannot be written.
    """
    if len(content) > MOST_BYTES:
        raise BookError(
            name, found=f"{len(content):,} bytes", expected=f"{MOST_BYTES:,} at most"
        )
    book.newest(job_id)  # no file for a job that is not there
    told = {
        "name": name,
        "sha256": hashlib.sha256(content).hexdigest(),
        "size_bytes": len(content),
        "shows": shows,
        "says": says,
    }
    fact = filled(Attached, told, where="file", family=BookError)
    keep_file(book.place, content)
    return note(book, job_id, fact, who=who, mark=f"file {sha256_short(fact)} {shows}")


def sha256_short(fact: Attached) -> str:
    """Enough of a file's hash, name and words to tell it from the others of its job."""
    told = f"{fact.sha256}\n{fact.name}\n{fact.says}"
    return hashlib.sha256(told.encode()).hexdigest()[:32]


def keep_file(place: Place, content: bytes) -> str:
    """Put bytes into the folder of files unless they are there; give their SHA-256.

    Raises
    ------
    BookError
        If the folder cannot be written, or there is none.
    """
    sha256 = hashlib.sha256(content).hexdigest()
    path = _path(place, sha256)
    try:
        if path.is_file() and path.stat().st_size == len(content):
            return sha256
        for folder in (files_folder(place), path.parent):
            if not folder.is_dir():
                folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        write_file(path, content, mode=0o600)
    except (OSError, OutputError) as error:
        raise BookError(
            f"folder of files {files_folder(place)}",
            found=getattr(error, "strerror", None) or str(error),
            expected="a folder that can be written; nothing was noted",
        ) from None
    return sha256


def attached(book: Book, sha256: str) -> bytes:
    """Read a file that was kept, once what is in it is found whole.

    Raises
    ------
    BookError
        If it is missing or was damaged.
    """
    if not _NAME.fullmatch(sha256):
        raise BookError("file", found=sha256, expected="a SHA-256 of 64 letters")
    about = f"file {sha256[:12]} of job book {book.place}"
    try:
        content = _path(book.place, sha256).read_bytes()
    except OSError as error:
        raise BookError(
            about, found=error.strerror, expected="it to be there; put back a copy"
        ) from None
    if hashlib.sha256(content).hexdigest() != sha256:
        raise BookError(
            f"{about} is damaged: it no longer matches its SHA-256",
            expected="it as it was kept; put back a copy",
        )
    return content


def files_folder(place: Place) -> Path:
    """Where the files of a book lie: beside its file, or where ``KIT_BOOK_FILES`` says.

    Raises
    ------
    BookError
        If the book is on a server and no folder is named.
    """
    if isinstance(place, Path):
        return place.with_name(f"{place.stem}.files")
    if named := os.environ.get("KIT_BOOK_FILES"):
        return Path(named).expanduser().absolute()
    raise BookError(
        "KIT_BOOK_FILES",
        found="nothing",
        expected="a folder that the office shares, for the files of a book on a server",
    )


def files_there(place: Place) -> Iterator[str]:
    """Names of all files in the folder, kept by the book or not."""
    folder = files_folder(place)
    if folder.is_dir():
        for path in sorted(folder.glob("??/*")):
            if _NAME.fullmatch(path.name):
                yield path.name


def _path(place: Place, sha256: str) -> Path:
    return files_folder(place) / sha256[:2] / sha256
