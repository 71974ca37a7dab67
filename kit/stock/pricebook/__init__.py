"""The owner's own figures, in a book that a spreadsheet opens, laid over the shelf.

A book is a workbook (XLSX) or one table (CSV) with a figure a row: which thing, which
figure of it, its value, its unit, and the day it is of. `write_book` makes one of what
the shelf holds, `overlaid` reads one, and `place` says which one is in use. A book is
taken whole or refused in one line that names the cell.
"""

from kit.stock.pricebook.overlay import overlaid
from kit.stock.pricebook.place import VARIABLE, book_in_use, using
from kit.stock.pricebook.writing import ENDINGS, book_bytes, write_book

__all__ = [
    "ENDINGS",
    "VARIABLE",
    "book_bytes",
    "book_in_use",
    "overlaid",
    "using",
    "write_book",
]
