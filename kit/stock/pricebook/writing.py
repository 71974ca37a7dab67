"""A book of what the shelf holds, ready for an owner's own figures."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

from kit.errors import OutputError
from kit.stock.pricebook.charges import BY, KIND, LEAST, NAME, PRICE
from kit.stock.pricebook.quantities import MONEY, VOLUME, Quantity, charged_by
from kit.stock.pricebook.readings import DUE, EARNED, PART, kit_key
from kit.stock.pricebook.rows import COLUMNS, INERT, RUN, SAYS, SHEET
from kit.stock.pricebook.slots import CHARGES, KITS, PAYMENTS, SHEETS, Slot, slots_of
from kit.stock.shelf import Shelf
from kit.writing import write_file

ENDINGS = (".xlsx", ".csv")
Days = dict[tuple[str, str, str], date]

HELP_SHEET = "Read me"
HELP = (
    "Your own prices and rates. Where a figure is yours, write it into the column"
    " value, and its day into the column as of.",
    "Rows without a day count as the made-up figures that came with the kit, and every"
    " bid says so.",
    "A unit may be changed to another that measures the same: gal or l, mil or um,"
    " sq ft/h or m2/h. Shares are parts of one: 0.08, or 8 with the unit %.",
    "Kits: a row for each size on sale, called kit of 3 gal. Rows may be added and taken"
    " out. All prices are in one currency.",
    "Charges: what others do or take away. A key of your own, and five rows: name, kind"
    " (subcontract, disposal or equipment), counted by (area, day, job and so on), price,"
    " and least, for which they come at all.",
    "Formulas may be used; the value that was saved is read. Sheets and columns of your"
    " own are left alone.",
)


@dataclass(frozen=True)
class _Line:
    """One row to write; `value` is a number or words."""

    sheet: str
    thing: str
    figure: str
    value: Decimal | str | None
    unit: str
    as_of: date | None
    says: str


def write_book(shelf: Shelf, place: Path) -> Path:
    """Write what a shelf holds as a book, whole or not at all.

    Parameters
    ----------
    shelf : Shelf
        As it came, or with a book of the owner's over it, whose days are kept.
    place : Path
        New file, ``.xlsx`` or ``.csv``.

    Raises
    ------
    OutputError
        If the name is not that of a book, the file is there already (it may be filled
        in), or it cannot be written.
    """
    if place.exists():
        raise OutputError(
            f"output file {place}", found="a file there already", expected="a new name"
        )
    return write_file(place, book_bytes(shelf, place.suffix.lower()))


def book_bytes(shelf: Shelf, ending: str) -> bytes:
    """A book as the bytes of its file; ``ending`` is ``.xlsx`` or ``.csv``."""
    if ending not in ENDINGS:
        raise OutputError(
            "price book", found=ending or "no ending", expected=" or ".join(ENDINGS)
        )
    lines = list(_lines(shelf))
    return _table(lines) if ending == ".csv" else _workbook(lines)


def inert(text: str) -> str:
    """A text that no spreadsheet runs when it opens the table.

    >>> inert("=1+1"), inert("3 gal")
    ("'=1+1", '3 gal')
    """
    return f"{INERT}{text}" if text.startswith(RUN) else text


def _lines(shelf: Shelf) -> Iterator[_Line]:
    days = {figure.at: figure.day for figure in shelf.book.dated} if shelf.book else {}
    slots = list(slots_of(shelf))
    currency = shelf.house.currency
    for sheet in SHEETS:
        if sheet == KITS:
            yield from _kit_lines(shelf, days)
        elif sheet == CHARGES:
            yield from _charge_lines(shelf, days)
        elif sheet == PAYMENTS:
            yield from _payment_lines(shelf)
        else:
            of_sheet = (slot for slot in slots if slot.sheet == sheet)
            yield from (_line(slot, currency, days) for slot in of_sheet)


def _line(slot: Slot, currency: str, days: Days) -> _Line:
    value, unit = _told(slot.quantity, slot.value, currency)
    return _Line(
        slot.sheet, slot.thing, slot.figure, value, unit, days.get(slot.key), slot.says
    )


def _told(
    quantity: Quantity, value: Any, currency: str
) -> tuple[Decimal | str | None, str]:
    if value is None:
        return None, next(iter(quantity.in_currency(currency)))
    if quantity.sort == "text":
        return str(value), ""
    return quantity.told(value, currency)


def _kit_lines(shelf: Shelf, days: Days) -> Iterator[_Line]:
    for product in shelf.products:
        for pack in product.packs:
            size, unit = VOLUME.told(pack.volume_l, "")
            figure = f"kit of {size:f} {unit}"
            since = days.get(kit_key(product.key, pack))
            price, currency = MONEY.told(pack.price, shelf.house.currency)
            says = f"{product.name}, parts A and B together"
            yield _Line(KITS, product.key, figure, price, currency, since, says)


def _charge_lines(shelf: Shelf, days: Days) -> Iterator[_Line]:
    for charge in shelf.charges:
        words = ((NAME, charge.name), (KIND, charge.kind), (BY, _spaced(charge.driver)))
        for figure, text in words:
            yield _Line(CHARGES, charge.key, figure, text, "", None, "")
        for figure, quantity, amount in (
            (PRICE, charged_by(charge.driver), charge.price),
            (LEAST, MONEY, charge.least),
        ):
            value, unit = quantity.told(amount, shelf.house.currency)
            since = days.get((CHARGES, charge.key, figure))
            yield _Line(CHARGES, charge.key, figure, value, unit, since, charge.name)


def _spaced(name: str) -> str:
    return name.replace("_", " ")


def _payment_lines(shelf: Shelf) -> Iterator[_Line]:
    for at, payment in enumerate(shelf.house.payments, start=1):
        yield _Line(PAYMENTS, str(at), DUE, payment.due, "", None, "When this part is due")
        yield _Line(
            PAYMENTS, str(at), PART, payment.weight, "", None, "Over the sum of all parts"
        )
        earned = "yes" if payment.earned else "no"
        says = "Due only once work or material of that worth is on site"
        yield _Line(PAYMENTS, str(at), EARNED, earned, "", None, says)


def _table(lines: list[_Line]) -> bytes:
    """CSV as spreadsheets like it: a mark for UTF-8 and the line ends of RFC 4180."""
    out = io.StringIO(newline="")
    writer = csv.writer(out)
    writer.writerow((SHEET, *COLUMNS, SAYS))
    for line in lines:
        value = f"{line.value:f}" if isinstance(line.value, Decimal) else line.value
        words = (line.sheet, line.thing, line.figure, line.unit, line.says)
        sheet, thing, figure, unit, says = map(inert, words)
        if isinstance(line.value, str):
            value = inert(line.value)
        day = line.as_of.isoformat() if line.as_of else ""
        writer.writerow((sheet, thing, figure, value, unit, day, says))
    return out.getvalue().encode("utf-8-sig")


_WIDTHS = (26, 24, 20, 12, 14, 78)
LONG = 90
"""Characters that take more than one line of the last column."""
_HEAD_FILL, _YOURS_FILL = "FFDCE3E6", "FFFFF8E1"


def _workbook(lines: list[_Line]) -> bytes:
    import openpyxl

    book = openpyxl.Workbook()
    _help(book.active)
    for title in SHEETS:
        sheet = book.create_sheet(title)
        _head(sheet)
        for number, line in enumerate((li for li in lines if li.sheet == title), start=2):
            _write(sheet, number, line)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def _help(sheet: Any) -> None:
    from openpyxl.styles import Alignment, Font

    sheet.title = HELP_SHEET
    sheet.column_dimensions["A"].width = 96
    sheet.page_setup.orientation = "landscape"
    for number, words in enumerate(("Price book", *HELP), start=1):
        cell = sheet.cell(number, 1, words)
        cell.alignment = Alignment(wrap_text=True, vertical="top")
        sheet.row_dimensions[number].height = 34
    sheet["A1"].font = Font(name="Calibri", bold=True, size=16)


def _head(sheet: Any) -> None:
    from openpyxl.styles import Alignment, Font, PatternFill
    from openpyxl.worksheet.properties import PageSetupProperties

    for at, (word, width) in enumerate(zip((*COLUMNS, SAYS), _WIDTHS, strict=True), 1):
        cell = sheet.cell(1, at, word)
        cell.font = Font(name="Calibri", bold=True)
        cell.alignment = Alignment(
            horizontal="right" if word == "value" else "left", indent=int(word == "unit")
        )
        cell.fill = PatternFill("solid", fgColor=_HEAD_FILL)
        sheet.column_dimensions[cell.column_letter].width = width
    sheet.freeze_panes = "C2"
    sheet.page_setup.orientation = "landscape"
    sheet.page_setup.fitToHeight = 0
    sheet.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
    sheet.print_title_rows = "1:1"


def _write(sheet: Any, number: int, line: _Line) -> None:
    """One row; what is the owner's to fill in is tinted, words stay words."""
    from openpyxl.styles import Alignment, Font, PatternFill

    if len(line.says) > LONG:
        sheet.row_dimensions[number].height = 32
    values = (line.thing, line.figure, line.value, line.unit, line.as_of, line.says)
    for at, (word, value) in enumerate(zip((*COLUMNS, SAYS), values, strict=True), 1):
        cell = sheet.cell(number, at, value if value != "" else None)
        if isinstance(value, str) and value:
            cell.data_type = "s"  # a text that begins with = is no formula here
            cell.quotePrefix = value.startswith(RUN)
        if isinstance(value, date):
            cell.number_format = "yyyy-mm-dd"
        if isinstance(value, Decimal) and line.unit[:3].isupper():
            cell.number_format = "#,##0.00" if _places(value) >= -2 else "General"
        cell.alignment = Alignment(
            horizontal="right" if word == "value" else "left",
            vertical="top",
            indent=int(word == "unit"),
            wrap_text=word == SAYS,
        )
        if word in ("value", "as of"):
            cell.fill = PatternFill("solid", fgColor=_YOURS_FILL)
        if word == SAYS:
            cell.font = Font(name="Calibri", color="FF5B6670")


def _places(value: Decimal) -> int:
    exponent = value.as_tuple().exponent
    return exponent if isinstance(exponent, int) else 0
