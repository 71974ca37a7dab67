"""One room's outline, with its columns and islands taken out, checked for sense."""

from __future__ import annotations

import math
from itertools import pairwise

from shapely import LineString, Polygon
from shapely.affinity import scale

from kit.errors import SheetError
from kit.plan.closets import with_closets
from kit.plan.floor import PlannedRoom
from kit.plan.parts import CurvedWall, Solid, where_it_meets
from kit.site import Column, Island, Room
from kit.site.bows import Bow, along
from kit.site.places import place_m
from kit.site.sizes import LONGEST_WALL_M, Corner, checked_length
from kit.units import feet_inches, square_feet

SMALLEST_ROOM_M2 = 0.1
LARGEST_ROOM_M2 = 10_000.0
_SMALLEST = f"{square_feet(SMALLEST_ROOM_M2):.0f}"
_LARGEST = f"{square_feet(LARGEST_ROOM_M2):,.0f}"
_SIDES = 96
_TOUCH_M = 1e-6


def planned(room: Room) -> PlannedRoom:
    """Make a room's polygons from its record.

    Raises
    ------
    SheetError
        If the outline crosses itself, has an absurd size, or a column or
        island is not inside it.
    """
    about = f'room "{room.name}"'
    corners = room.corners_m()
    ring, curves = _bent(corners, room.bows())
    outline = Polygon(ring)
    _check_outline(outline, about)
    counterclockwise = outline.exterior.is_ccw
    curved = tuple(
        # walked counterclockwise, what lies to the right is outside
        CurvedWall(number, bow, steps, adds=(bow.rise_m < 0.0) == counterclockwise)
        for number, bow, steps in curves
    )
    outline, closets = with_closets(outline, room.closets, room=room.name)
    solids = [
        _column(column, f"{about}, column {number}")
        for number, column in enumerate(room.columns, start=1)
    ]
    solids += [_island(island, about) for island in room.islands]
    poured = outline
    for solid in solids:
        poured = _without(poured, outline, solid, about)
    if poured.geom_type != "Polygon":
        raise SheetError(
            about,
            found="columns or islands that cut it in two",
            expected="one piece of floor",
        )
    return PlannedRoom(room.name, outline, poured, corners, curved, tuple(solids), closets)


def _bent(
    corners: tuple[Corner, ...], bows: tuple[Bow | None, ...]
) -> tuple[list[Corner], list[tuple[int, Bow, LineString]]]:
    """Lay curved walls over the corners: the ring, and number, bow and steps of each."""
    ring: list[Corner] = []
    curves = []
    ends = zip(corners, [*corners[1:], corners[0]], bows, strict=True)
    for number, (start, end, bow) in enumerate(ends, start=1):
        ring.append(start)
        if bow is not None:
            between = along(bow, start, end)
            ring += between
            curves.append((number, bow, LineString([start, *between, end])))
    return ring, curves


def _check_outline(outline: Polygon, about: str) -> None:
    if not outline.is_valid:
        raise SheetError(
            f"{about}, outline",
            found=f"walls that cross or touch each other{where_it_meets(outline)}",
            expected="an outline that never meets itself",
        )
    ring = list(outline.exterior.coords)
    longest = max(math.dist(a, b) for a, b in pairwise(ring))
    if longest > LONGEST_WALL_M:
        raise SheetError(
            f"{about}, outline",
            found=f"a wall of {feet_inches(longest)}",
            expected=f"walls up to {feet_inches(LONGEST_WALL_M)}",
        )
    if not SMALLEST_ROOM_M2 <= outline.area <= LARGEST_ROOM_M2:
        raise SheetError(
            f"{about}, area",
            found=f"{square_feet(outline.area):,.1f} sq ft",
            expected=f"{_SMALLEST} to {_LARGEST} sq ft",
        )


def _column(column: Column, about: str) -> Solid:
    east, north = place_m(column.at, about=f"{about}, at")
    name = about.rpartition(", ")[2]
    if column.round is not None:
        across_m = checked_length(column.round, about=f"{about}, round", most_m=10.0)
        # A polygon of the circle's own area: what is deducted is exactly pi r².
        grown = math.sqrt(2 * math.pi / (_SIDES * math.sin(2 * math.pi / _SIDES)))
        turns = [2 * math.pi * (side + 0.5) / _SIDES for side in range(_SIDES)]
        radius = across_m / 2
        unit = Polygon([(math.cos(t) * grown, math.sin(t) * grown) for t in turns])
        disc = scale(unit, radius, radius, origin=(0, 0))
        shape = Polygon([(x + east, y + north) for x, y in disc.exterior.coords])
        return Solid(name, shape, math.pi * across_m)
    assert column.square is not None
    half_w = checked_length(column.square[0], about=f"{about}, square", most_m=30.0) / 2
    half_d = checked_length(column.square[1], about=f"{about}, square", most_m=30.0) / 2
    signs = [(-1, -1), (1, -1), (1, 1), (-1, 1)]
    shape = Polygon([(east + i * half_w, north + j * half_d) for i, j in signs])
    return Solid(name, shape, shape.length)


def _island(island: Island, about: str) -> Solid:
    name = f'island "{island.name}"'
    polygon = Polygon(
        [
            place_m(corner, about=f"{about}, {name}, corner {n}")
            for n, corner in enumerate(island.corners, 1)
        ]
    )
    if not polygon.is_valid or polygon.area < 1e-4:
        raise SheetError(
            f"{about}, {name}",
            found="corners that make no area",
            expected="a simple outline",
        )
    return Solid(name, polygon, polygon.length)


def _without(poured: Polygon, outline: Polygon, solid: Solid, about: str) -> Polygon:
    if not outline.buffer(_TOUCH_M).covers(solid.shape):
        outside = solid.shape.difference(outline).area / solid.shape.area
        where = (
            "a place outside its room"
            if outside > 0.999
            else "a place partly outside its room"
        )
        raise SheetError(
            f"{about}, {solid.name}", found=where, expected="it to stand inside the walls"
        )
    return poured.difference(solid.shape)
