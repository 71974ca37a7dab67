"""From what stands in a cell to a number, a share, a word or a day."""

from __future__ import annotations

import re
from datetime import date
from decimal import Decimal

from kit.errors import ShelfError
from kit.stock.pricebook.quantities import Quantity, plain, taken
from kit.stock.pricebook.rows import Cell, Row

EARLIEST = date(2000, 1, 1)
"""A price from before is a slip of the pen."""

_NUMBER = re.compile(r"[+-]?\d{1,15}(\.\d{1,18})?(E[+-]?\d{1,2})?", re.IGNORECASE)
_COMMA = re.compile(r"[+-]?\d{1,15},\d{1,18}")
_DAY = re.compile(r"\d{4}-\d{2}-\d{2}")


def number(cell: Cell) -> Decimal:
    """Read a number; one per cent sign makes a share of it.

    Raises
    ------
    ShelfError
        If it is none, or could be read in two ways.
    """
    if isinstance(cell.value, Decimal) and cell.value.is_finite():
        return cell.value
    text = cell.text
    if not isinstance(cell.value, str):
        raise ShelfError(cell.where, found=text or "nothing", expected="a number")
    if cell.comma and _COMMA.fullmatch(text):
        text = text.replace(",", ".")
    if not _NUMBER.fullmatch(text):
        raise ShelfError(cell.where, found=text or "nothing", expected=_told(text))
    return Decimal(text)


def _told(text: str) -> str:
    """What belongs there instead, by what is wrong with it."""
    if not re.search(r"\d", text):
        return "a number"
    if re.fullmatch(r"[+-]?[\d.,' ]+", text):
        return "a plain number such as 1234.50, without anything between thousands"
    return "a number alone; its unit and currency belong in the column unit"


def unit_of(row: Row, quantity: Quantity, currency: str) -> tuple[str, Decimal, Decimal]:
    """Read value and unit; give the unit, the value as written, and in the record's own.

    Raises
    ------
    ShelfError
        If either cannot be read, or the unit is in another currency.
    """
    units = quantity.in_currency(currency)
    by_word = {plain(unit): unit for unit in units}
    cell, asked = row.value, plain(row.unit.text)
    if quantity.sort == "share" and cell.text.endswith("%"):
        # it says itself what it is, whatever the column says
        cell, asked = Cell(cell.text[:-1].strip(), cell.where, comma=cell.comma), "%"
    if asked not in by_word:
        raise _other_unit(row.unit, list(units), quantity, currency)
    if quantity.sort == "money" and cell.currency not in ("", currency):
        raise ShelfError(
            cell.where, found=f"a price shown in {cell.currency}", expected=_one(currency)
        )
    unit, value = by_word[asked], number(cell)
    return unit, value, taken(value, units[unit])


def _other_unit(
    cell: Cell, units: list[str], quantity: Quantity, currency: str
) -> ShelfError:
    expected = " or ".join(unit or "nothing" for unit in units)
    if quantity.sort == "money" and re.match(r"[A-Za-z]{3}\b", cell.text):
        expected += f"; {_one(currency)}" if not cell.text.startswith(currency) else ""
    return ShelfError(cell.where, found=cell.text or "nothing", expected=expected)


def _one(currency: str) -> str:
    return f"one currency in all of the book, the firm's ({currency})"


def day(cell: Cell, *, today: date) -> date | None:
    """Read a day that has come; None where there is nothing.

    Raises
    ------
    ShelfError
        If it is no day, or none on which a price could have been had.
    """
    found = cell.value
    if not cell.text:
        return None
    if isinstance(found, str) and _DAY.fullmatch(cell.text):
        try:
            found = date.fromisoformat(cell.text)
        except ValueError:
            found = cell.text
    if not isinstance(found, date):
        raise ShelfError(
            cell.where, found=cell.text, expected="a day such as 2026-11-25, the year first"
        )
    if not EARLIEST <= found <= today:
        raise ShelfError(
            cell.where,
            found=found.isoformat(),
            expected=f"a day from {EARLIEST.isoformat()} to today, {today.isoformat()}",
        )
    return found
