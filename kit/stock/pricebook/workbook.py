"""The sheets of a workbook (XLSX), values as they were last computed."""

from __future__ import annotations

import io
import re
import warnings
import zipfile
from collections.abc import Iterator
from datetime import date, datetime, time
from decimal import Context
from itertools import islice
from typing import Any

from kit.errors import ShelfError
from kit.stock.pricebook.rows import COLUMNS, MOST_ROWS, SHEET, Cell, column_letter
from kit.stock.pricebook.slots import SHEETS

MOST_UNPACKED = 50_000_000
"""Bytes that a workbook may unpack to."""
MOST_COLUMNS = 40
_AS_SHOWN = Context(prec=15)
"""Digits that a spreadsheet keeps; what follows is noise of its arithmetic."""
_SIGNS = {"€": "EUR", "£": "GBP", "¥": "JPY"}

Sheets = Iterator[tuple[str | None, list[list[Cell]]]]
"""Titles and cells; no title where a column of the sheet names the sheets."""


def sheets_of(name: str, content: bytes) -> Sheets:
    """Our sheets of a workbook; those of the owner's own are left alone.

    Raises
    ------
    ShelfError
        If it is no workbook, a formula in it was never computed or failed, or a sheet
        with our headings has a title not known here.
    """
    _check_unpacked(name, content)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # of features that we do not read
            written = _loaded(content, values=False)
            computed = _loaded(content, values=True)
            read = [
                (sheet.title, list(_lines(name, sheet, computed[sheet.title])))
                for sheet in written.worksheets
            ]
    except ShelfError:
        raise
    except Exception as error:  # whatever a broken file makes the reader stumble over
        raise ShelfError(
            name, found=f"a damaged workbook ({type(error).__name__})", expected="XLSX"
        ) from None
    for title, lines in read:
        known = next((s for s in SHEETS if s.lower() == title.strip().lower()), None)
        heads = {cell.text.lower() for cell in lines[0]} if lines else set()
        if known:
            yield known, lines
        elif heads >= {SHEET, *COLUMNS}:
            yield None, lines
        elif heads >= set(COLUMNS):
            raise ShelfError(
                f"{name}, sheet {title}",
                found="a title that is not known here",
                expected=f"one of {', '.join(SHEETS)}",
            )


def _check_unpacked(name: str, content: bytes) -> None:
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as packed:
            unpacked = sum(part.file_size for part in packed.infolist())
    except (zipfile.BadZipFile, ValueError):
        raise ShelfError(
            name,
            found="no workbook, or one with a password",
            expected="XLSX, saved without a password",
        ) from None
    if unpacked > MOST_UNPACKED:
        raise ShelfError(
            name,
            found=f"{unpacked / 1e6:.0f} MB unpacked",
            expected=f"at most {MOST_UNPACKED / 1e6:.0f} MB",
        )


def _loaded(content: bytes, *, values: bool) -> Any:
    import openpyxl

    return openpyxl.load_workbook(
        io.BytesIO(content), read_only=True, data_only=values, keep_links=False
    )


def _lines(name: str, written: Any, computed: Any) -> Iterator[list[Cell]]:
    about = f"{name}, sheet {written.title}"
    limits = {"max_row": MOST_ROWS + 1, "max_col": MOST_COLUMNS}
    pairs = zip(
        written.iter_rows(**limits), computed.iter_rows(**limits, values_only=True),
        strict=False,
    )  # fmt: skip
    for number, (cells, results) in enumerate(islice(pairs, MOST_ROWS + 1), start=1):
        yield [
            _cell(cell, result, f"{about}, row {number}, column {column_letter(at)}")
            for at, (cell, result) in enumerate(zip(cells, results, strict=False))
        ]


def _cell(cell: Any, result: object, where: str) -> Cell:
    if cell.value is None:
        return Cell(None, where)
    if cell.data_type == "f" and result is None:
        fault = f"the formula {cell.value} without a result; save it in a spreadsheet"
        return Cell(None, where, fault=fault)
    if cell.data_type == "e" or (isinstance(result, str) and result in _FAULTS):
        return Cell(None, where, fault=str(result))
    return Cell(_plain(result), where, _currency(cell.number_format or ""))


_FAULTS = {"#DIV/0!", "#N/A", "#NAME?", "#NULL!", "#NUM!", "#REF!", "#VALUE!"}


def _plain(value: object) -> object:
    """Numbers with the digits that were shown, days without a time."""
    if isinstance(value, bool) or value is None:
        return value
    if isinstance(value, int | float):
        return _AS_SHOWN.create_decimal(repr(value))
    if isinstance(value, datetime) and value.time() == time():
        return value.date()
    return value if isinstance(value, str | date) else str(value)


def _currency(number_format: str) -> str:
    """Currency that a format shows; a dollar sign may be of many countries."""
    shown = "".join(re.findall(r"\[\$([^\]-]+)", number_format)) + number_format
    codes = re.findall(r"\[\$\s*([A-Z]{3})\b", number_format)
    return codes[0] if codes else next((c for s, c in _SIGNS.items() if s in shown), "")
