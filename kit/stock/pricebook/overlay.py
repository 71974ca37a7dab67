"""The owner's figures laid over the shelf: all of a book, or none of it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal
from difflib import get_close_matches
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from kit.errors import KitError, ShelfError
from kit.record import Record, complaint
from kit.stock.dated import Dated, PriceBook
from kit.stock.pricebook.charges import charges_of
from kit.stock.pricebook.quantities import Quantity
from kit.stock.pricebook.readings import kits_of, payments_of
from kit.stock.pricebook.rows import Row, read_rows
from kit.stock.pricebook.slots import ADDED_TO, FIRM, Slot, slots_of
from kit.stock.pricebook.slots import Path as Place
from kit.stock.pricebook.values import day, unit_of
from kit.stock.shelf import Shelf

MOST_TAX = Decimal("0.35")
"""No sales tax is so high: it is a percentage that was typed."""

MOST_MARGIN = Decimal("0.999")
LEAST_PERCENT = Decimal("0.5")
"""No firm reckons with less of a percent: it is a share that was typed."""


@dataclass
class _Taken:
    """What was read so far: fields by record, rows by field, days by slot."""

    shelf: Shelf
    currency: str
    today: date
    fields: dict[Place, dict[str, Any]] = field(default_factory=dict)
    rows: dict[tuple[Place, str], tuple[Row, str, Quantity]] = field(default_factory=dict)
    dated: list[Dated] = field(default_factory=list)
    foreign: list[str] = field(default_factory=list)


def overlaid(shelf: Shelf, place: Path, *, today: date | None = None) -> Shelf:
    """Lay the figures of a price book over a shelf.

    Parameters
    ----------
    shelf : Shelf
        As it came with the kit.
    place : Path
        Workbook (XLSX) or table (CSV).
    today : date, optional
        No price may be of a later day.

    Raises
    ------
    ShelfError
        In one line: file, sheet, row and column, what was found, what is expected.
    """
    stamp = place.stat() if place.is_file() else None
    mark = (stamp.st_mtime_ns, stamp.st_size, stamp.st_ino) if stamp else None
    today = today or date.today()
    key = (id(shelf), place, mark, today)
    if key not in _KEPT:
        made = _overlaid(shelf, place, today)
        if len(_KEPT) == MOST_KEPT:
            _KEPT.clear()
        _KEPT[key] = (shelf, made)  # the shelf too, or another may get its id
    return _KEPT[key][1]


_KEPT: dict[tuple[object, ...], tuple[Shelf, Shelf]] = {}
MOST_KEPT = 4
"""Books that are not read again while they and the shelf below stay as they are."""


def _overlaid(shelf: Shelf, place: Path, today: date) -> Shelf:
    rows = read_rows(place)
    slots = {slot.key: slot for slot in slots_of(shelf)}
    taken = _Taken(shelf, _currency_of(rows, shelf), today)
    by_key = {row.key: row for row in rows}
    for row in rows:
        if row.sheet not in ADDED_TO:
            _take(row, _slot_of(row, slots), taken)
    _check_whole(place.name, slots, by_key, taken)
    kits = kits_of(rows, shelf, taken.currency, today)
    for at, product in enumerate(shelf.products):
        if product.key in kits:
            packs, dated, foreign = kits[product.key]
            taken.fields.setdefault(("products", at), {})["packs"] = packs
            taken.dated += dated
            taken.foreign += foreign
        else:
            taken.foreign.append(f"{product.name}, kits")
    if payments := payments_of(rows):
        taken.fields.setdefault(("house",), {})["payments"] = payments
    if taken.currency != shelf.house.currency and taken.foreign:
        raise ShelfError(
            f"{place.name}, {taken.foreign[0]}",
            found=f"no price of yours, and one in {shelf.house.currency} on the shelf",
            expected=f"all prices in one currency, the firm's ({taken.currency})",
        )
    charges, dated = charges_of(rows, shelf, taken.currency, today)
    taken.dated += dated
    built = replace(_built(shelf, taken), charges=charges)
    book = PriceBook(place.name, tuple(taken.dated), tuple(taken.foreign))
    return replace(built, book=book)


def _currency_of(rows: Iterable[Row], shelf: Shelf) -> str:
    """Currency of the firm: all of the book is in it."""
    row = next((row for row in rows if row.key == (FIRM, "firm", "currency")), None)
    if row is None:
        return shelf.house.currency
    from babel.numbers import list_currencies

    code = row.value.text
    if code not in list_currencies():
        raise ShelfError(
            row.value.where, found=code or "nothing", expected="an ISO 4217 code, as USD"
        )
    return code


def _slot_of(row: Row, slots: Mapping[tuple[str, str, str], Slot]) -> Slot:
    if slot := slots.get(row.key):
        return slot
    things = {slot.thing for slot in slots.values() if slot.sheet == row.sheet}
    if row.key[1] not in things:
        raise ShelfError(
            row.thing.where, found=row.thing.text, expected=one_of(row.key[1], things)
        )
    figures = [s.figure for s in slots.values() if (s.sheet, s.thing) == row.key[:2]]
    raise ShelfError(
        row.figure.where, found=row.figure.text, expected=one_of(row.key[2], figures)
    )


def one_of(found: str, known: Iterable[str]) -> str:
    """The choices, the likeliest where there are many."""
    choices = list(known)
    if len(choices) > 12:
        choices = get_close_matches(found, choices, n=4, cutoff=0.4) or sorted(choices)
    return f"one of {', '.join(choices)}"


def _take(row: Row, slot: Slot, taken: _Taken) -> None:
    """Read one row into its field."""
    value, unit = _value(row, slot, taken)
    since = day(row.as_of, today=taken.today)
    if since is None and slot.quantity.sort != "text" and value != slot.value:
        raise ShelfError(
            row.as_of.where,
            found="nothing",
            expected="the day of your figure, as 2026-11-25",
        )
    is_price = slot.quantity.sort == "money"
    if since:
        taken.dated.append(Dated(slot.what, since, slot.key, is_price))
    elif is_price and value:
        taken.foreign.append(slot.what)
    taken.fields.setdefault(slot.path, {})[slot.field] = value
    taken.rows[slot.path, slot.field] = (row, unit, slot.quantity)


def _value(row: Row, slot: Slot, taken: _Taken) -> tuple[Any, str]:
    """The value as the record has it, and the unit in which it was written."""
    if not row.value.text:
        optional = not type(slot.record).model_fields[slot.field].is_required()
        if slot.value is None and optional:
            return None, ""
        raise ShelfError(row.value.where, found="nothing", expected="a value")
    if slot.quantity.sort == "text":
        choices = _choices(slot, taken.shelf)
        if choices and row.value.text not in choices:
            raise ShelfError(
                row.value.where,
                found=row.value.text,
                expected=f"one of {', '.join(choices)}",
            )
        return row.value.text, ""
    unit, written, value = unit_of(row, slot.quantity, taken.currency)
    if slot.quantity.sort == "share":
        _check_share(row, slot, written, unit, value)
    if slot.quantity.sort == "whole" and value == value.to_integral_value():
        return int(value), unit
    return (float(value) if isinstance(slot.value, float) else value), unit


def _choices(slot: Slot, shelf: Shelf) -> list[str]:
    """Keys on the shelf that a figure may name; none where it is free."""
    if slot.field.endswith("product"):
        return [product.key for product in shelf.products]
    if slot.field == "region":
        return ["none", *(deposit.key for deposit in shelf.deposits)]
    return []


def _check_share(row: Row, slot: Slot, written: Decimal, unit: str, value: Decimal) -> None:
    """A percentage where a share is meant is told apart from a share that is absurd."""
    highest = MOST_TAX if slot.field.endswith("tax_share") else None
    highest = MOST_MARGIN if slot.field == "margin_share" else highest
    if slot.field == "margin_share" and value >= 1 and unit == "%":
        raise ShelfError(
            row.value.where,
            found=f"{written}%",
            expected="less than 100%: no price leaves all of itself",
        )
    if (value > 1 or (highest and value > highest)) and unit != "%":
        raise ShelfError(
            row.value.where,
            found=written,
            expected=f"a share, {written / 100:f} where {written}% is meant"
            + ("; a margin is less than 1" if slot.field == "margin_share" else ""),
        )
    if highest and value > highest:
        raise ShelfError(
            row.value.where, found=f"{written}%", expected=f"at most {highest * 100:f}%"
        )
    if row.sheet == FIRM and unit == "%" and 0 < written < LEAST_PERCENT:
        raise ShelfError(
            row.value.where,
            found=f"{written}%",
            expected=f"a percentage, {written * 100:f} where the share {written} is meant",
        )


def _check_whole(
    name: str,
    slots: Mapping[tuple[str, str, str], Slot],
    by_key: Mapping[tuple[str, str, str], Row],
    taken: _Taken,
) -> None:
    """Whatever a book names has all its money; the firm must be named."""
    named = {(sheet, thing) for sheet, thing, _ in by_key} | {(FIRM, "firm")}
    for key, slot in slots.items():
        if key in by_key:
            continue
        if key[:2] in named and slot.is_required:
            raise ShelfError(
                f"{name}, sheet {slot.sheet}",
                found=f"no row {slot.thing}, {slot.figure}",
                expected="one, with its value and day",
            )
        if slot.quantity.sort == "money" and slot.value:
            taken.foreign.append(slot.what)


def _built(shelf: Shelf, taken: _Taken) -> Shelf:
    """The shelf with every record that was touched made anew, and checked anew."""
    made: dict[str, Any] = {}
    for row in {place[0] for place in taken.fields}:
        name = str(row)
        made[name] = _made(getattr(shelf, name), (name,), taken)
    return replace(shelf, **made)


def _made(held: Any, place: Place, taken: _Taken) -> Any:
    """A record, or records in a row, with what was read below `place`."""
    below = {at[len(place)] for at in taken.fields if at[: len(place)] == place != at}
    if isinstance(held, tuple):
        return tuple(
            _made(one, (*place, at), taken) if at in below else one
            for at, one in enumerate(held)
        )
    parts = {str(at): _made(getattr(held, str(at)), (*place, at), taken) for at in below}
    return _filled(held, {**taken.fields.get(place, {}), **parts}, place, taken)


def _filled(record: Record, given: dict[str, Any], place: Place, taken: _Taken) -> Record:
    try:
        return type(record).model_validate({**dict(record), **given})
    except ValidationError as error:
        raise _complaint(error, place, taken) from None


def _complaint(error: ValidationError, place: Place, taken: _Taken) -> KitError:
    """Say which cell a record refused, in the unit that was written there."""
    fault = error.errors(include_url=False)[0]
    at = fault["loc"][0] if fault["loc"] else ""
    if (place, str(at)) not in taken.rows:
        return complaint(error, where=".".join(map(str, place)), family=ShelfError)
    row, unit, quantity = taken.rows[place, str(at)]
    each = quantity.in_currency(taken.currency).get(unit, 1)
    expected = complaint(error).expected
    for word, bound in (fault.get("ctx") or {}).items():
        if isinstance(bound, int | float | Decimal) and each != 1:
            written = f"{float(bound) / float(each):g}"
            expected = expected.replace(f"{bound}", written) if word else expected
    found = f"{row.value.text} {unit}".strip()
    said = f"{expected} {unit}".strip() if quantity.sort != "text" else expected
    return ShelfError(row.value.where, found=found, expected=said)
