"""Sizes as the client is used to them: in feet or in metres."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from kit.money import rounded
from kit.proposal import figures
from kit.proposal.catalogue import Words
from kit.units import M2_PER_FT2, M_PER_FT, M_PER_IN, fahrenheit

Units = Literal["us", "metric"]


@dataclass(frozen=True)
class Measures:
    """How sizes and prices for a size are written.

    Parameters
    ----------
    words : Words
    units : str
        ``us`` or ``metric``.
    """

    words: Words
    units: Units = "us"

    @property
    def is_metric(self) -> bool:
        """Whether metres are read."""
        return self.units == "metric"

    @property
    def area_unit(self) -> str:
        """Unit of an area: ``sq ft``."""
        return self.words("unit.m2" if self.is_metric else "unit.sqft")

    @property
    def length_unit(self) -> str:
        """Unit of a length: ``ft``."""
        return self.words("unit.m" if self.is_metric else "unit.ft")

    @property
    def per_area(self) -> str:
        """For a unit of area: ``per sq ft``."""
        return self.words("unit.per_m2" if self.is_metric else "unit.per_sqft")

    def of_area(self, area_m2: float) -> float:
        """An area in its unit."""
        return area_m2 if self.is_metric else area_m2 / M2_PER_FT2

    def of_length(self, length_m: float) -> float:
        """A length in its unit."""
        return length_m if self.is_metric else length_m / M_PER_FT

    def area(self, area_m2: float) -> str:
        """An area with its unit: ``400.2 sq ft``, not to be broken."""
        number = figures.tenths(self.of_area(area_m2), self.words.locale)
        return f"{number} {self.area_unit}".replace(" ", "\N{NO-BREAK SPACE}")

    def length(self, length_m: float) -> str:
        """A length with its unit, in whole feet or tenths of a metre."""
        size, locale = self.of_length(length_m), self.words.locale
        number = (
            figures.tenths(size, locale) if self.is_metric else figures.whole(size, locale)
        )
        return f"{number}\N{NO-BREAK SPACE}{self.length_unit}"

    def width(self, length_m: float) -> str:
        """A small length in words: ``18 inches``."""
        if self.is_metric:
            return self.words("unit.centimeters", number=f"{length_m * 100:.0f}")
        return self.words("unit.inches", number=f"{round(length_m / M_PER_IN)}")

    def temperature(self, celsius: float) -> str:
        """A temperature in whole degrees: ``77 °F``."""
        degrees = celsius if self.is_metric else fahrenheit(celsius)
        unit = self.words("unit.celsius" if self.is_metric else "unit.fahrenheit")
        return f"{degrees:.0f}\N{NO-BREAK SPACE}{unit}"

    def price_per_area(self, amount: Decimal, area_sqft: Decimal, currency: str) -> Decimal:
        """A price over an area, to the smallest coin."""
        area = area_sqft * Decimal(str(M2_PER_FT2)) if self.is_metric else area_sqft
        return rounded(amount / area, currency)
