"""What a site is held to before it is coated, and how dust is kept."""

from __future__ import annotations

from datetime import date
from typing import Literal

from pydantic import Field, model_validator

from kit.record import Record
from kit.stock.records import Bound, Key, Words

MissingVerdict = Literal["marginal", "stop"]


class PerArea(Record):
    """How many tests an area asks for: some at first, then one for each further piece."""

    first: int = Field(ge=1, le=20, description="Tests for the first area.")
    first_ft2: float = Field(gt=0, le=10_000, description="That they are for. [ft²]")
    each_ft2: float = Field(gt=0, le=10_000, description="One more each, or part. [ft²]")


class FilmProfile(Record):
    """Concrete surface profile that a film up to some build wants."""

    up_to_mil: float = Field(gt=0, le=250, description="Wet film, up to. [mil]")
    least: int = Field(ge=1, le=10, description="Smoothest chip. [CSP]")
    most: int = Field(ge=1, le=10, description="Roughest chip. [CSP]")


class Limit(Record):
    """A common limit, where the product states none: within it is a pass.

    What lies outside but within `bears` is marginal: some specifications allow it.
    """

    key: Key
    name: Words
    unit: Words
    pass_from: float | None = Field(default=None, description="Least that passes.")
    pass_to: float | None = Field(default=None, description="Most that passes.")
    bears_from: float | None = Field(default=None, description="Least that is borne.")
    bears_to: float | None = Field(default=None, description="Most that is borne.")
    tests: PerArea | None = None
    by_film: tuple[FilmProfile, ...] = Field(default=(), max_length=20)
    unread: MissingVerdict = Field(description="Verdict where nothing was read.")
    read: Words = Field(description="How to read it, said where nothing was read.")
    fix: Words = Field(description="What to do where it is not within the limit.")
    source: Words
    checked: date

    @model_validator(mode="after")
    def _borne_is_wider(self) -> Limit:
        low, high = self.bears_from, self.bears_to
        if (low is not None and self.pass_from is not None and low > self.pass_from) or (
            high is not None and self.pass_to is not None and high < self.pass_to
        ):
            msg = "what is borne to reach as far as what passes"
            raise ValueError(msg)
        return self

    def narrowed(self, own: Bound | None, *, whose: str) -> tuple[Bound, Bound, str]:
        """What passes, what is borne, and whose limit it is.

        Parameters
        ----------
        own : Bound or None
            The product's own limit, which leaves nothing to be borne.
        whose : str
            Name of the product.
        """
        if own is not None:
            return own, own, whose
        passes = Bound(least=self.pass_from, most=self.pass_to)
        least = self.pass_from if self.bears_from is None else self.bears_from
        most = self.pass_to if self.bears_to is None else self.bears_to
        return passes, Bound(least=least, most=most), "common limit"


class DustControl(Record):
    """How silica dust is kept at one tool."""

    key: Key = Field(description="Key of the equipment.")
    tool: Words
    tasks: tuple[Key, ...] = Field(min_length=1, description="Tasks done with it.")
    controls: str = Field(min_length=1, max_length=400)
    flow_cfm_per_in: float | None = Field(
        default=None, gt=0, description="Air drawn for each inch of wheel. [ft³/min/in]"
    )
    wheel_in: float | None = Field(default=None, gt=0, le=24, description="Wheel. [in]")
    long_from_h: float = Field(gt=0, le=12, description="A long shift is longer. [h]")
    protection_long: int = Field(
        ge=0, le=1000, description="Assigned protection factor indoors in a long shift."
    )
    source: Words
    checked: date

    @property
    def flow_cfm(self) -> float | None:
        """Air that the vacuum must draw. [ft³/min]"""
        if self.flow_cfm_per_in is None or self.wheel_in is None:
            return None
        return self.flow_cfm_per_in * self.wheel_in
