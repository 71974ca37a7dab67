"""Price books for tests: the template with some of its cells written anew."""

from __future__ import annotations

import csv
import io
from datetime import date
from decimal import Decimal
from functools import cache

import openpyxl

from kit.stock import read_shelf
from kit.stock.pricebook import book_bytes

TODAY = date(2026, 11, 25)
COLUMNS = ("sheet", "thing", "figure", "value", "unit", "as of", "what it is")


def table_rows(shelf=None):
    """The template as rows of words, heading first."""
    text = book_bytes(shelf or read_shelf(), ".csv").decode("utf-8-sig")
    return list(csv.reader(io.StringIO(text, newline="")))


def row_number(rows, sheet, thing, figure):
    """Where a row stands, counted from nothing."""
    return next(at for at, row in enumerate(rows) if row[:3] == [sheet, thing, figure])


def written(place, rows, *, delimiter=",", ends="\r\n", coding="utf-8-sig"):
    """A table written to a file, as some spreadsheet would."""
    out = io.StringIO(newline="")
    csv.writer(out, delimiter=delimiter, lineterminator=ends).writerows(rows)
    place.write_bytes(out.getvalue().encode(coding))
    return place


def table(place, changes=(), **how):
    """A CSV book; changes are ((sheet, thing, figure), {column: words})."""
    rows = table_rows()
    for key, cells in changes:
        row = rows[row_number(rows, *key)]
        for column, words in cells.items():
            row[COLUMNS.index(column)] = words
    return written(place, rows, **how)


@cache
def _template():
    return book_bytes(read_shelf(), ".xlsx")


def workbook(place, changes=(), formats=(), *, only=None):
    """An XLSX book; changes are ((sheet, thing, figure), {column: value})."""
    book = openpyxl.load_workbook(io.BytesIO(_template()))
    for title in book.sheetnames:
        if only and title not in only:
            del book[title]
    for key, cells in changes:
        for column, value in cells.items():
            cell_of(book, key, column).value = value
    for key, number_format in formats:
        cell_of(book, key, "value").number_format = number_format
    book.save(place)
    return place


def cell_of(book, key, column):
    """The cell of a row in a column."""
    sheet, thing, figure = key
    for row in book[sheet].iter_rows(min_row=2):
        if [row[0].value, row[1].value] == [thing, figure]:
            return row[COLUMNS.index(column) - 1]
    raise AssertionError(key)


def all_of_a_day(place, day="2026-11-01", **changed):
    """A CSV book in which every figure bears its day, as an owner fills it in."""
    rows = table_rows()
    for row in rows[1:]:
        row[5] = day
    return written(place, rows)


def in_other_units(rows):
    """The same rows in units of the other system, as exactly as decimals can."""
    from kit.stock.pricebook.quantities import plain

    turned = {
        "mil": ("um", Decimal("25.4")),
        "gal": ("l", Decimal("3.785411784")),
        "m2": ("sq ft", 1 / Decimal("0.09290304")),
        "m2/h": ("sq ft/h", 1 / Decimal("0.09290304")),
        "m/h": ("ft/h", 1 / Decimal("0.3048")),
        "USD/kg": ("USD/lb", Decimal("0.45359237")),
        "kg/l": ("lb/gal", Decimal("3.785411784") / Decimal("0.45359237")),
        "%": ("share", Decimal("0.01")),
        "in": ("mm", Decimal("25.4")),
        "ft": ("m", Decimal("0.3048")),
    }
    for row in rows[1:]:
        if row[0] == "Kits" and row[2].endswith(" gal"):
            size = Decimal(row[2].split()[2])
            row[2] = f"kit of {size * Decimal('3.785411784'):f} l"
        elif plain(row[4]) == "ft" and row[1] == "crack_repair":
            continue
        elif row[4] in turned:
            unit, factor = turned[row[4]]
            row[3], row[4] = f"{round(Decimal(row[3]) * factor, 15):f}", unit
    return rows
