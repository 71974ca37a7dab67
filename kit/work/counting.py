"""What tasks and sundries are counted by: area, edges, coats, buckets, days."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from math import ceil

from kit.coats.system import System
from kit.money import times
from kit.stock.house import CoatKind, Driver, House
from kit.takeoff.figures import Takeoff, Unit, spoken
from kit.units import M2_PER_FT2, M_PER_FT

UNITS: dict[Driver, Unit] = {
    "area": "m²",
    "perimeter": "m",
    "cracks": "m",
    "base": "m",
    "joints_filled": "m",
    "joints_honored": "m",
    "edges": "m",
    "nosings": "m",
    "patches": "m²",
    "coating_removal": "m²",
    "adhesive_removal": "m²",
    "covering_removal": "m²",
}
"""Units of the drivers that have one."""

WORDS: dict[Driver, str] = {
    "stairs": "step",
    "coat": "coat",
    "batch": "bucket",
    "person_coat": "person-coat",
    "day": "day",
    "person_day": "person-day",
    "job": "job",
}
"""What one of the other drivers is called."""

BY_DAY: tuple[Driver, ...] = ("day", "person_day")
"""Drivers that can be counted only once the days are known."""


@dataclass(frozen=True)
class Counts:
    """How much of each driver a floor has."""

    takeoff: Takeoff
    system: System
    house: House
    days: int = 0

    def of(self, driver: Driver, coats: tuple[CoatKind, ...] = ()) -> float:
        """Quantity of a driver, of some coats only where that makes a difference."""
        measured = self._measured()
        if driver in measured:
            return measured[driver]
        counted = [coat for coat in self.system.coats if not coats or coat.kind in coats]
        passes = sum(coat.passes for coat in counted)
        match driver:
            case "coat":
                return passes
            case "batch":
                return sum(coat.batches(self.house.batch_l) for coat in counted)
            case "person_coat":
                return passes * self.house.crew
            case "day":
                return self.days
            case "person_day":
                return self.days * self.house.crew
        raise AssertionError(driver)

    def _measured(self) -> dict[str, float]:
        """What the takeoff knows, coats and days aside."""
        takeoff, slab, stepped = self.takeoff, self.takeoff.slab, self.takeoff.stepped
        return {
            "area": takeoff.net_m2,
            "perimeter": takeoff.perimeter_m,
            "cracks": takeoff.cracks_m,
            "base": takeoff.base_m,
            "joints_filled": slab.joints_filled_m,
            "joints_honored": slab.joints_honored_m,
            "edges": stepped.edges_m,
            "nosings": stepped.nosings_m,
            "patches": slab.patches_m2,
            "coating_removal": slab.removal_m2.get("coating", 0.0),
            "adhesive_removal": slab.removal_m2.get("adhesive", 0.0),
            "covering_removal": slab.removal_m2.get("covering", 0.0),
            "stairs": stepped.steps,
            "job": 1.0,
        }


def counted(driver: Driver, quantity: float) -> str:
    """Say a quantity in the words of its driver.

    >>> counted("area", 59.5), counted("person_day", 6), counted("batch", 1)
    ('640.5 sq ft', '6 person-days', '1 bucket')
    """
    if driver in UNITS:
        return spoken(quantity, UNITS[driver])
    word = WORDS[driver]
    return f"{quantity:g} {word}{'' if quantity == 1 else 's'}"


def each(driver: Driver, price: Decimal) -> str:
    """Say what one of a driver is charged at, in the trade's units.

    >>> each("area", Decimal("10.00")), each("job", Decimal("95.00"))
    ('0.9290 a sq ft', '95.00 each')
    """
    match UNITS.get(driver):
        case "m²":
            return f"{times(price, M2_PER_FT2):.4f} a sq ft"
        case "m":
            return f"{times(price, M_PER_FT):.4f} a ft"
        case _:
            return f"{price:f} each"


def whole(quantity: float) -> int:
    """Round up to whole pieces, but not for float noise."""
    return ceil(quantity - 1e-9)
