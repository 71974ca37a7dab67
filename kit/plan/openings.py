"""Doorways and the way out, laid onto the walls they are in."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise
from typing import NoReturn

from shapely import LineString, Point, Polygon

from kit.errors import SheetError
from kit.plan.floor import PlannedRoom, Threshold, WayOut
from kit.site import Doorway, Exit
from kit.site.places import place_m
from kit.units import feet_inches

REACH_M = 0.6
"""How far from a wall face `at` may lie: half a thick wall and a careless tape."""

LIKELY_M = 0.9144
"""Width of a way out that nobody measured: three feet."""
_INDOORS_M2 = 0.02


def threshold(doorway: Doorway, rooms: dict[str, PlannedRoom]) -> Threshold:
    """Lay a doorway onto the walls of both its rooms.

    Raises
    ------
    SheetError
        If a room is unknown, no wall is near, or the opening is wider than its wall.
    """
    first, second = (_room(name, rooms, doorway.about) for name in doorway.between)
    if first is second:
        raise SheetError(doorway.about, found="one room twice", expected="two rooms")
    width_m = doorway.width_m()
    middle = Point(place_m(doorway.at, about=f"{doorway.about}, at"))
    here = cut_opening(first, middle, width_m, doorway.about)
    there = _facing(second, here, width_m, doorway.about)
    between = Polygon([*here.coords, *reversed(there.coords)])
    gap = between.difference(first.outline).difference(second.outline)
    solid = gap.area > 1e-6
    if solid and gap.geom_type != "Polygon":
        raise SheetError(
            doorway.about,
            found="walls that do not face each other",
            expected="one straight opening",
        )
    return Threshold(
        (first.name, second.name), (here, there), gap if solid else None, width_m
    )


def way_out(leaving: Exit, rooms: dict[str, PlannedRoom]) -> WayOut:
    """Lay the way out onto the wall it is in."""
    room = _room(leaving.room, rooms, "way_out, room")
    width_m = leaving.width_m()
    middle = Point(place_m(leaving.at, about="way_out, at"))
    opening = cut_opening(room, middle, width_m, "way_out")
    if other := beyond(opening, room, rooms):
        raise SheetError(
            "way_out, at",
            found=f'a wall towards "{other}"',
            expected="a door that leads outside",
        )
    return WayOut(room.name, opening, width_m)


def likely_way_out(rooms: dict[str, PlannedRoom]) -> WayOut:
    """Where none was marked: the middle of the longest outer wall of the largest room."""
    by_size = sorted(rooms.values(), key=lambda room: -room.outline.area)
    walls = [
        (room, wall)
        for room in by_size
        for wall in sorted(_edges(room), key=lambda wall: -wall.length)
    ]
    for room, wall in walls:
        width_m = min(LIKELY_M, wall.length / 2)
        opening = _along(wall, wall.interpolate(0.5, normalized=True), width_m)
        if opening is not None and not beyond(opening, room, rooms):
            return WayOut(room.name, opening, width_m, is_marked=False)
    room, wall = walls[0]
    return WayOut(room.name, wall, wall.length, is_marked=False)


def beyond(
    opening: LineString, room: PlannedRoom, rooms: dict[str, PlannedRoom]
) -> str | None:
    """Name of the room that lies behind an opening of another, if one does."""
    space = opening.buffer(REACH_M / 2, cap_style="flat")
    for other in rooms.values():
        if other is not room and other.outline.intersection(space).area > _INDOORS_M2:
            return other.name
    return None


def _room(name: str, rooms: dict[str, PlannedRoom], about: str) -> PlannedRoom:
    if name not in rooms:
        raise SheetError(about, found=name, expected=f"one of {', '.join(rooms)}")
    return rooms[name]


def _edges(room: PlannedRoom) -> Iterator[LineString]:
    corners = list(room.outline.exterior.coords)
    for a, b in pairwise(corners):
        if math.dist(a, b) > 1e-6:
            yield LineString([a, b])


def cut_opening(room: PlannedRoom, middle: Point, width_m: float, about: str) -> LineString:
    """Cut an opening from the wall of a room that is nearest to a place.

    Raises
    ------
    SheetError
        If no wall is near, or the opening does not fit into it.
    """
    near = [edge for edge in _edges(room) if edge.distance(middle) <= REACH_M]
    if not near:
        gap_m = room.outline.exterior.distance(middle)
        raise SheetError(
            f"{about}, at",
            found=f'a place {feet_inches(gap_m)} from any wall of "{room.name}"',
            expected=f"a place on a wall, within {feet_inches(REACH_M)}",
        )
    fits = [cut for edge in near if (cut := _along(edge, middle, width_m)) is not None]
    if not fits:
        wall = min(near, key=lambda edge: edge.distance(middle))
        _refuse(about, room, wall, width_m)
    return min(fits, key=lambda cut: cut.distance(middle))


def _facing(room: PlannedRoom, here: LineString, width_m: float, about: str) -> LineString:
    """Cut the same opening from the wall of `room` that faces it."""
    middle = here.interpolate(0.5, normalized=True)
    parallel = [edge for edge in _edges(room) if _is_parallel(edge, here)]
    near = [edge for edge in parallel if edge.distance(middle) <= REACH_M]
    if not near:
        raise SheetError(
            about,
            found=f'no wall of "{room.name}" that faces the opening',
            expected=f"two rooms side by side, at most {feet_inches(REACH_M)} apart",
        )
    wall = min(near, key=lambda edge: edge.distance(middle))
    cut = _along(wall, middle, width_m)
    if cut is None:
        _refuse(about, room, wall, width_m)
    forward = here.coords[0], cut.coords[0]
    crossed = here.coords[0], cut.coords[-1]
    return cut if math.dist(*forward) <= math.dist(*crossed) else cut.reverse()


def _along(wall: LineString, middle: Point, width_m: float) -> LineString | None:
    """Return the opening centred at `middle` along `wall`, or None where it runs past."""
    centre = wall.project(middle)
    low, high = centre - width_m / 2, centre + width_m / 2
    if low < -1e-6 or high > wall.length + 1e-6:
        return None
    return LineString(
        [wall.interpolate(max(low, 0.0)), wall.interpolate(min(high, wall.length))]
    )


def _is_parallel(edge: LineString, other: LineString) -> bool:
    (ax, ay), (bx, by) = edge.coords
    (cx, cy), (dx, dy) = other.coords
    cross = (bx - ax) * (dy - cy) - (by - ay) * (dx - cx)
    return bool(abs(cross) < 0.05 * edge.length * other.length)


def _refuse(about: str, room: PlannedRoom, wall: LineString, width_m: float) -> NoReturn:
    if any(curve.steps.distance(wall.centroid) < 1e-6 for curve in room.curves):
        raise SheetError(
            f"{about}, at",
            found=f'a place on a curved wall of "{room.name}"',
            expected="an opening in a straight wall; walk the wall around it straight",
        )
    if width_m > wall.length:
        raise SheetError(
            f"{about}, width",
            found=f"{feet_inches(width_m)} in a wall of {feet_inches(wall.length)}",
            expected="a doorway no wider than its wall",
        )
    raise SheetError(
        f"{about}, at",
        found=f'an opening that runs past the end of its wall in "{room.name}"',
        expected="a middle at least half the width from either end of the wall",
    )
