"""What may come out otherwise than planned: how far, and what goes with what."""

from __future__ import annotations

from typing import Literal

from pydantic import Field, model_validator

from kit.errors import ShelfError
from kit.record import Record
from kit.stock.house import CoatKind, Stage
from kit.stock.records import Key, Words

ActsOn = Literal["film", "waste", "pace", "hours", "resin_price", "other_price", "wage"]
"""What a spread multiplies: wet films, the waste share, what a person does in an hour,
the hours themselves, prices of resin and pigment, of all else bought, and the wage."""


class Spread(Record):
    """How a planned figure may come out: a factor on it, 1 as planned.

    A triangle or a PERT curve has a low, a likely and a high factor; a lognormal curve
    a mean and a coefficient of variation.
    """

    key: Key
    name: Words
    acts_on: ActsOn
    coats: tuple[CoatKind, ...] = Field(
        default=(), description="Coats whose film it is; none is all of them."
    )
    stages: tuple[Stage, ...] = Field(
        default=(), description="Stages whose work it is; none is all of them."
    )
    shape: Literal["triangular", "pert", "lognormal"]
    low: float | None = Field(default=None, gt=0, le=10)
    likely: float | None = Field(default=None, gt=0, le=10)
    high: float | None = Field(default=None, gt=0, le=10)
    mean: float | None = Field(default=None, gt=0, le=10)
    cv: float | None = Field(
        default=None, gt=0, le=2, description="Standard deviation over the mean."
    )
    source: Words

    @model_validator(mode="after")
    def _has_a_shape(self) -> Spread:
        points = (self.low, self.likely, self.high)
        moments = (self.mean, self.cv)
        wanted, other = (
            (moments, points) if self.shape == "lognormal" else (points, moments)
        )
        names = "mean and cv" if self.shape == "lognormal" else "low, likely and high"
        if None in wanted or any(figure is not None for figure in other):
            raise ShelfError(
                f"{self.name}, {self.shape}",
                found="other figures than it has",
                expected=f"{names}, and no others",
            )
        if self.shape == "lognormal":
            return self
        low, likely, high = (figure or 0.0 for figure in points)
        if not (low <= likely <= high and low < high):
            raise ShelfError(
                f"{self.name}, {self.shape}",
                found=f"{low:g}, {likely:g}, {high:g}",
                expected="low up to likely up to high, and low below high",
            )
        return self


class Tie(Record):
    """Two spreads that come out alike, or opposed."""

    key: Key
    of: tuple[Key, Key]
    correlation: float = Field(ge=-1, le=1, description="Of the normal scores of both.")
    source: Words
