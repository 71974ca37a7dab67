"""The owner's own figures, in a book that a spreadsheet opens, laid over the shelf.

A book is a workbook (XLSX) or one table (CSV) with a figure a row: which thing, which
figure of it, its value, its unit, and the day it is of. `write_book` makes one of what
the shelf holds, `overlaid` reads one, and `place` says which one is in use. A book is
taken whole or refused in one line that names the cell. Who has none loads no more than
what looks for it.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

from kit.stock.pricebook.place import VARIABLE, book_in_use, using

if TYPE_CHECKING:
    from kit.stock.pricebook.overlay import overlaid
    from kit.stock.pricebook.writing import ENDINGS, book_bytes, write_book

_HOMES = {
    "overlaid": "kit.stock.pricebook.overlay",
    **dict.fromkeys(("ENDINGS", "book_bytes", "write_book"), "kit.stock.pricebook.writing"),
}

__all__ = [
    "ENDINGS",
    "VARIABLE",
    "book_bytes",
    "book_in_use",
    "overlaid",
    "using",
    "write_book",
]


def __getattr__(name: str) -> Any:
    if name not in _HOMES:
        msg = f"module 'kit.stock.pricebook' has no attribute {name!r}"
        raise AttributeError(msg)
    return getattr(import_module(_HOMES[name]), name)
