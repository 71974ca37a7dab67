"""The poured surface: rooms joined through their doorways, in metres east and north."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from shapely import LineString, Polygon, maximum_inscribed_circle, union_all
from shapely.geometry.base import BaseGeometry

from kit.plan.parts import CurvedWall, PlannedCloset, Solid
from kit.site.sizes import Corner


@dataclass(frozen=True)
class PlannedRoom:
    """A room as it is poured.

    Parameters
    ----------
    name : str
    outline : shapely.Polygon
        Finished wall faces, no holes. [m]
    poured : shapely.Polygon
        The outline less columns and islands; holes where they stand clear. [m]
    corners_m : tuple of (float, float)
        Ends of its walls as they were measured, closets left out. [m]
    curves : tuple of CurvedWall
        Those of its walls that are arcs.
    solids : tuple of Solid
        Columns and islands.
    closets : tuple of PlannedCloset
        Within the outline.
    """

    name: str
    outline: Polygon
    poured: Polygon
    corners_m: tuple[Corner, ...] = ()
    curves: tuple[CurvedWall, ...] = ()
    solids: tuple[Solid, ...] = ()
    closets: tuple[PlannedCloset, ...] = ()


@dataclass(frozen=True)
class Threshold:
    """A doorway between two rooms, with the floor inside the wall's thickness.

    Parameters
    ----------
    rooms : (str, str)
    opening : (LineString, LineString)
        The opening on the wall face of either room. [m]
    poured : shapely.Polygon or None
        Floor between the two faces; None where the rooms share one wall line. [m]
    width_m : float
    """

    rooms: tuple[str, str]
    opening: tuple[LineString, LineString]
    poured: Polygon | None
    width_m: float


@dataclass(frozen=True)
class WayOut:
    """Where the crew leaves: a door to the outside.

    Parameters
    ----------
    room : str
    opening : LineString
        On the wall of the room. [m]
    width_m : float
    is_marked : bool
        Somebody said so; else it is where a door is likely, to pour towards.
    """

    room: str
    opening: LineString
    width_m: float
    is_marked: bool = True


@dataclass(frozen=True)
class FloorPlan:
    """All rooms and doorways of a job as one surface.

    Parameters
    ----------
    rooms : tuple of PlannedRoom
    thresholds : tuple of Threshold
    way_out : WayOut
    surface : shapely.Polygon
        Everything poured, in one piece, columns and islands as holes. [m]
    below_grade : bool
        The slab lies in the ground.
    exits : tuple of WayOut
        Further doors by which the crew may leave.
    apart : tuple of (str, str)
        Rooms that are never poured on one day: a taped line stands between them.
    """

    rooms: tuple[PlannedRoom, ...]
    thresholds: tuple[Threshold, ...]
    way_out: WayOut
    surface: Polygon
    below_grade: bool = False
    exits: tuple[WayOut, ...] = ()
    apart: tuple[tuple[str, str], ...] = ()

    @property
    def ways_out(self) -> tuple[WayOut, ...]:
        """Every door by which the crew may leave, the marked one first."""
        return (self.way_out, *self.exits)

    @property
    def bounds_m(self) -> tuple[float, float, float, float]:
        """West, south, east, north of the surface. [m]"""
        west, south, east, north = self.surface.bounds
        return west, south, east, north

    @cached_property
    def faces(self) -> BaseGeometry:
        """Lines where the film ends: walls, columns, jambs; doorways left open. [m]"""
        rings = [
            ring
            for room in self.rooms
            for ring in (room.poured.exterior, *room.poured.interiors)
        ]
        through = [t.poured.exterior for t in self.thresholds if t.poured is not None]
        # A hair of width: an opening only nearly lies on its wall line.
        openings = union_all([o.buffer(1e-6) for t in self.thresholds for o in t.opening])
        return union_all([*rings, *through]).difference(openings)

    @cached_property
    def walls_m(self) -> NDArray[np.float64]:
        """`faces` as (N, 4) rows x0, y0, x1, y1. [m]"""
        lines = getattr(self.faces, "geoms", [self.faces])
        corners = [np.asarray(line.coords) for line in lines if line.length > 1e-4]
        return np.concatenate([np.hstack([c[:-1], c[1:]]) for c in corners])

    @cached_property
    def largest_room(self) -> PlannedRoom:
        """The room a client would stand in to look at the floor."""
        return max(self.rooms, key=lambda room: room.poured.area)

    @cached_property
    def most_open_m(self) -> tuple[float, float]:
        """The place of the largest room farthest from its walls and columns. [m]"""
        circle = maximum_inscribed_circle(self.largest_room.poured, tolerance=0.01)
        middle = circle.coords[0]
        return float(middle[0]), float(middle[1])
