"""What is kept of one floor: every choice that a person made about it."""

from __future__ import annotations

import datetime
from decimal import Decimal
from pathlib import Path
from typing import Annotated, Literal

from pydantic import Field, model_validator

from kit.errors import SheetError
from kit.pour.recipe import Recipe
from kit.record import Record
from kit.site import Site, read_sheet
from kit.site.text import Line, Name
from kit.stock.terms import NO_DISCOUNT, Discount

UNNAMED_FIRM = "Your firm"
"""Who pours before anybody said so."""


Place = Annotated[str, Field(max_length=1000)]
"""A file of this machine, from the folder of the sheet; blank is none."""


class Firm(Record):
    """Who pours the floor, as it signs its papers."""

    name: Name = UNNAMED_FIRM
    person: Line = ""
    address: Line = ""
    phone: Line = ""
    email: Line = ""
    licence: Line = Field(
        default="", description="Licence or registration number; blank prints a line."
    )
    cancel_notice: Place = Field(
        default="",
        description="Text or PDF of the official notice of cancellation; {language} in its "
        "name stands for en, es.",
    )
    logo: Place = Field(default="", description="File of the logo: PNG, JPEG or SVG.")
    font: Place = Field(
        default="", description="File of the typeface of its papers: one .ttf or .otf."
    )
    accent: str = Field(
        default="",
        pattern=r"^(#[0-9a-fA-F]{6})?$",
        description="Color of the house, such as #1f4e79; blank takes one of the floor's.",
    )


class Sale(Record):
    """Where and to whom a floor is sold: it decides who may cancel, and until when."""

    at: Literal["home", "away", "office", "remote"] = Field(
        default="home",
        description="Signed at the buyer's home, elsewhere away from our office, in our "
        "office, or wholly by mail, phone or online.",
    )
    buyer: Literal["household", "business"] = "household"
    buyer_from_65: bool | None = Field(
        default=None, strict=True, description="65 or older; unsaid counts as yes."
    )
    after_disaster: bool = Field(
        default=False, strict=True, description="Repairs after a declared disaster."
    )
    region: str = Field(
        default="",
        max_length=40,
        description="Whose rules hold, such as us_ca; blank is the region of the house.",
    )


class Design(Record):
    """A pour in a finish that was kept under a name, to come back to or to compare."""

    name: Name
    recipe: Recipe
    finish: str


MOST_DESIGNS = 4
"""More than four floors beside each other help nobody to choose."""


class PaperChoices(Record):
    """What the proposal shows; where nothing is said, all of it."""

    page: Literal["letter", "a4"] = "letter"
    units: Literal["us", "metric"] = Field(
        default="us", description="Feet and inches, or metres."
    )
    finishes: tuple[str, ...] = Field(
        default=(),
        max_length=40,
        description="Finishes priced beside the chosen one; none named is all of them.",
    )
    designs: tuple[Name, ...] | None = Field(
        default=None,
        max_length=MOST_DESIGNS,
        description="Kept designs shown, by name; unsaid, all that are kept.",
    )
    fields_to_sign: bool = Field(
        default=False,
        strict=True,
        description="Empty fields over the lines to sign, to sign on a computer.",
    )


Spot = tuple[
    Annotated[float, Field(ge=0, le=1, allow_inf_nan=False)],
    Annotated[float, Field(ge=0, le=1, allow_inf_nan=False)],
]
"""A place in the box that is signed in: shares of its width and, downwards, its height."""


Stroke = Annotated[tuple[Spot, ...], Field(min_length=1, max_length=2000)]


MOST_STROKES = 200


class Signature(Record):
    """A signature as it was given at the table, for the choice that it accepts.

    Without strokes it is a name that was typed, and is called so.
    """

    name: Name
    day: datetime.date = Field(strict=True)
    strokes: tuple[Stroke, ...] = Field(default=(), max_length=MOST_STROKES)
    width_over_height: float = Field(default=3.0, gt=0.2, le=20)
    total: Decimal = Field(
        gt=0,
        max_digits=12,
        decimal_places=2,
        description="What was asked when it was signed.",
    )


class Job(Record):
    """Every choice that a person made about one floor."""

    title: Name = "Poured floor"
    number: Line = ""
    date: datetime.date = Field(strict=True)
    valid_days: int = Field(
        default=28, ge=1, le=365, strict=True, description="Days the price stands."
    )
    language: str = Field(
        default="en",
        pattern=r"^[a-z]{2,3}(-[A-Z]{2})?$",
        description="Language of the paper: en, es, or with a country, es-MX.",
    )
    firm: Firm = Firm()
    sale: Sale = Sale()
    site: Site
    recipe: Recipe
    finish: str
    extras: tuple[str, ...] = Field(
        default=(), max_length=40, description="Extras taken, by their keys on the shelf."
    )
    discount: Discount = NO_DISCOUNT
    designs: tuple[Design, ...] = Field(default=(), alias="design", max_length=MOST_DESIGNS)
    paper: PaperChoices = PaperChoices()
    signed: Signature | None = None

    @model_validator(mode="after")
    def _names_once(self) -> Job:
        names = [design.name for design in self.designs]
        for name in names:
            if names.count(name) > 1:
                raise SheetError(
                    f'design "{name}"', found="the name twice", expected="a name of its own"
                )
        return self

    @property
    def open_until(self) -> datetime.date:
        """Last day the price stands."""
        return self.date + datetime.timedelta(days=self.valid_days)

    @classmethod
    def from_sheet(cls, path: str | Path) -> Job:
        """Read a measure sheet.

        Raises
        ------
        SheetError, ShelfError
            In one line: the field, what was found, what is expected.
        """
        # the sheet's reader makes Jobs, so it cannot be at hand before there is one
        from kit.job.sheet import job_from

        job = job_from(read_sheet(Path(path)))
        firm, folder = job.firm, Path(path).absolute().parent
        named = ("logo", "font", "cancel_notice")
        files = {name: getattr(firm, name) for name in named if getattr(firm, name)}
        placed = {name: str(folder / file) for name, file in files.items()}
        return job.changed(firm=firm.changed(**placed)) if placed else job

    def with_seed(self, seed: int) -> Job:
        """Return the same job poured again, to another pattern."""
        return self.changed(recipe=self.recipe.changed(seed=seed))
