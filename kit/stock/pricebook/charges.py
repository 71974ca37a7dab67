"""Charges of others: the sheet of subcontracts, disposal and hire that an owner fills."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from typing import Any, get_args

from pydantic import ValidationError

from kit.errors import ShelfError
from kit.record import complaint
from kit.stock.dated import Dated
from kit.stock.house import Charge, Driver
from kit.stock.pricebook.quantities import MONEY, charged_by
from kit.stock.pricebook.rows import Row
from kit.stock.pricebook.slots import CHARGES
from kit.stock.pricebook.values import day, unit_of
from kit.stock.shelf import Shelf

NAME, KIND, BY, PRICE, LEAST = "name", "kind", "counted by", "price", "least"
FIGURES = (NAME, KIND, BY, PRICE, LEAST)
FIELDS = {NAME: "name", KIND: "kind", BY: "driver", PRICE: "price", LEAST: "least"}


def charges_of(
    rows: Iterable[Row], shelf: Shelf, currency: str, today: date
) -> tuple[tuple[Charge, ...], list[Dated]]:
    """Charges of a book and the days of their prices; the shelf's where it has none.

    Raises
    ------
    ShelfError
        If a charge lacks a figure or its day, or one is wrong.
    """
    given: dict[str, dict[str, Row]] = {}
    for row in rows:
        if row.sheet != CHARGES:
            continue
        if row.key[2] not in FIGURES:
            raise ShelfError(
                row.figure.where,
                found=row.figure.text,
                expected=f"one of {', '.join(FIGURES)}",
            )
        given.setdefault(row.thing.text.lower(), {})[row.key[2]] = row
    if not given:
        return shelf.charges, []
    dated: list[Dated] = []
    charges = tuple(
        _charge(key, figures, currency, today, dated) for key, figures in given.items()
    )
    return charges, dated


def _charge(
    key: str, figures: dict[str, Row], currency: str, today: date, dated: list[Dated]
) -> Charge:
    first = next(iter(figures.values()))
    for figure in FIGURES:
        if figure not in figures and figure != LEAST:
            raise ShelfError(first.where, found=f"no {figure} of {key}", expected="one")
    driver = figures[BY].value.text.replace(" ", "_")
    if driver not in get_args(Driver):
        drivers = ", ".join(name.replace("_", " ") for name in get_args(Driver))
        cell = figures[BY].value
        raise ShelfError(
            cell.where, found=cell.text or "nothing", expected=f"one of {drivers}"
        )
    made: dict[str, Any] = {
        "key": key,
        "driver": driver,
        "source": "the owner's price book",
    }
    made |= {FIELDS[name]: figures[name].value.text for name in (NAME, KIND)}
    prices: dict[str, Decimal] = {}
    for figure, quantity in ((PRICE, charged_by(driver)), (LEAST, MONEY)):  # type: ignore[arg-type]
        if row := figures.get(figure):
            prices[figure] = unit_of(row, quantity, currency)[2]
            since = day(row.as_of, today=today)
            if since is None and prices[figure]:
                raise ShelfError(
                    row.as_of.where,
                    found="nothing",
                    expected="the day of your price, as 2026-11-25",
                )
            if since:
                dated.append(
                    Dated(f"{made['name']}, {figure}", since, (CHARGES, key, figure))
                )
    try:
        return Charge(**made, **prices)
    except ValidationError as error:
        field = error.errors()[0]["loc"][0]
        row = next((figures[f] for f in figures if FIELDS[f] == field), first)
        cell = row.thing if field == "key" else row.value
        raise ShelfError(
            cell.where, found=cell.text or "nothing", expected=complaint(error).expected
        ) from None
