"""Which pigments are poured, in which shares, over which seal coat."""

from __future__ import annotations

from pydantic import Field, model_validator

from kit.errors import SheetError
from kit.record import Record
from kit.stock.records import Key

FEWEST, MOST = 2, 6
SHARES_AGREE = 1e-6
"""How far the shares may stray from one. [unitless]"""


class Colour(Record):
    """One pigment of the floor and how much of the metallic coat it takes."""

    pigment: Key = Field(description="Key of the pigment on the shelf.")
    share: float = Field(
        gt=0, le=1, strict=True, description="Share of the metallic coat. [0 to 1]"
    )


class Palette(Record):
    """Two to six pigments whose shares make one, and the tint they lie on."""

    colours: tuple[Colour, ...] = Field(
        alias="color", description="Two to six colours; shares sum to 1."
    )
    tint: Key = Field(description="Key of the seal coat's tint on the shelf.")

    @model_validator(mode="after")
    def _adds_up(self) -> Palette:
        """Refuse what cannot be mixed: too few, too many, one twice, not 1 in all."""
        count = len(self.colours)
        if not FEWEST <= count <= MOST:
            found = "one color only" if count == 1 else f"{count} colors"
            raise SheetError(
                "floor, color", found=found, expected=f"{FEWEST} to {MOST} colors"
            )
        pigments = [colour.pigment for colour in self.colours]
        twice = next((p for p in pigments if pigments.count(p) > 1), None)
        if twice is not None:
            raise SheetError(
                "floor, color", found=f"{twice} twice", expected="each pigment once"
            )
        total = sum(colour.share for colour in self.colours)
        if abs(total - 1.0) > SHARES_AGREE:
            raise SheetError(
                "floor, color", found=f"{total:.6g} in all", expected="shares that sum to 1"
            )
        return self

    @property
    def shares(self) -> tuple[float, ...]:
        """Shares in palette order; they sum to one."""
        return tuple(colour.share for colour in self.colours)
