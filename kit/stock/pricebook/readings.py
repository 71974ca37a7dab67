"""Kits and payments: the sheets of a book that an owner adds rows to."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date
from decimal import Decimal

from pydantic import ValidationError

from kit.errors import ShelfError
from kit.record import complaint
from kit.stock.dated import Dated
from kit.stock.house import Instalment
from kit.stock.pricebook.quantities import MONEY, VOLUME, plain, taken
from kit.stock.pricebook.rows import Row
from kit.stock.pricebook.slots import KITS, PAYMENTS
from kit.stock.pricebook.values import day, number, unit_of
from kit.stock.records import Pack
from kit.stock.shelf import Shelf

KIT_OF = re.compile(r"kit of (\d+(?:\.\d+)?) ?([a-z]+)")
DUE, PART, EARNED = "due", "part", "earned"
MOST_PAYMENTS = 12

Kits = tuple[tuple[Pack, ...], list[Dated], list[str]]
"""Kits of a product, those with a day, and those without."""


def kits_of(
    rows: Iterable[Row], shelf: Shelf, currency: str, today: date
) -> dict[str, Kits]:
    """Kits of every product that a book sells anew, by the key of the product.

    Raises
    ------
    ShelfError
        If a product is unknown, a size or a price absurd, or a size stands twice.
    """
    kits: dict[str, Kits] = {}
    for row in rows:
        if row.sheet != KITS:
            continue
        product = next((p for p in shelf.products if p.key == row.thing.text.lower()), None)
        if product is None:
            keys = ", ".join(product.key for product in shelf.products)
            raise ShelfError(
                row.thing.where, found=row.thing.text, expected=f"one of {keys}"
            )
        pack = _pack(row, currency)
        packs, dated, foreign = kits.get(product.key, ((), [], []))
        if any(pack.volume_l == other.volume_l for other in packs):
            raise ShelfError(
                row.figure.where, found=f"{row.figure.text} again", expected="it once"
            )
        what = f"{product.name}, {row.figure.text}"
        since = day(row.as_of, today=today)
        if since:
            dated.append(Dated(what, since, kit_key(product.key, pack)))
        elif pack in product.packs:
            foreign.append(what)
        else:
            raise ShelfError(
                row.as_of.where,
                found="nothing",
                expected="the day of your price, as 2026-11-25",
            )
        kits[product.key] = ((*packs, pack), dated, foreign)
    return kits


def kit_key(product: str, pack: Pack) -> tuple[str, str, str]:
    """The row of a kit, in whatever unit its size is written."""
    return KITS, product, f"{pack.volume_l:g}"


def _pack(row: Row, currency: str) -> Pack:
    match = KIT_OF.fullmatch(plain(row.figure.text))
    each = VOLUME.units.get(match[2]) if match else None
    if match is None or each is None:
        raise ShelfError(
            row.figure.where,
            found=row.figure.text,
            expected=f"kit of and its size, as kit of 3 gal, in {', '.join(VOLUME.units)}",
        )
    volume_l = float(taken(Decimal(match[1]), each))
    _, _, price = unit_of(row, MONEY, currency)
    try:
        pack = Pack(volume_l=volume_l, price=price)
    except ValidationError as error:
        fault = complaint(error)
        of_price = error.errors()[0]["loc"] == ("price",)
        cell = row.value if of_price else row.figure
        said = fault.expected if of_price else f"{fault.expected} l"
        raise ShelfError(cell.where, found=cell.text, expected=said) from None
    if not price:
        raise ShelfError(row.value.where, found=row.value.text, expected="more than 0")
    return pack


def payments_of(rows: Iterable[Row]) -> tuple[Instalment, ...]:
    """Parts of the price in their order; none where the book says nothing of them.

    Raises
    ------
    ShelfError
        If a payment lacks its due or its part, or they are not numbered one by one.
    """
    given: dict[str, dict[str, Row]] = {}
    for row in rows:
        if row.sheet != PAYMENTS:
            continue
        if row.key[2] not in (DUE, PART, EARNED):
            raise ShelfError(
                row.figure.where,
                found=row.figure.text,
                expected=f"{DUE}, {PART} or {EARNED}",
            )
        given.setdefault(row.thing.text, {})[row.key[2]] = row
    payments = []
    for at, (thing, figures) in enumerate(given.items(), start=1):
        first = next(iter(figures.values()))
        if thing != str(at) or at > MOST_PAYMENTS:
            raise ShelfError(
                first.thing.where,
                found=thing,
                expected=f"{at}" if at <= MOST_PAYMENTS else f"at most {MOST_PAYMENTS}",
            )
        if missing := {DUE, PART} - figures.keys():
            raise ShelfError(
                first.where, found=f"no {min(missing)} of payment {at}", expected="one"
            )
        due, part = figures[DUE], figures[PART]
        earned = _is_yes(figures.get(EARNED))
        try:
            payments.append(
                Instalment(due=due.value.text, weight=number(part.value), earned=earned)
            )
        except ValidationError as error:
            cell = (due if error.errors()[0]["loc"] == ("due",) else part).value
            raise ShelfError(
                cell.where, found=cell.text or "nothing", expected=complaint(error).expected
            ) from None
    return tuple(payments)


def _is_yes(row: Row | None) -> bool:
    if row is None or row.value.text.lower() == "no":
        return False
    if row.value.text.lower() != "yes":
        raise ShelfError(
            row.value.where, found=row.value.text or "nothing", expected="yes or no"
        )
    return True
