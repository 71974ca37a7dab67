"""The owner's own figures: wages, rates, tools, sundries, and how he asks his price.

All are defaults of the shelf, invented or common practice, that an owner replaces
with his own. Rates are person-hours, so a bigger crew is faster but not cheaper.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated, Literal

from pydantic import Field, model_validator

from kit.errors import ShelfError
from kit.record import Record
from kit.stock.records import Key, Price, Words

CoatKind = Literal["primer", "seal", "flood", "wear"]
Stage = Literal["prepare", "flood", "wear"]
"""What a day on site is for; a stage never shares its day with the next."""

STAGE_OF: dict[CoatKind, Stage] = {
    "primer": "prepare",
    "seal": "prepare",
    "flood": "flood",
    "wear": "wear",
}
"""The stage in which a coat of each kind is laid."""

Driver = Literal[
    "area",
    "perimeter",
    "cracks",
    "base",
    "joints_filled",
    "joints_honored",
    "edges",
    "nosings",
    "patches",
    "coating_removal",
    "adhesive_removal",
    "covering_removal",
    "stairs",
    "coat",
    "batch",
    "person_coat",
    "person_day",
    "day",
    "job",
]
"""What a task or a sundry is counted by: m², lengths in m, areas in m², plain numbers.

The base is as long as the walls that a cove base can run along; the nosings are those
of stairs and steps, the edges those where the film ends in the open; stairs are counted
by the step; patches and what is removed by their area. A coat is counted
once a pass, a batch once a bucket; a person_coat and a person_day are these times
the crew.
"""

Share = Annotated[Decimal, Field(ge=0, lt=1, allow_inf_nan=False)]
"""A part of one: 0.08 for eight percent; a percent typed here is refused."""


class CoatBuild(Record):
    """How a coat is laid on every job: its product and its film."""

    key: CoatKind
    name: Words
    product: Key = Field(description="Product it is made of.")
    film_um: float = Field(gt=0, le=5000, description="Wet film of one pass. [µm]")
    passes: int = Field(default=1, ge=1, le=4)
    upright_share: float = Field(
        default=1,
        gt=0,
        le=1,
        description="Film on risers, where it sags, over the flat.",
    )
    source: Words


class Task(Record):
    """A piece of work: what it is counted by and how fast one person does it."""

    key: Key
    name: Words
    stage: Stage
    driver: Driver
    coats: tuple[CoatKind, ...] = Field(
        default=(),
        description="Coats whose passes or batches are counted; none counts all.",
    )
    belongs: str = Field(
        default="",
        pattern=r"^[a-z_]*$",
        max_length=40,
        description="Kind of the coat it readies or lays, or the extra that brings it.",
    )
    fills: str = Field(
        default="",
        pattern=r"^[a-z0-9_]*$",
        max_length=40,
        description="Product that it fills with: hard before the first coat.",
    )
    levels: bool = Field(
        default=False,
        description="Takes what was filled down flush: done last, while that hardens.",
    )
    times: int = Field(default=1, ge=1, le=10, description="How often it is done.")
    per_person_h: float = Field(
        gt=0, le=1000, description="Units of the driver that one person does in an hour."
    )
    source: Words


class Equipment(Record):
    """A machine that is on site, and costs, on the days of its stages."""

    key: Key
    name: Words
    stages: tuple[Stage, ...] = Field(min_length=1)
    price_per_day: Price
    source: Words


class Sundry(Record):
    """A small thing that is used up, bought whole."""

    key: Key
    name: Words
    driver: Driver
    lasts: float = Field(gt=0, le=100_000, description="Units of the driver a piece lasts.")
    price: Price = Field(description="Bought price of a piece.")
    source: Words
    unit: Literal["", "m²", "m"] = Field(
        default="", description="What a piece is told in, where it is no piece."
    )
    line: Literal["materials", "disposal"] = Field(
        default="materials", description="Line of the bid that it is printed in."
    )


class Charge(Record):
    """What others do or take away for the job, charged by the quantity of a driver."""

    key: Key
    name: Words
    kind: Literal["subcontract", "disposal", "equipment"]
    driver: Driver
    price: Price = Field(
        description="For one unit of the driver, in m² or m if it has one."
    )
    least: Price = Field(default=Decimal(0), description="Least they come for.")
    source: Words


class Instalment(Record):
    """A part of the price and when it is due."""

    due: Words = Field(description="When, in words: At signing.")
    weight: Annotated[Decimal, Field(gt=0, le=1000)] = Field(
        description="Its part of the price, over the sum of all weights."
    )
    earned: bool = Field(
        default=False,
        description="Due only once work or material of that worth is on site.",
    )


class House(Record):
    """How this firm works and asks its price."""

    key: Key
    currency: str = Field(pattern=r"^[A-Z]{3}$", description="ISO 4217 code.")
    wage_per_h: Price = Field(description="Paid to one person for an hour.")
    burden_share: Annotated[Decimal, Field(ge=0, le=2)] = Field(
        description="Taxes and insurance on wages, over the wage."
    )
    crew: int = Field(ge=1, le=20, description="Persons on site.")
    hours_per_day: float = Field(
        gt=2, le=14, description="From unlocking to locking up. [h]"
    )
    trip_price: Price = Field(description="Vehicle and fuel, one trip there and back.")
    trip_h: float = Field(ge=0, le=12, description="On the road a trip, paid. [h]")
    waste_share: float = Field(
        ge=0, lt=1, description="Material on top of the film, for bucket, roller and spill."
    )
    batch_l: float = Field(gt=0.1, le=60, description="Most that is mixed at once. [l]")
    patch_product: Key = Field(
        default="patch_mortar", description="What hollows of the slab are filled with."
    )
    joint_product: Key = Field(
        default="joint_filler", description="What joints are filled with."
    )
    overhead_share: Annotated[Decimal, Field(ge=0, le=3)] = Field(
        description="Office, insurance, tools, over direct cost."
    )
    contingency_share: Share = Field(description="For the unforeseen, over cost.")
    margin_share: Share = Field(description="What is left, as a share of the price.")
    tax_share: Share
    tax_on: Literal["materials", "price", "classes", "none"] = Field(
        description="Paid by the firm on what it buys, charged on the price, or charged "
        "on the part of the price that materials have, and at another share on the rest."
    )
    minimum_charge: Price = Field(
        description="Least that is asked for any floor, before tax."
    )
    small_floor_m2: float = Field(
        ge=0, le=1000, description="Below this a price per area misleads. [m²]"
    )
    payments: tuple[Instalment, ...] = Field(min_length=1, max_length=12)
    prices_last_days: int = Field(
        default=180, ge=1, le=3650, description="Age up to which a price is trusted. [d]"
    )
    source: Words
    overtime_after_h: float = Field(
        default=24,
        gt=0,
        le=24,
        description="Hours of a day on site at the plain wage; 24 pays no overtime. [h]",
    )
    overtime_factor: Annotated[Decimal, Field(ge=1, le=4)] = Field(
        default=Decimal("1.5"), description="Wage of an hour of overtime, over the plain."
    )
    mobilization_price: Price = Field(
        default=Decimal(0), description="Once a job, on top of the trips."
    )
    overhead_by: Literal["share", "hour"] = Field(
        default="share",
        description="Whether overhead is a share of direct cost or a sum a person-hour.",
    )
    overhead_per_h: Price = Field(
        default=Decimal(0), description="Overhead of a person-hour on site."
    )
    least_margin_share: Share = Field(
        default=Decimal(0), description="Margin below which the owner is warned."
    )
    round_to: Price = Field(
        default=Decimal(0), description="Step of the asked price before tax; 0 is none."
    )
    round_how: Literal["up", "nearest", "down"] = Field(
        default="up", description="Which way the asked price goes to its step."
    )
    service_tax_share: Share = Field(
        default=Decimal(0),
        description="Tax on all but materials, where classes are taxed apart.",
    )
    region: Key = Field(
        default="none", description="Key of the deposit rule of the place, or none."
    )

    @model_validator(mode="after")
    def _recovers_overhead(self) -> House:
        if self.overhead_by == "hour" and not self.overhead_per_h:
            raise ShelfError(
                "house, overhead_per_h",
                found=self.overhead_per_h,
                expected="more than 0, for overhead is by the hour",
            )
        return self
