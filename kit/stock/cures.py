"""How a kind of resin hardens: one record a kind; all waiting is scaled from it."""

from __future__ import annotations

from typing import Literal

from pydantic import Field, model_validator

from kit.record import Record
from kit.stock.records import Words

ProductKind = Literal["primer", "epoxy", "urethane", "clear_epoxy", "filler"]

AT_C = 25.0
"""Temperature that pot life and return to service are told at. [°C]"""

RECOAT_AT_C = 21.0
"""Temperature that recoat times are told at. [°C]"""


class Cure(Record):
    """How a kind of resin hardens. Times are at 25 °C; the product sheet governs."""

    key: ProductKind
    activation_kj_per_mol: float = Field(
        ge=20, le=120, description="Activation energy of the cure. [kJ/mol]"
    )
    pot_life_l: float = Field(
        gt=0, le=60, description="Mixed volume that a pot life is told for. [l]"
    )
    mass_exponent: float = Field(
        ge=0, le=1, description="How much sooner a larger batch kicks."
    )
    film_times: float = Field(
        gt=1, le=10, description="Working time spread on the floor, over the pot life."
    )
    walk_on_h: float = Field(gt=0, le=400, description="Shoes. [h]")
    furniture_h: float = Field(gt=0, le=800, description="Light furniture. [h]")
    wheels_h: float = Field(gt=0, le=1200, description="Cars and rugs. [h]")
    full_h: float = Field(gt=0, le=2000, description="All of its strength. [h]")
    least_c: float = Field(ge=0, le=30, description="Coldest slab it is laid on. [°C]")
    most_c: float = Field(ge=20, le=50, description="Warmest slab it is laid on. [°C]")
    source: Words

    @model_validator(mode="after")
    def _in_order(self) -> Cure:
        hours = (self.walk_on_h, self.furniture_h, self.wheels_h, self.full_h)
        if list(hours) != sorted(hours):
            msg = "shoes before furniture before wheels before full strength"
            raise ValueError(msg)
        if self.least_c >= self.most_c:
            msg = "a coldest slab below the warmest"
            raise ValueError(msg)
        return self
