"""Closets laid behind the walls of the room that they belong to."""

from __future__ import annotations

import math

from shapely import LineString, Point, Polygon, union_all

from kit.errors import SheetError
from kit.plan.floor import PlannedRoom
from kit.plan.openings import cut_opening
from kit.plan.parts import PlannedCloset
from kit.site import Closet
from kit.site.places import place_m
from kit.site.walls import checked_length
from kit.units import feet_inches, read_length

THICKEST_WALL_M = 1.0
_SNAP_M = 1e-6
"""An opening only nearly lies on its wall line; a micrometre joins them."""
_OVERLAP_M2 = 1e-4


def with_closets(
    outline: Polygon, closets: tuple[Closet, ...], *, room: str
) -> tuple[Polygon, tuple[PlannedCloset, ...]]:
    """Join closets to the outline of their room.

    Raises
    ------
    SheetError
        If an opening does not lie on a wall or is wider than its closet, a size is
        absurd, or a closet runs into the room or another closet.
    """
    found: list[PlannedCloset] = []
    whole = outline
    for closet in closets:
        where = f'room "{room}", closet "{closet.name}"'
        one = _laid(closet, PlannedRoom(room, outline, outline), where)
        if whole.intersection(one.inside).area > _OVERLAP_M2:
            raise SheetError(
                where,
                found="a place that is floor already",
                expected="room for it behind the wall",
            )
        pieces = [whole, one.inside, *([one.opening] if one.opening else [])]
        joined = union_all(pieces, grid_size=_SNAP_M)
        if not isinstance(joined, Polygon) or joined.interiors:
            raise SheetError(
                where, found="walls that do not meet", expected="one outline with its room"
            )
        whole = joined
        found.append(one)
    return whole, tuple(found)


def _laid(closet: Closet, room: PlannedRoom, about: str) -> PlannedCloset:
    opening_m = checked_length(
        closet.opening, about=f"{about}, opening", least_m=0.1, most_m=15.0
    )
    width_m = checked_length(closet.width, about=f"{about}, width", least_m=0.1)
    depth_m = checked_length(closet.depth, about=f"{about}, depth", least_m=0.1)
    wall_m = read_length(closet.wall, about=f"{about}, wall")
    if wall_m > THICKEST_WALL_M:
        raise SheetError(
            f"{about}, wall",
            found=closet.wall,
            expected=f"a wall up to {feet_inches(THICKEST_WALL_M)} thick",
        )
    if opening_m > width_m + _SNAP_M:
        raise SheetError(
            f"{about}, opening",
            found=closet.opening,
            expected=f"one no wider than the closet, {closet.width}",
        )
    middle = Point(place_m(closet.at, about=f"{about}, at"))
    cut = cut_opening(room, middle, opening_m, about)
    out = _outward(cut, is_ccw=room.outline.exterior.is_ccw)
    opening = _behind(cut, opening_m, out, 0.0, wall_m) if wall_m > _SNAP_M else None
    inside = _behind(cut, width_m, out, wall_m, wall_m + depth_m)
    return PlannedCloset(closet.name, inside, opening, wall_m)


def _outward(cut: LineString, *, is_ccw: bool) -> tuple[float, float]:
    """Unit vector out of the room, square to a piece of its outline."""
    (ax, ay), (bx, by) = cut.coords
    long_m = math.dist((ax, ay), (bx, by))
    east, north = (by - ay) / long_m, (ax - bx) / long_m
    return (east, north) if is_ccw else (-east, -north)


def _behind(
    cut: LineString, width_m: float, out: tuple[float, float], near_m: float, far_m: float
) -> Polygon:
    """A rectangle centred behind an opening, from `near_m` to `far_m` behind the wall."""
    (ax, ay), (bx, by) = cut.coords
    long_m = math.dist((ax, ay), (bx, by))
    along = (bx - ax) / long_m * width_m / 2.0, (by - ay) / long_m * width_m / 2.0
    middle = (ax + bx) / 2.0, (ay + by) / 2.0
    return Polygon(
        [
            (
                middle[0] + side * along[0] + off_m * out[0],
                middle[1] + side * along[1] + off_m * out[1],
            )
            for side, off_m in ((-1, near_m), (1, near_m), (1, far_m), (-1, far_m))
        ]
    )
