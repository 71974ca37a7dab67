"""What a figure of the book counts, and the units in which it may be written."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Literal, get_args

from annotated_types import Le
from pydantic.fields import FieldInfo

from kit.record import Record
from kit.stock.extras import Allowance
from kit.stock.house import Charge, Driver, Sundry, Task
from kit.units import KG_PER_LB, M_PER_FT, M_PER_IN, UM_PER_MIL

SHORT = 6
"""Digits up to which a figure in the trade's unit is easier to read than in SI."""
KEPT = 12
"""Digits that are looked at to see whether it is the same figure."""

Sort = Literal["number", "money", "whole", "share", "text"]


@dataclass(frozen=True)
class Quantity:
    """A sort of figure and its units, the trade's first.

    Parameters
    ----------
    sort : {"number", "money", "whole", "share", "text"}
    units : dict of str to Fraction
        How many of the record's own unit each unit is; ``¤`` stands for the currency.
    """

    sort: Sort
    units: dict[str, Fraction]

    def in_currency(self, currency: str) -> dict[str, Fraction]:
        """The units with the currency's own code in them."""
        return {unit.replace("¤", currency): each for unit, each in self.units.items()}

    def told(self, value: float | Decimal, currency: str) -> tuple[Decimal, str]:
        """A value of the record, and the first unit in which it is short and exact."""
        exact = Decimal(str(value))
        units = self.in_currency(currency)
        for unit, each in units.items() if exact else ():
            asked = _short(exact * each.denominator / each.numerator).normalize()
            is_short = len(asked.as_tuple().digits) <= SHORT
            if each != 1 and is_short and taken(asked, each) == exact:
                return asked, unit
        told = exact if self.sort == "money" else exact.normalize()
        return told, next(unit for unit, each in units.items() if each == 1)


def taken(value: Decimal, each: Fraction) -> Decimal:
    """A value in the record's own unit."""
    return value if each == 1 else value * each.numerator / each.denominator


def plain(unit: str) -> str:
    """A unit as it is compared: ``M²`` and ``m2`` are one.

    >>> plain(" Sq  Ft "), plain("m²/h"), plain("µm")
    ('sq ft', 'm2/h', 'um')
    """
    ascii_only = unit.replace("²", "2").replace("µ", "u").replace("μ", "u")
    return " ".join(ascii_only.lower().split())


def _short(value: Decimal) -> Decimal:
    return Decimal(f"{value:.{KEPT}g}")


def _per(what: str, inverse: dict[str, Fraction]) -> dict[str, Fraction]:
    """Units of a price or a rate: a value a foot is a greater one a metre."""
    return {f"{what}/{unit}": 1 / each for unit, each in inverse.items()}


_SELF = Fraction(1)
_GALLON = 231 * Fraction("0.254") ** 3
_FILM = {"mil": Fraction(str(UM_PER_MIL)), "um": _SELF}
_VOLUME = {"gal": _GALLON, "qt": _GALLON / 4, "l": _SELF, "ml": _SELF / 1000}
_LENGTH = {"ft": Fraction(str(M_PER_FT)), "m": _SELF}
_AREA = {"sq ft": _LENGTH["ft"] ** 2, "m2": _SELF}
_GIRTH = {"in": Fraction(str(M_PER_IN)), "mm": _SELF / 1000, "m": _SELF}
_MASS = {"lb": Fraction(str(KG_PER_LB)), "kg": _SELF}
_ONE = {"": _SELF}


VOLUME = Quantity("number", _VOLUME)
MONEY = Quantity("money", {"¤": _SELF})
TEXT = Quantity("text", _ONE)
NUMBER = Quantity("number", _ONE)
WHOLE = Quantity("whole", _ONE)
SHARE = Quantity("share", {"share": _SELF, "%": _SELF / 100})
_HOUR = {"h": _SELF}

_AREAS: tuple[Driver, ...] = (
    *("area", "patches", "coating_removal", "adhesive_removal", "covering_removal"),
)
_LENGTHS: tuple[Driver, ...] = (
    *("perimeter", "cracks", "base", "joints_filled", "joints_honored", "edges"),
    "nosings",
)

_BY_ENDING = {
    "_share": SHARE,
    "_um": Quantity("number", _FILM),
    "_kg_per_l": Quantity(
        "number",
        {"lb/gal": _MASS["lb"] / _VOLUME["gal"], "kg/l": _SELF},
    ),
    "_kg_per_m2": Quantity(
        "number",
        {
            "lb/sq ft": _MASS["lb"] / _AREA["sq ft"],
            "g/m2": _SELF / 1000,
            "kg/m2": _SELF,
        },
    ),
    "_m2_h": Quantity("number", {f"{u}/h": each for u, each in _AREA.items()}),
    "_m2": Quantity("number", _AREA),
    "_min": Quantity("number", {"min": _SELF}),
    "_days": Quantity("whole", {"days": _SELF}),
    "_per_day": Quantity("number", {"h/day": _SELF}),
    "_l": VOLUME,
    "_h": Quantity("number", _HOUR),
    "_m": Quantity("number", _GIRTH),
}
"""By how the name of a field ends, the first that fits; prices are told apart before."""

_MONEY_BY_ENDING = {
    "_per_kg": Quantity("money", _per("¤", _MASS)),
    "_per_l": Quantity("money", _per("¤", _VOLUME)),
    "_per_m2": Quantity("money", _per("¤", _AREA)),
    "_per_m": Quantity("money", _per("¤", _LENGTH)),
    "_per_day": Quantity("money", {"¤/day": _SELF}),
    "_per_h": Quantity("money", {"¤/h": _SELF}),
}
PRICE_BOUND = Le(100_000)
"""What tells a `Price` from other decimals."""
_SHARES = ("dose", "volume_solids")

_BY_DRIVER: dict[Driver, dict[str, Fraction]] = {
    **dict.fromkeys(_AREAS, _AREA),
    **dict.fromkeys(_LENGTHS, _LENGTH),
    "stairs": {"steps": _SELF},
    "coat": {"coats": _SELF},
    "batch": {"buckets": _SELF},
    "person_coat": {"person-coats": _SELF},
    "person_day": {"person-days": _SELF},
    "day": {"days": _SELF},
    "job": {"jobs": _SELF},
}
"""What a task and a small thing are counted by."""


def charged_by(driver: Driver) -> Quantity:
    """The price of one of a driver: of a foot, of an area, or of each."""
    if driver in (*_AREAS, *_LENGTHS):
        return Quantity("money", _per("¤", _BY_DRIVER[driver]))
    return MONEY


def quantity_of(field: str, info: FieldInfo, record: Record) -> Quantity | None:
    """What a field of a record counts, or None if no cell could hold it."""
    held = set(get_args(info.annotation) or (info.annotation,)) - {type(None)}
    if isinstance(record, Task | Sundry) and field in ("per_person_h", "lasts"):
        counted = _BY_DRIVER.get(record.driver, _ONE)
        if field == "per_person_h":
            counted = {f"{unit}/h": each for unit, each in counted.items()}
        return Quantity("number", counted)
    if isinstance(record, Allowance):
        if field == "quantity":
            return Quantity("number", {record.unit: _SELF})
        return Quantity("money", {f"¤/{record.unit}": _SELF})
    if isinstance(record, Charge) and field == "price":
        return charged_by(record.driver)
    if held <= {Decimal} and PRICE_BOUND in info.metadata:
        return next(
            (q for end, q in _MONEY_BY_ENDING.items() if field.endswith(end)), MONEY
        )
    if held & {Decimal, float, int} and held <= {Decimal, float, int}:
        if field in _SHARES:
            return SHARE
        usual = WHOLE if held == {int} else NUMBER
        return next((q for end, q in _BY_ENDING.items() if field.endswith(end)), usual)
    if held == {str} or all(isinstance(kind, str) for kind in held):
        return TEXT
    return None
