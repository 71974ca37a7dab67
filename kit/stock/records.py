"""What can be bought: pigments, products, finishes, rates; one record a thing.

Every figure is a default that the owner edits in a price book of his own;
product sheets govern. Records are read from the shelf by `kit.stock.shelf`.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field

from kit.record import Record

BANDS = 8
"""Colour bands, 400 to 700 nm in steps of 37.5 nm; the ends are widened to 380 and 730."""

Bands = Annotated[tuple[float, ...], Field(min_length=BANDS, max_length=BANDS)]
Key = Annotated[str, Field(pattern=r"^[a-z][a-z0-9_]*$", max_length=40)]
Words = Annotated[str, Field(min_length=1, max_length=240)]
Price = Annotated[Decimal, Field(ge=0, le=100_000, allow_inf_nan=False)]


class Pigment(Record):
    """A metallic pigment: its look in eight bands, its dose and its price.

    ``absorption`` and ``scattering`` are Kubelka-Munk K and S of a film of
    nominal build at the nominal dose; ``face`` and ``flop`` are what its flakes
    mirror towards the light and away from it.
    """

    key: Key
    name: Words = Field(description="Plain name, as the client reads it.")
    absorption: Bands = Field(description="Kubelka-Munk K a band, per nominal build.")
    scattering: Bands = Field(description="Kubelka-Munk S a band, per nominal build.")
    face: Bands = Field(description="Reflectance of the flake faces a band, in [0, 1].")
    flop: Bands = Field(description="Reflectance seen off the mirror direction, in [0, 1].")
    dose: float = Field(
        gt=0, le=0.2, description="Pigment by weight of mixed resin. [kg/kg]"
    )
    price_per_kg: Price = Field(description="Bought price of a kilogram.")
    source: Words


class Tint(Record):
    """A pigment paste for the seal coat: the ground the metallic film lies on."""

    key: Key
    name: Words
    reflectance: Bands = Field(description="Reflectance of the cured seal coat a band.")
    dose: float = Field(gt=0, le=0.3, description="Paste by weight of mixed resin. [kg/kg]")
    price_per_kg: Price
    source: Words


class Bound(Record):
    """From and up to which figures something holds; an end that is not given is open."""

    least: float | None = None
    most: float | None = None

    def holds(self, figure: float) -> bool:
        """Whether a figure lies within."""
        return (self.least is None or figure >= self.least) and (
            self.most is None or figure <= self.most
        )


def _pairs(given: Any) -> Any:
    return tuple(given.items()) if isinstance(given, Mapping) else given


OwnLimits = Annotated[tuple[tuple[Key, Bound], ...], BeforeValidator(_pairs)]
"""Limits by their keys, written as a table; kept as pairs, so that a shelf can be a key."""


class Pack(Record):
    """A size in which a product is sold, parts A and B together."""

    volume_l: float = Field(gt=0, le=1000, description="Mixed volume of the kit. [l]")
    price: Price


class Product(Record):
    """A resin product, sold in whole kits of parts A and B."""

    key: Key
    name: Words
    kind: Literal["primer", "epoxy", "urethane", "clear_epoxy", "filler"]
    packs: tuple[Pack, ...] = Field(min_length=1)
    parts_a: float = Field(gt=0, le=100, description="Parts A by volume of the mix ratio.")
    parts_b: float = Field(gt=0, le=100, description="Parts B by volume of the mix ratio.")
    density_kg_per_l: float = Field(
        gt=0.5, le=3.0, description="Density of the mix. [kg/l]"
    )
    density_a_kg_per_l: float | None = Field(
        default=None,
        gt=0.5,
        le=3.0,
        description="Density of part A, for weighing; that of B follows. [kg/l]",
    )
    volume_solids: float = Field(
        gt=0, le=1, description="Share of the wet film that stays."
    )
    pot_life_min: float = Field(gt=0, le=600, description="In the bucket at 25 °C. [min]")
    recoat_from_h: float = Field(
        ge=0, le=200, description="Earliest next coat at 21 °C. [h]"
    )
    recoat_until_h: float = Field(
        gt=0, le=400, description="Latest next coat unsanded, up to 25 °C. [h]"
    )
    voc_g_per_l: float | None = Field(
        default=None, ge=0, le=900, description="Solvent, by the product sheet. [g/l]"
    )
    limits: OwnLimits = Field(
        default=(),
        max_length=20,
        description="Its own limits, by the keys of the common ones; they govern.",
    )
    index: float = Field(
        default=1.5, ge=1.3, le=1.8, description="Refractive index when cured."
    )
    source: Words

    def own_limit(self, key: str) -> Bound | None:
        """Its own limit of that key, or None where the common one governs."""
        return dict(self.limits).get(key)


class Finish(Record):
    """A wear coat as the client chooses it; one table here is all a finish needs."""

    key: Key
    name: Words = Field(description="What the client reads: Matte, Gloss.")
    says: Words = Field(description="The look in a few plain words.")
    slip: Words = Field(description="What to tell about wet feet.")
    gloss_gu: float = Field(ge=1, le=97, description="Gloss at 60°. [GU]")
    texture_um: float = Field(default=0, ge=0, le=500, description="Aggregate relief. [µm]")
    grain_um: float = Field(
        default=0, ge=0, le=1000, description="Diameter of the aggregate. [µm]"
    )
    aggregate_kg_per_m2: float = Field(default=0, ge=0, le=2)
    aggregate_price_per_kg: Price = Decimal(0)
    product: Key = Field(description="Product it is made of.")
    film_um: float = Field(gt=0, le=2000, description="Wet film of one pass. [µm]")
    passes: int = Field(ge=1, le=4)
    rate_m2_h: float = Field(gt=0, le=500, description="Laid by the crew, one pass. [m²/h]")
    source: Words
