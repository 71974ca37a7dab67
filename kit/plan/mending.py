"""A floor with a room that has no dry way out, made into one that has an order.

Two things change a plan: a second door to the outside, and a taped line that parts a
room so that its sides are poured on different days. Both give a plan like any other, so
its lanes are ordered, and proven, as those of any floor.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Literal, get_args

import numpy as np
import shapely
from shapely import LineString, Point, Polygon
from shapely.affinity import rotate
from shapely.ops import linemerge, nearest_points, split

from kit.plan.floor import FloorPlan, PlannedRoom, Threshold, WayOut
from kit.plan.heading import headings
from kit.plan.openings import beyond
from kit.units import feet_inches

Fix = Literal["exit", "shoes", "days"]
FIXES: tuple[Fix, ...] = get_args(Fix)

EXIT_M = 0.9144
"""Clear width of a second exit: three feet. [m]"""
CLEAR_M = 2.0
"""Kept clear before a second exit: no niche of the same room. [m]"""
MOST_EXITS = 6
MOST_PARTS = 4
_NEAR_M = 0.02
_POINTS = ("east", "northeast", "north", "northwest",
           "west", "southwest", "south", "southeast")  # fmt: skip


@dataclass(frozen=True)
class Mended:
    """A plan that may have an order, and what must be done on site for it.

    Parameters
    ----------
    plan : FloorPlan
    says : str
        ``a second exit in the north wall of Shop, 6' 2" from its corner``.
    """

    plan: FloorPlan
    says: str


def with_an_exit(
    plan: FloorPlan, room: str, behind: Polygon | None = None
) -> Iterator[Mended]:
    """Plans with a second door out of a room, the widest wall to the outside first.

    Parameters
    ----------
    plan : FloorPlan
    room : str
        That has no dry way out.
    behind : shapely.Polygon, optional
        Where in it nobody gets, behind a neck: the door leads out of there, and the
        floor is parted at the neck. [m]
    """
    one = _room(plan, room)
    rooms = {other.name: other for other in plan.rooms}
    cut = _at_neck(one.poured, behind) if behind is not None else None
    pieces = _pieces(one.poured, cut) if cut is not None else []
    inside = one.poured
    if behind is not None and len(pieces) == 2:
        far = max(pieces, key=lambda piece: piece.intersection(behind).area)
        near = next(piece for piece in pieces if piece is not far)
        plan = _parted(plan, one, [(f"{room}, far side", far), (room, near)], apart=False)
        inside = far
    walls = sorted(_walls(one), key=lambda wall: -wall.length)
    found = 0
    for wall in walls:
        door = _door_in(wall, inside)
        if door is None or beyond(door, one, rooms) or _faces(one, door):
            continue
        home = next(r.name for r in plan.rooms if _touches(r.poured, door))
        found += 1
        yield Mended(
            replace(plan, exits=(*plan.exits, WayOut(home, door, door.length))),
            f"a second exit in the {_side(one, door)} wall of {home}, "
            f"{_from_corner(wall, door)}",
        )
        if found == MOST_EXITS:
            return


def in_parts(plan: FloorPlan, room: str) -> Iterator[Mended]:
    """Plans in which a room is poured on so many days, with taped lines between.

    The lines run the way the room is poured, so that its lanes get shorter; the part
    with the way out comes last, and each is left over the next.
    """
    one = _room(plan, room)
    way = next(heading for heading in headings(plan) if heading.room == room)
    for count in range(2, MOST_PARTS + 1):
        pieces = _strips(one.poured, _along_a_wall(one.poured, way.angle), count)
        if len(pieces) < 2:
            continue
        door = Point(way.leaves_m)
        pieces.sort(key=lambda piece: -piece.distance(door))
        named = [(f"{room}, part {n}", piece) for n, piece in enumerate(pieces, start=1)]
        parted = _parted(plan, one, named, apart=True)
        words = f"{room} in {len(named)} parts on as many days, a taped line between"
        yield Mended(parted, words)


def _room(plan: FloorPlan, name: str) -> PlannedRoom:
    return next(room for room in plan.rooms if room.name == name)


def _walls(room: PlannedRoom) -> Iterator[LineString]:
    corners = shapely.get_coordinates(room.outline.exterior)
    for a, b in pairwise(corners):
        yield LineString([a, b])


def _door_in(wall: LineString, inside: Polygon) -> LineString | None:
    """A door's width in the middle of what a wall has on that floor."""
    shared = wall.intersection(inside.buffer(_NEAR_M))
    longest = max(shapely.get_parts(shared), key=lambda part: part.length, default=wall)
    if not isinstance(longest, LineString) or longest.length < EXIT_M + 2 * _NEAR_M:
        return None
    middle = longest.length / 2
    ends = [longest.interpolate(middle + side * EXIT_M / 2) for side in (-1, 1)]
    return LineString(ends)


def _faces(room: PlannedRoom, door: LineString) -> bool:
    """Whether a door would lead back into its own room, across a niche."""
    near = door.buffer(CLEAR_M, cap_style="flat").intersection(room.outline)
    sides = [part for part in shapely.get_parts(near) if part.area > _NEAR_M]
    return len(sides) > 1


def _side(room: PlannedRoom, door: LineString) -> str:
    """Which way a wall looks, by where it stands."""
    (ax, ay), (bx, by) = door.coords
    nx, ny = by - ay, ax - bx
    if not room.outline.exterior.is_ccw:
        nx, ny = -nx, -ny
    return _point(nx, ny)


def _point(east: float, north: float) -> str:
    return _POINTS[round(math.degrees(math.atan2(north, east)) / 45) % 8]


def _from_corner(wall: LineString, door: LineString) -> str:
    """Where a door is in its wall, from the corner that a plan has first."""
    middle = door.interpolate(0.5, normalized=True)
    x, y = wall.coords[0]
    away = feet_inches(wall.project(middle), nearest=1)
    return f"its middle {away} from the {_point(x - middle.x, y - middle.y)} corner"


def _at_neck(poured: Polygon, behind: Polygon) -> LineString | None:
    """The line across a neck, where whoever stands behind it is nearest to the rest."""
    rest = poured.difference(behind.buffer(_NEAR_M)).buffer(-2 * _NEAR_M)
    others = [part for part in shapely.get_parts(poured.buffer(-0.21 + 1e-3))
              if part.intersection(behind).area < 0.5 * part.area]  # fmt: skip
    if rest.is_empty or not others:
        return None
    here, there = nearest_points(behind, shapely.union_all(others))
    long_m = math.dist((here.x, here.y), (there.x, there.y)) or 1.0
    nx, ny = (there.y - here.y) / long_m, (here.x - there.x) / long_m
    x, y = (here.x + there.x) / 2, (here.y + there.y) / 2
    across = LineString([(x - 9 * nx, y - 9 * ny), (x + 9 * nx, y + 9 * ny)])
    runs = [run for run in shapely.get_parts(across.intersection(poured))
            if isinstance(run, LineString)]  # fmt: skip
    if not runs:
        return None
    run = min(runs, key=lambda one: one.distance(Point(x, y)))
    (ax, ay), (bx, by) = run.coords[0], run.coords[-1]
    # a hair over, so that it cuts from wall to wall
    return LineString([(ax - nx * 1e-3, ay - ny * 1e-3), (bx + nx * 1e-3, by + ny * 1e-3)])


def _pieces(poured: Polygon, cut: LineString) -> list[Polygon]:
    parts = split(poured, cut).geoms
    return [part for part in parts if isinstance(part, Polygon) and part.area > 1e-6]


def _along_a_wall(poured: Polygon, angle: float) -> float:
    """The way along a wall that is nearest to a way. [rad]"""
    corners = shapely.get_coordinates(poured.exterior)
    runs = np.diff(corners, axis=0)
    bases = np.arctan2(runs[:, 1], runs[:, 0])[np.hypot(*runs.T).argsort()[::-1][:4]]
    ways = [base + quarter * math.pi / 2 for base in bases for quarter in range(4)]
    return float(min(ways, key=lambda way: abs(math.remainder(way - angle, 2 * math.pi))))


def _strips(poured: Polygon, angle: float, count: int) -> list[Polygon]:
    """A room cut into equally wide strips along a way."""
    turned = rotate(poured, -angle, origin=(0, 0), use_radians=True)
    west, south, east, north = turned.bounds
    pieces = [poured]
    for y in np.linspace(south, north, count + 1)[1:-1]:
        flat = LineString([(west - 1.0, y), (east + 1.0, y)])
        cut = rotate(flat, angle, origin=(0, 0), use_radians=True)
        pieces = [part for piece in pieces for part in _pieces(piece, cut)]
    return pieces


def _parted(
    plan: FloorPlan,
    room: PlannedRoom,
    pieces: Sequence[tuple[str, Polygon]],
    *,
    apart: bool,
) -> FloorPlan:
    """A plan with a room in several, joined where they touch."""
    made = [PlannedRoom(name, Polygon(p.exterior), p) for name, p in pieces]

    def now_in(opening: LineString) -> str:
        middle = opening.interpolate(0.5, normalized=True)
        return min(made, key=lambda one: one.poured.distance(middle)).name

    thresholds = []
    for door in plan.thresholds:
        first, second = (
            now_in(opening) if name == room.name else name
            for name, opening in zip(door.rooms, door.opening, strict=True)
        )
        thresholds.append(replace(door, rooms=(first, second)))
    pairs = []
    for n, one in enumerate(made):
        for other in made[:n]:
            line = _shared(one.poured, other.poured)
            if line is not None:
                pair = other.name, one.name
                pairs.append(pair)
                thresholds.append(Threshold(pair, (line, line), None, line.length))

    def moved(way: WayOut) -> WayOut:
        return replace(way, room=now_in(way.opening)) if way.room == room.name else way

    rooms = [one for old in plan.rooms for one in (made if old is room else [old])]
    return replace(
        plan,
        rooms=tuple(rooms),
        thresholds=tuple(thresholds),
        way_out=moved(plan.way_out),
        exits=tuple(moved(way) for way in plan.exits),
        apart=(*plan.apart, *pairs) if apart else plan.apart,
    )


def _shared(one: Polygon, other: Polygon) -> LineString | None:
    """The longest straight piece of edge that two floors share."""
    edge = one.exterior.intersection(other.buffer(1e-6))
    lines = [part for part in shapely.get_parts(edge) if isinstance(part, LineString)]
    merged = shapely.get_parts(linemerge(lines)) if len(lines) > 1 else lines
    longest = max(merged, key=lambda part: part.length, default=None)
    if longest is None or longest.length <= _NEAR_M:
        return None
    return LineString([longest.coords[0], longest.coords[-1]])


def _touches(poured: Polygon, door: LineString) -> bool:
    middle = door.interpolate(0.5, normalized=True)
    return bool(poured.distance(middle) < 2 * _NEAR_M)
