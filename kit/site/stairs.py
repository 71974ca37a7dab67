"""Stairs, steps and free edges: what is coated beside the flat of the rooms."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from kit.errors import SheetError
from kit.record import Record
from kit.site.places import Length
from kit.site.sizes import checked_length
from kit.site.text import Name
from kit.units import read_length

WIDEST_M = 15.0


class Stairs(Record):
    """A straight flight of stairs; its landings are measured as rooms."""

    name: Name = "Stairs"
    risers: int = Field(ge=1, le=200, strict=True, description="Uprights, the last one in.")
    treads: int | None = Field(
        default=None,
        ge=0,
        le=200,
        strict=True,
        description="Treads; one less than risers where the last step is the floor above.",
    )
    width: Length
    tread: Length = Field(description="Depth, from the edge of the nosing to the riser.")
    riser: Length = Field(description="Height.")
    nosing: Length = Field(
        default="0 in", description="Overhang of the nosing, coated below as well."
    )
    coat_risers: bool = Field(default=True, description="Whether the uprights are coated.")
    open_sides: Literal[0, 1, 2] = Field(
        default=0, description="Sides at which the steps end in the open, not at a wall."
    )

    @property
    def about(self) -> str:
        """How complaints name it."""
        return f'stairs "{self.name}"'

    @property
    def tread_count(self) -> int:
        """Treads, counted or implied by the risers."""
        return self.risers - 1 if self.treads is None else self.treads

    def sizes_m(self) -> tuple[float, float, float, float]:
        """Width, tread, riser and nosing. [m]

        Raises
        ------
        SheetError
            If one is no step that anybody could walk on, or the nosing is deeper than
            its tread.
        """
        width_m = checked_length(
            self.width, about=f"{self.about}, width", least_m=0.3, most_m=WIDEST_M
        )
        tread_m = checked_length(
            self.tread, about=f"{self.about}, tread", least_m=0.1, most_m=3.0
        )
        riser_m = checked_length(
            self.riser, about=f"{self.about}, riser", least_m=0.02, most_m=0.5
        )
        nosing_m = read_length(self.nosing, about=f"{self.about}, nosing")
        if nosing_m > tread_m / 2:
            raise SheetError(
                f"{self.about}, nosing",
                found=self.nosing,
                expected=f"less than half the tread of {self.tread}",
            )
        return width_m, tread_m, riser_m, nosing_m


class Step(Record):
    """A step within the floor: an upright that is coated, and its edge."""

    where: Name
    length: Length
    height: Length

    def sizes_m(self) -> tuple[float, float]:
        """Length and height. [m]"""
        about = f'step "{self.where}"'
        return (
            checked_length(self.length, about=f"{about}, length", least_m=0.05),
            checked_length(self.height, about=f"{about}, height", least_m=0.01, most_m=1.5),
        )


class Edge(Record):
    """Where the film ends in the open: at a garage door, a drain, another floor."""

    where: Name
    length: Length

    def length_m(self) -> float:
        """How long it is. [m]"""
        return checked_length(
            self.length, about=f'edge "{self.where}", length', least_m=0.05
        )
