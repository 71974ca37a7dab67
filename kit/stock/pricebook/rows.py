"""The rows of a book as they were written, each cell knowing where it stands."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from string import ascii_uppercase

from kit.errors import ShelfError
from kit.stock.pricebook.slots import SHEETS

COLUMNS = ("thing", "figure", "value", "unit", "as of")
"""Columns of every sheet; a table (CSV) has one more, for the sheet."""
SHEET = "sheet"
SAYS = "what it is"
"""A column of ours that is not read; an owner may have more of his own."""
MOST_ROWS = 5000
MOST_BYTES = 5_000_000
INERT = "'"
"""Put before a text that a spreadsheet would run, and taken off again."""
RUN = ("=", "+", "-", "@", "\t", "\r")
"""How a text begins that a spreadsheet takes for a formula [CWE1236]_."""

_DELIMITERS = ",;\t"


@dataclass(frozen=True)
class Cell:
    """What stands in a cell, and where that is.

    Parameters
    ----------
    value : object
        Text, number or day; None where there is nothing.
    where : str
        ``book.xlsx, sheet Kits, row 3, column C (value)``.
    currency : str
        Currency that its format shows, if it shows one.
    comma : bool
        Whether a comma in a number may be its decimal point.
    fault : str
        Why there is no value, where there should be one.
    """

    value: object
    where: str
    currency: str = ""
    comma: bool = False
    fault: str = ""

    @property
    def text(self) -> str:
        """As words, nothing where there is nothing."""
        if self.value is None:
            return ""
        text = str(self.value).replace("\N{NO-BREAK SPACE}", " ").strip()
        return text[1:] if text.startswith(INERT) and text[1:2] in RUN else text


@dataclass(frozen=True)
class Row:
    """One row of a book: a figure of a thing."""

    sheet: str
    where: str
    thing: Cell
    figure: Cell
    value: Cell
    unit: Cell
    as_of: Cell

    @property
    def key(self) -> tuple[str, str, str]:
        """What it is the row of."""
        return self.sheet, self.thing.text.lower(), self.figure.text.lower()


def read_rows(place: Path) -> tuple[Row, ...]:
    """Read every row of a book.

    Raises
    ------
    ShelfError
        If it cannot be read, is no book, or a figure stands in it twice.
    """
    content = _content(place)
    if place.suffix.lower() == ".csv":
        rows = tuple(_of_table(place.name, content))
    elif place.suffix.lower() == ".xlsx":
        from kit.stock.pricebook.workbook import sheets_of

        rows = tuple(
            row
            for title, cells in sheets_of(place.name, content)
            for row in _of_cells(_titled(place.name, title), cells, title)
        )
    else:
        raise ShelfError(
            f"price book {place}",
            found=place.suffix or "no ending",
            expected=".xlsx or .csv",
        )
    if not rows:
        raise ShelfError(place.name, found="no figures", expected="a row a figure")
    first: dict[tuple[str, str, str], Row] = {}
    for row in rows:
        before = first.setdefault(row.key, row)
        if before is not row:
            raise ShelfError(
                row.where,
                found=f"{row.thing.text}, {row.figure.text} again",
                expected=f"it once; it stands in {before.where.rpartition(', ')[2]} too",
            )
    return rows


def _titled(name: str, title: str | None) -> str:
    return f"{name}, sheet {title}" if title else name


def _content(place: Path) -> bytes:
    try:
        if place.stat().st_size > MOST_BYTES:
            raise ShelfError(
                place.name,
                found=f"{place.stat().st_size / 1e6:.1f} MB",
                expected=f"a price book, at most {MOST_BYTES / 1e6:g} MB",
            )
        return place.read_bytes()
    except OSError as error:
        raise ShelfError(
            f"price book {place}", found=error.strerror, expected="a file to read"
        ) from None


def _of_table(name: str, content: bytes) -> Iterator[Row]:
    """Rows of a CSV: UTF-8, parted by commas, semicolons or tabs."""
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content[: error.start].count(b"\n") + 1
        raise ShelfError(
            f"{name}, row {line}", found="bytes that are no text", expected="CSV UTF-8"
        ) from None
    if "\0" in text:
        raise ShelfError(name, found="bytes that are no text", expected="CSV UTF-8")
    heading = text.lstrip().partition("\n")[0]
    delimiter = max(_DELIMITERS, key=heading.count)
    # Where semicolons or tabs part the cells, commas are free to be decimal points;
    # not so where numbers have points too, for then either might part thousands.
    comma = delimiter != "," and not re.search(r"(^|[;\t\"])-?\d+\.\d", text, re.MULTILINE)
    try:
        lines = [
            [Cell(value or None, "", comma=comma) for value in line]
            for line in csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)
        ]
    except csv.Error as error:
        raise ShelfError(name, found=str(error), expected="a CSV table") from None
    yield from _of_cells(name, lines, None)


def _of_cells(
    about: str, lines: Iterable[Sequence[Cell]], sheet: str | None
) -> Iterator[Row]:
    """Rows below their heading; `sheet` is None where a column names it."""
    places: dict[str, int] = {}
    for number, line in enumerate(lines, start=1):
        if number > MOST_ROWS:
            raise ShelfError(about, found=f"more than {MOST_ROWS} rows", expected="fewer")
        if not any(cell.text or cell.fault for cell in line):
            continue
        if not places:
            places = _columns(f"{about}, row {number}", line, by_table=sheet is None)
            continue
        yield _row(f"{about}, row {number}", line, places, sheet)


def _columns(where: str, line: Sequence[Cell], *, by_table: bool) -> dict[str, int]:
    """Which column is which, by the words of the heading."""
    wanted = (SHEET, *COLUMNS) if by_table else COLUMNS
    words = [" ".join(cell.text.lower().split()) for cell in line]
    for word in wanted:
        if words.count(word) != 1:
            raise ShelfError(
                f"{where}, column {word}",
                found="it twice" if word in words else "no such heading",
                expected=f"a heading with {', '.join(wanted)}",
            )
    return {word: words.index(word) for word in wanted}


def _row(
    where: str, line: Sequence[Cell], places: dict[str, int], sheet: str | None
) -> Row:
    cells = {}
    for word, at in places.items():
        cell = line[at] if at < len(line) else Cell(None, "")
        about = f"{where}, column {column_letter(at)} ({word})"
        if cell.fault:
            raise ShelfError(about, found=cell.fault, expected="a value")
        cells[word] = replace(cell, where=about)
    if sheet is None:
        sheet = _sheet(cells[SHEET])
    for word in ("thing", "figure"):
        if not cells[word].text:
            raise ShelfError(cells[word].where, found="nothing", expected=f"a {word}")
    return Row(sheet, where, *(cells[word] for word in COLUMNS))


def _sheet(cell: Cell) -> str:
    for title in SHEETS:
        if cell.text.lower() == title.lower():
            return title
    raise ShelfError(
        cell.where, found=cell.text or "nothing", expected=f"one of {', '.join(SHEETS)}"
    )


def column_letter(at: int) -> str:
    """The letter of a column as spreadsheets have it, counted from nothing.

    >>> column_letter(0), column_letter(27)
    ('A', 'AB')
    """
    before, last = divmod(at, len(ascii_uppercase))
    return (column_letter(before - 1) if before else "") + ascii_uppercase[last]
