"""Readings of the slab: what was read, with which instrument, where and when.

A reading without its unit or its place is kept as it was typed, and proves nothing:
who stands on it (`proven`) is told what is missing.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from math import ceil, pi
from typing import Literal, get_args

from pydantic import Field, model_validator

from kit.errors import SheetError
from kit.record import Record
from kit.site.text import Line
from kit.units import KG_PER_LB, M2_PER_FT2

ReadingKind = Literal[
    "rh", "mver", "sheet", "pull_off", "ph", "profile", "lead", "asbestos"
]
"""In-slab humidity, vapor emission, plastic sheet, pull-off strength, pH, profile chip,
and what a laboratory found of lead in paint and of asbestos in flooring."""

G_PER_LB = 1000.0 * KG_PER_LB
MVER_G_M2 = G_PER_LB / (1000.0 * M2_PER_FT2)
"""Grams a square meter that one pound a thousand square feet is: 4.88243."""
MPA_PER_PSI = KG_PER_LB * 9.80665 / 0.0254**2 * 1e-6
"""One pound-force a square inch, exactly: 0.00689476 MPa."""

UNITS: dict[ReadingKind, dict[str, float]] = {
    "rh": {"%": 1.0},
    "mver": {"lb/1000 sq ft 24 h": 1.0, "g/m2 24 h": 1.0 / MVER_G_M2},
    "sheet": {"0 dry, 1 wet": 1.0, "": 1.0},
    "pull_off": {"MPa": 1.0, "psi": MPA_PER_PSI},
    "ph": {"pH": 1.0, "": 1.0},
    "profile": {"CSP": 1.0, "": 1.0},
    "lead": {"0 none, 1 found": 1.0, "": 1.0},
    "asbestos": {"0 none, 1 found": 1.0, "": 1.0},
}
"""Units a kind is read in, over that of its limits; pH and chips need none."""

YES_OR_NO: tuple[ReadingKind, ...] = ("sheet", "lead", "asbestos")
MVER_HOURS = (60.0, 72.0)
"""How long a dish is left on the slab. [h]"""


class Dish(Record):
    """A dish of salt that was weighed before and after it lay under its dome."""

    gain_g: float = Field(ge=0, le=100, description="It gained. [g]")
    area_ft2: float = Field(gt=0, le=10, description="Of slab under the dome. [ft²]")
    hours: float = Field(
        ge=MVER_HOURS[0], le=MVER_HOURS[1], description="It lay there. [h]"
    )


class Reading(Record):
    """One reading of the slab, with its place and day; without these it proves nothing."""

    kind: ReadingKind = Field(description="What was read, and by that how.")
    value: float | None = Field(
        default=None,
        ge=0,
        le=20_000,
        description="Reading in its unit; sheet 0 dry, 1 wet; laboratory 0 none, 1 found.",
    )
    unit: Line = Field(default="", description="Unit of the value.")
    dish: Dish | None = Field(
        default=None, description="Weights of a vapor dish in place of a value."
    )
    instrument: Line = Field(default="", description="What it was read with.")
    where: Line
    day: date

    @model_validator(mode="after")
    def _one_figure(self) -> Reading:
        if (self.value is None) == (self.dish is None):
            msg = "a value, or for mver the weights of a dish instead"
            raise ValueError(msg)
        if self.dish is not None and self.kind != "mver":
            msg = "a dish only where kind is mver"
            raise ValueError(msg)
        if self.kind in YES_OR_NO and self.value not in (0.0, 1.0):
            msg = f"0 or 1 for {self.kind}"
            raise ValueError(msg)
        if self.kind in ("rh", "mver") and (self.value or 0.0) > 100.0:
            msg = "at most 100"
            raise ValueError(msg)
        return self

    @property
    def figure(self) -> float:
        """Value in the unit that limits are told in.

        Raises
        ------
        SheetError
            If the unit is missing or not one of its kind.
        """
        if self.dish is not None:
            return vapor_lb(self.dish.gain_g, self.dish.area_ft2, self.dish.hours)
        units = UNITS[self.kind]
        unit = " ".join(self.unit.replace("²", "2").split())
        if unit not in units:
            choices = " or ".join(name for name in units if name)
            raise SheetError("unit", found=unit or "nothing", expected=choices)
        return float(self.value or 0.0) * units[unit]

    @property
    def told(self) -> str:
        """In words: ``71 % at studio, middle, 2026-11-18 (probe 12)``."""
        value = f"{self.figure:.3g}" if self.dish is not None else f"{self.value:g}"
        if self.kind in YES_OR_NO:
            value = _SAID[self.kind][int(self.value or 0)]
        unit = "lb/1000 sq ft 24 h" if self.dish is not None else self.unit
        shown = f"{value} {unit}".strip() if self.kind not in YES_OR_NO else value
        with_what = f" ({self.instrument})" if self.instrument else ""
        return f"{shown} at {self.where}, {self.day.isoformat()}{with_what}"


_SAID = {
    "sheet": ("dry", "wet"),
    "lead": ("no lead", "lead found"),
    "asbestos": ("no asbestos", "asbestos found"),
}


def proven(readings: Sequence[Reading]) -> tuple[Reading, ...]:
    """The readings, each with its unit and place, or a complaint that names the first.

    Raises
    ------
    SheetError
        Naming the reading by number: the unit or the place that is missing.
    """
    for number, reading in enumerate(readings, start=1):
        about = f"slab, reading {number}"
        if not reading.where:
            raise SheetError(
                f"{about}, where", found="nothing", expected="the place it was read at"
            )
        try:
            _ = reading.figure
        except SheetError as error:
            raise SheetError(
                f"{about}, unit", found=error.found, expected=error.expected
            ) from None
    return tuple(readings)


def asked_for(area_ft2: float, *, first: int, first_ft2: float, each_ft2: float) -> int:
    """How many tests an area asks for: some at first, one more for each further part.

    Examples
    --------
    >>> [asked_for(a, first=3, first_ft2=1000, each_ft2=1000) for a in (480, 1000, 1001)]
    [3, 3, 4]
    """
    # the hair keeps an area that is just full, in metres, from asking for one more
    more = ceil((area_ft2 - first_ft2) / each_ft2 - 1e-9)
    return first + max(0, more)


def vapor_lb(gain_g: float, area_ft2: float, hours: float) -> float:
    """Vapor a slab gave off to a dish. [lb/1000 ft² 24 h]

    >>> round(vapor_lb(1.5, 0.437, 66), 3)
    2.752
    """
    return gain_g / G_PER_LB / (area_ft2 / 1000.0) / (hours / 24.0)


def probe_depth_m(slab_m: float, *, sides: Literal[1, 2]) -> float:
    """How deep a humidity probe sits in a slab that dries from one side or two. [m]

    40 % of the thickness, or 20 %; ASTM F2170, from memory.
    """
    return slab_m * (0.4 if sides == 1 else 0.2)


def pull_n(strength_mpa: float, *, dolly_mm: float) -> float:
    """Pull on a round dolly at a strength. [N]"""
    return strength_mpa * pi * (dolly_mm / 2.0) ** 2


KINDS: tuple[ReadingKind, ...] = get_args(ReadingKind)
