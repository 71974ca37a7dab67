"""Every figure that a book may hold, found on the shelf: one slot a figure."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, get_args

from pydantic.fields import FieldInfo

from kit.record import Record
from kit.stock.extras import Extra
from kit.stock.house import Charge, Sundry, Task
from kit.stock.pricebook.quantities import Quantity, quantity_of
from kit.stock.shelf import Shelf

Path = tuple[str | int, ...]
"""Where a record is: ``("extras", 0, "tasks", 1)`` from the shelf down."""

FIRM, KITS, CHARGES, PAYMENTS = "Firm", "Kits", "Charges", "Payments"
ADDED_TO = (KITS, CHARGES, PAYMENTS)
"""Sheets that an owner adds rows to and takes rows from."""

_LISTED: dict[str, tuple[str, tuple[str, ...]]] = {
    "Pigments": ("pigments", ("name", "dose", "price_per_kg")),
    "Tints": ("tints", ("name", "dose", "price_per_kg")),
    "Products": (
        "products",
        (
            "name", "parts_a", "parts_b", "density_kg_per_l", "density_a_kg_per_l",
            "volume_solids",
            "pot_life_min", "recoat_from_h", "recoat_until_h",
        ),
    ),
    "Coats": ("coats", ("name", "product", "film_um", "passes")),
    "Finishes": (
        "finishes",
        (
            "product", "film_um", "passes", "rate_m2_h",
            "aggregate_kg_per_m2", "aggregate_price_per_kg",
        ),
    ),
    "Sundries": ("sundries", ("name", "price", "lasts")),
    "Machines": ("equipment", ("name", "price_per_day")),
    "Work rates": ("tasks", ("per_person_h", "times")),
}  # fmt: skip
"""Sheets of like things: where they are on the shelf, and which of their fields."""

EXTRAS = "Extras"
SHEETS = (FIRM, KITS, *_LISTED, EXTRAS, CHARGES, PAYMENTS)
"""In the order of the book."""

_OF_EXTRAS: dict[str, tuple[str, ...]] = {
    "coats": ("product", "film_um", "passes"),
    "base": ("product", "girth_m", "radius_m", "build_um"),
    "tasks": ("per_person_h", "times"),
    "sundries": ("price", "lasts"),
    "charges": ("price", "least"),
    "allowance": ("quantity", "price", "cost"),
}

_WORDS = {
    "product": "made of",
    "film_um": "wet film",
    "parts_a": "parts A",
    "parts_b": "parts B",
    "density_kg_per_l": "density",
    "density_a_kg_per_l": "density of A",
    "volume_solids": "volume solids",
    "pot_life_min": "pot life",
    "recoat_from_h": "recoat from",
    "recoat_until_h": "recoat until",
    "price_per_kg": "price",
    "price_per_day": "price",
    "rate_m2_h": "crew lays",
    "per_person_h": "one person does",
    "aggregate_kg_per_m2": "grain",
    "aggregate_price_per_kg": "grain price",
    "girth_m": "height",
    "radius_m": "foot radius",
    "build_um": "mortar",
    "wage_per_h": "wage",
    "burden_share": "burden",
    "hours_per_day": "day on site",
    "trip_h": "hours on the road",
    "trip_price": "trip",
    "waste_share": "waste",
    "batch_l": "largest mix",
    "overhead_share": "overhead",
    "contingency_share": "contingency",
    "margin_share": "margin",
    "tax_share": "tax",
    "small_floor_m2": "small floor",
    "prices_last_days": "prices last",
    "overtime_after_h": "overtime after",
    "mobilization_price": "mobilization",
    "overhead_per_h": "overhead an hour",
    "least_margin_share": "least margin",
    "service_tax_share": "service tax",
}
"""What a field is called in a book, where its own name is not fit for one."""


_NOTES = {
    "per_person_h": "What one person does in an hour",
    "lasts": "What one piece lasts for",
    "passes": "How often it is laid",
    "tax_share": "Sales tax",
    "quantity": "How much is in the price until it is measured",
}
"""What a field is, where its description is for programmers, or there is none."""


@dataclass(frozen=True)
class Slot:
    """One figure of one thing: where it stands in a book, and where on the shelf.

    Parameters
    ----------
    sheet, thing, figure : str
        As the book names them.
    path : tuple
        Of the record on the shelf.
    field : str
        Of that record.
    record : Record
    quantity : Quantity
    says : str
        What it is, in a few words.
    """

    sheet: str
    thing: str
    figure: str
    path: Path
    field: str
    record: Record
    quantity: Quantity
    says: str

    @property
    def value(self) -> Any:
        """What the shelf has there."""
        return getattr(self.record, self.field)

    @property
    def key(self) -> tuple[str, str, str]:
        """Its row in a book."""
        return self.sheet, self.thing, self.figure.lower()

    @property
    def is_required(self) -> bool:
        """Whether a thing that a book names must have it: its money, all of the firm."""
        if self.sheet == FIRM:
            return type(self.record).model_fields[self.field].is_required()
        return self.quantity.sort == "money"

    @property
    def what(self) -> str:
        """The figure as a person calls it."""
        name = getattr(self.record, "name", "") or self.thing
        return f"{name}, {self.figure}"


def slots_of(shelf: Shelf) -> Iterator[Slot]:
    """Every slot of the shelf but those of sheets that rows are added to."""
    house = tuple(type(shelf.house).model_fields)
    yield from _slots(FIRM, "firm", ("house",), house, shelf.house)
    for sheet, (row, fields) in _LISTED.items():
        for at, record in enumerate(getattr(shelf, row)):
            yield from _slots(sheet, record.key, (row, at), fields, record)
    for at, extra in enumerate(shelf.extras):
        yield from _of_extra(extra, ("extras", at))


def _of_extra(extra: Extra, path: Path) -> Iterator[Slot]:
    for part, fields in _OF_EXTRAS.items():
        held = getattr(extra, part)
        for at, record in enumerate(held if isinstance(held, tuple) else (held,)):
            if record is None:
                continue
            thing, inner = extra.key, (*path, part)
            if isinstance(held, tuple):
                inner = (*inner, at)
            if isinstance(record, Task | Sundry | Charge):
                thing = f"{extra.key}.{record.key}"
            elif part in ("coats", "base"):
                thing = f"{extra.key}.{part.removesuffix('s')}{at + 1 if at else ''}"
            yield from _slots(EXTRAS, thing, inner, fields, record, extra.name)


def _slots(
    sheet: str,
    thing: str,
    path: Path,
    fields: tuple[str, ...],
    record: Record,
    of: str = "",
) -> Iterator[Slot]:
    known = type(record).model_fields
    for field in fields:
        quantity = quantity_of(field, known[field], record)
        if field in ("key", "source") or quantity is None:
            continue
        figure = _WORDS.get(field, field.replace("_", " "))
        name = getattr(record, "name", "")
        about = _NOTES.get(field) or known[field].description or ""
        words = (
            of,
            name if field != "name" else "",
            _unitless(about),
            _choices(known[field]),
        )
        told = ". ".join(part.rstrip(".") for part in words if part)
        yield Slot(sheet, thing, figure, path, field, record, quantity, told)


def _unitless(about: str) -> str:
    """A description without its unit, for the book has a column for that."""
    return about.split(" [", maxsplit=1)[0]


def _choices(info: FieldInfo) -> str:
    """The words that a field may be, where it has but a few."""
    words = get_args(info.annotation)
    is_few = words and all(isinstance(word, str) for word in words)
    return f"One of {', '.join(words)}" if is_few else ""
