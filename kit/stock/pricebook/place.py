"""Which price book is in use: one place that says so."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path

from kit.errors import ShelfError

VARIABLE = "KIT_PRICE_BOOK"
"""Names the book; set to nothing, the shelf is used as it came."""
USUAL = ("price-book.xlsx", "price-book.csv")
"""Books in the user's configuration folder that are used without being named."""


def book_in_use() -> Path | None:
    """Find the book that prices are taken from; None where it is the shelf alone.

    ``KIT_PRICE_BOOK`` names it, else it is ``price-book.xlsx`` or ``price-book.csv``
    in the user's configuration folder.

    Raises
    ------
    ShelfError
        If the book that is named is not there, or the folder holds both.
    """
    named = os.environ.get(VARIABLE)
    if named is not None:
        if not named:
            return None
        place = Path(named).expanduser()
        if not place.is_file():
            raise ShelfError(f"price book {named}", found="no file", expected="your book")
        return place
    there = [place for name in USUAL if (place := _folder() / name).is_file()]
    if len(there) > 1:
        raise ShelfError(
            f"price book in {_folder()}",
            found=" and ".join(USUAL),
            expected=f"one of them, or {VARIABLE} to name it",
        )
    return there[0] if there else None


@contextmanager
def using(book: Path | None) -> Iterator[None]:
    """Take prices from `book` meanwhile, here and in programs started from here.

    None changes nothing.
    """
    if book is None:
        yield
        return
    before = os.environ.get(VARIABLE)
    os.environ[VARIABLE] = str(book.expanduser().resolve())
    try:
        yield
    finally:
        if before is None:
            del os.environ[VARIABLE]
        else:
            os.environ[VARIABLE] = before


@cache
def _folder() -> Path:
    from platformdirs import user_config_path

    return user_config_path("pourtable", appauthor=False)
