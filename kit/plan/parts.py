"""What a room is made of: curved walls, what stands in it, closets behind its walls."""

from __future__ import annotations

from dataclasses import dataclass

from shapely import LineString, Polygon, is_valid_reason

from kit.site.bows import Bow
from kit.units import feet_inches


@dataclass(frozen=True)
class CurvedWall:
    """A wall that is an arc.

    Parameters
    ----------
    number : int
        Which wall of its room, from 1.
    bow : Bow
        The arc over its chord.
    steps : LineString
        The straight steps that it is drawn by. [m]
    adds : bool
        It bows out of the room, so that it adds floor; else it takes some.
    """

    number: int
    bow: Bow
    steps: LineString
    adds: bool

    @property
    def segment_m2(self) -> float:
        """Floor between arc and chord, negative where the wall bows into the room. [m²]"""
        return self.bow.segment_m2 if self.adds else -self.bow.segment_m2


@dataclass(frozen=True)
class Solid:
    """A column or island.

    Parameters
    ----------
    name : str
    shape : Polygon
        Its footprint, of its true area. [m]
    girth_m : float
        Once round it; of a round column the circle's own. [m]
    """

    name: str
    shape: Polygon
    girth_m: float


@dataclass(frozen=True)
class PlannedCloset:
    """A closet that belongs to a room.

    Parameters
    ----------
    name : str
    inside : Polygon
        Its own floor. [m]
    opening : Polygon or None
        Floor within the thickness of the wall; None where the wall has none. [m]
    wall_m : float
        That thickness. [m]
    """

    name: str
    inside: Polygon
    opening: Polygon | None
    wall_m: float


def where_it_meets(outline: Polygon) -> str:
    """Where an outline meets itself, as the end of a sentence; may be empty."""
    reason = is_valid_reason(outline)
    if "[" not in reason:
        return ""
    east, north = (float(c) for c in reason.split("[")[1].rstrip("]").split())
    return f" near {feet_inches(east)} east, {feet_inches(north)} north"
