"""Maps to scale: lanes and their order, ribbons, tape, the way out and the station."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import Polygon, transform
from shapely.affinity import rotate
from shapely.geometry.base import BaseGeometry

from kit.jobpack.shown import Drawn, Hatched, Map, Marked
from kit.plan.floor import FloorPlan, WayOut
from kit.plan.lanes import Edge, Lane, PourOrder
from kit.pour.ribbons import Ribbon
from kit.press.drawing import WALL_M
from kit.press.page import Point
from kit.press.scale import SCALES, Scale, largest_that_fits
from kit.units import M_PER_FT

AROUND_PT = 26.0
"""Kept round a map for walls, the way out and the station. [pt]"""
LEAST_LETTER_M2 = 0.22
"""Smaller pieces of a ribbon carry no letter; their hatch tells them. [m²]"""
_BADGE_M = 0.34
BADGE_PT = (24.0, 18.0)
LETTER_PT, NAME_HIGH_PT = 6.0, 15.0
"""Of a lane's number and of a room's name: so much of a map. [pt]"""
NAME_STEPS = 13
STATION_PT = 62.0
"""How wide the sign of the station is. [pt]"""
_SMALL_PT_PER_M = 28.0
"""Below this scale a map has no room for where crews meet."""
_ROUND = 2
_LARGER = (
    Scale("1/2″ = 1′", 24, 2, M_PER_FT),
    Scale("3/8″ = 1′", 32, 4, M_PER_FT),
    *SCALES,
)
"""A room is worked in from a map at a larger scale than a plan is drawn."""


@dataclass(frozen=True)
class _Sheet:
    """From metres to points on the map: turned or not, from its upper left corner."""

    turned: bool
    west_m: float
    north_m: float
    pt_per_m: float

    def laid(self, shape: BaseGeometry) -> BaseGeometry:
        """A shape on the map, y down."""
        up = rotate(shape, 90, origin=(0, 0)) if self.turned else shape
        origin = np.array([self.west_m, self.north_m])
        flip = np.array([self.pt_per_m, -self.pt_per_m])
        return transform(up, lambda at: (at - origin) * flip + AROUND_PT)

    def at(self, place: Point) -> Point:
        """A place on the map."""
        x, y = shapely.get_coordinates(self.laid(shapely.Point(place)))[0]
        return round(float(x), _ROUND), round(float(y), _ROUND)


def floor_map(
    plan: FloorPlan,
    order: PourOrder,
    *,
    title: str,
    note: str,
    frame_pt: tuple[float, float],
    ribbons: Sequence[Ribbon] = (),
    room: str = "",
    turned: bool | None = None,
) -> Map:
    """Draw the floor, or one room of it, as its crew needs it.

    Parameters
    ----------
    plan : FloorPlan
    order : PourOrder
        Lanes to draw, with their numbers and where each begins.
    title, note : str
    frame_pt : (float, float)
        Most that the map may take. [pt]
    ribbons : sequence of Ribbon
        Drawn as hatches with letters; none for a map of the lanes alone.
    room : str
        Name of the room to draw; the whole floor without one.
    turned : bool, optional
        Whether north is to the left; whichever is larger where left out.
    """
    lanes = [lane for lane in order.lanes if room in ("", lane.room)]
    shown = shapely.union_all([lane.shape for lane in lanes])
    ways = (False, True) if turned is None else (turned,)
    is_out = not room or room in {way.room for way in plan.ways_out}
    wide_pt = frame_pt[0] - (STATION_PT if is_out else 0.0)
    sheet, scale = _fitted(shown, (wide_pt, frame_pt[1]), ways)
    numbers = {lane.number for lane in lanes}
    edges = [e for e in order.edges if e.first in numbers or e.second in numbers]
    fills, letters, outlines = _ribbons(ribbons, lanes, sheet)
    words, arrows = _lanes(lanes, sheet)
    if not room:
        words += _names(plan, sheet, words)
    lines = [*outlines, *_edges(edges, sheet, lanes), *arrows]
    if is_out:
        for way in plan.ways_out:
            if room in ("", way.room):
                out_lines, out_words = _way_out(plan, way, sheet)
                lines += out_lines
                words += out_words
    west, north, east, south = sheet.laid(shown).bounds
    return Map(
        title=title, note=note, width_pt=round(east - west + 2 * AROUND_PT, _ROUND),
        height_pt=round(south - north + 2 * AROUND_PT, _ROUND), scale=scale.words,
        bar_ft=scale.bar, bar_pt=round(scale.bar_pt, _ROUND), turned=sheet.turned,
        fills=tuple(fills), walls=tuple(_walls(shown, plan, room, sheet)),
        lines=tuple(lines), words=(*letters, *words),
        alt=_told(title, lanes),
    )  # fmt: skip


def _fitted(
    shown: BaseGeometry, frame_pt: tuple[float, float], ways: tuple[bool, ...]
) -> tuple[_Sheet, Scale]:
    """The largest scale at which it fits, turned where that makes it larger."""
    best: tuple[Scale, _Sheet] | None = None
    for turned in ways:
        up = rotate(shown, 90, origin=(0, 0)) if turned else shown
        west, south, east, north = up.bounds
        scale = largest_that_fits(
            east - west, north - south, frame_pt=frame_pt, around_pt=AROUND_PT,
            scales=_LARGER,
        )  # fmt: skip
        if best is None or scale.pt_per_m > best[0].pt_per_m * 1.01:
            best = scale, _Sheet(turned, west, north, scale.pt_per_m)
    assert best is not None, "either way was tried"
    return best[1], best[0]


def _ribbons(
    ribbons: Sequence[Ribbon], lanes: Sequence[Lane], sheet: _Sheet
) -> tuple[list[Hatched], list[Marked], list[Drawn]]:
    """Each color's hatch, a letter in each piece, and the edges between colors."""
    fills, letters, outlines = [], [], []
    tree = shapely.STRtree([ribbon.shape for ribbon in ribbons])
    for lane in lanes:
        for n in tree.query(lane.shape, predicate="intersects"):
            ribbon = ribbons[int(n)]
            piece = shapely.intersection(ribbon.shape, lane.shape)
            for part in _polygons(piece):
                rings = _rings(sheet.laid(part))
                fills.append(Hatched(rings, ribbon.colour))
                outlines += [Drawn((*ring, ring[0]), "ribbon") for ring in rings]
                if part.area >= LEAST_LETTER_M2:
                    letter = chr(ord("A") + ribbon.colour)
                    letters.append(Marked(sheet.at(_clear(part, lane)), letter, "letter"))
    return fills, letters, outlines


def _clear(part: Polygon, lane: Lane) -> Point:
    """The roomiest place of a piece that is clear of its lane's number, if there is one."""
    badges = shapely.union_all([shapely.Point(at) for at in (_badge(lane), lane.to_m)])
    arrows = shapely.linestrings([_arrow(lane, start) for start in lane.from_m])
    taken = badges.buffer(_BADGE_M).union(shapely.union_all(arrows).buffer(_BADGE_M / 2))
    free = part.difference(taken)
    roomy = max(_polygons(free), key=lambda one: one.area, default=part)
    circle = shapely.maximum_inscribed_circle(roomy, tolerance=0.05)
    return float(circle.coords[0][0]), float(circle.coords[0][1])


def _badge(lane: Lane) -> Point:
    """Where the number of a lane stands: near where it begins."""
    (x0, y0), (x1, y1) = lane.from_m[0], lane.to_m
    run = math.dist((x0, y0), (x1, y1))
    inside = lane.shape.buffer(-_BADGE_M / 2)
    for inset_m in np.arange(min(0.45, run / 3), run, 0.15):
        share = float(inset_m) / run
        x, y = x0 + share * (x1 - x0), y0 + share * (y1 - y0)
        # a lane that begins at a slant or a nook has no floor at its box's end
        if shapely.contains_xy(inside, x, y):
            return x, y
    middle = lane.shape.representative_point()
    return middle.x, middle.y


def _arrow(lane: Lane, start: Point) -> tuple[Point, Point]:
    """Tail and tip of the arrow that says which way a lane is laid. [m]"""
    run = math.dist(start, lane.to_m)
    ux, uy = (lane.to_m[0] - start[0]) / run, (lane.to_m[1] - start[1]) / run
    inset = min(0.45, run / 3)
    length = min(0.9, max(run - inset - 0.4, 0.1))
    tail = (start[0] + (inset + 0.25) * ux, start[1] + (inset + 0.25) * uy)
    return tail, (tail[0] + length * ux, tail[1] + length * uy)


def _lanes(lanes: Sequence[Lane], sheet: _Sheet) -> tuple[list[Marked], list[Drawn]]:
    """A number where each lane begins, and an arrow the way it is laid."""
    words, arrows = [], []
    for lane in lanes:
        for start in lane.from_m:
            if start == lane.from_m[0]:
                words.append(Marked(sheet.at(_badge(lane)), str(lane.number), "lane"))
            elif sheet.pt_per_m < _SMALL_PT_PER_M:
                continue
            tail, tip = _arrow(lane, start)
            arrows.append(Drawn((sheet.at(tail), sheet.at(tip)), "arrow"))
        if len(lane.from_m) > 1 and sheet.pt_per_m >= _SMALL_PT_PER_M:
            words.append(Marked(sheet.at(lane.to_m), "×", "meet"))
    return words, arrows


def _names(plan: FloorPlan, sheet: _Sheet, taken: Sequence[Marked]) -> list[Marked]:
    """The name of each room, clear of numbers that are there already."""
    found = []
    numbers = shapely.union_all(
        [_around(one.at, BADGE_PT) for one in taken if one.kind == "lane"]
    )
    for room in plan.rooms:
        wide = LETTER_PT * len(room.name)
        poured = sheet.laid(room.poured)
        west, north, east, south = poured.bounds
        places = [
            (x, y)
            for y in np.linspace(north, south, NAME_STEPS)[1:-1]
            for x in np.linspace(west, east, NAME_STEPS)[1:-1]
            if shapely.contains_xy(poured, x, y)
        ]
        middle = poured.representative_point()
        at = min(
            [(middle.x, middle.y), *places],
            key=lambda at: (
                _around(at, (wide, NAME_HIGH_PT)).intersection(numbers).area,
                _around(at, (wide, NAME_HIGH_PT)).difference(poured).area,
                math.dist(at, (middle.x, middle.y)),
            ),
        )
        place = round(float(at[0]), _ROUND), round(float(at[1]), _ROUND)
        found.append(Marked(place, room.name, "room"))
    return found


def _around(at: Point, size: tuple[float, float]) -> Polygon:
    wide, high = size
    return shapely.box(
        at[0] - wide / 2, at[1] - high / 2, at[0] + wide / 2, at[1] + high / 2
    )


def _edges(edges: Sequence[Edge], sheet: _Sheet, lanes: Sequence[Lane]) -> Iterator[Drawn]:
    shown = shapely.union_all([lane.shape for lane in lanes]).buffer(0.05)
    for edge in edges:
        if edge.line.intersects(shown):
            kind = "tape" if edge.is_taped else "lane"
            yield Drawn(tuple(_points(sheet.laid(edge.line))), kind)


def _way_out(
    plan: FloorPlan, way: WayOut, sheet: _Sheet
) -> tuple[list[Drawn], list[Marked]]:
    """An arrow out of a door; beyond the marked one is the station of the buckets."""
    (ax, ay), (bx, by) = list(way.opening.coords)[:2]
    middle = ((ax + bx) / 2, (ay + by) / 2)
    nx, ny = _outwards(plan, middle, (bx - ax, by - ay))
    tail = (middle[0] - 0.25 * nx, middle[1] - 0.25 * ny)
    tip = (middle[0] + 0.3 * nx, middle[1] + 0.3 * ny)
    (x0, y0), (x1, y1) = sheet.at(tail), sheet.at(tip)
    is_sideways = abs(x1 - x0) > abs(y1 - y0)
    reach = (0.6 * STATION_PT if is_sideways else 17.0) / sheet.pt_per_m
    station = (middle[0] + (0.3 + reach) * nx, middle[1] + (0.3 + reach) * ny)
    return (
        [
            Drawn(tuple(_points(sheet.laid(way.opening))), "gap"),
            Drawn((sheet.at(tail), sheet.at(tip)), "out"),
        ],
        [
            Marked(
                sheet.at(station), "MIX · OUT" if way is plan.way_out else "OUT", "station"
            )
        ],
    )


def _outwards(plan: FloorPlan, at: Point, along: Point) -> Point:
    length = math.hypot(*along)
    nx, ny = along[1] / length, -along[0] / length
    inside = shapely.contains_xy(plan.surface, at[0] + 0.05 * nx, at[1] + 0.05 * ny)
    return (-nx, -ny) if inside else (nx, ny)


def _walls(
    shown: BaseGeometry, plan: FloorPlan, room: str, sheet: _Sheet
) -> Iterator[Hatched]:
    """Walls round what is drawn, and what stands in it, all black."""
    thick = shown.buffer(WALL_M, join_style="mitre", mitre_limit=3.0).difference(shown)
    if room:
        openings = [o for t in plan.thresholds if room in t.rooms for o in t.opening]
        gaps = [opening.buffer(WALL_M * 1.5, cap_style="flat") for opening in openings]
        thick = thick.difference(shapely.union_all(gaps)) if gaps else thick
    ways = [w.opening.buffer(WALL_M * 1.5, cap_style="flat") for w in plan.ways_out]
    for part in _polygons(thick.difference(shapely.union_all(ways))):
        yield Hatched(_rings(sheet.laid(part)), 0)


def _told(title: str, lanes: Sequence[Lane]) -> str:
    """What stands for a map where it cannot be seen."""
    rooms = list(dict.fromkeys(lane.room for lane in lanes))
    told = [
        f"{name}: lanes {min(mine)} to {max(mine)}"
        for name in rooms
        if (mine := [lane.number for lane in lanes if lane.room == name])
    ]
    words = f"{title}. {'; '.join(told)}."
    return words if len(words) <= 900 else f"{words[:880]} and more."


def _polygons(shape: BaseGeometry) -> Iterator[Polygon]:
    for part in shapely.get_parts(shape):
        if isinstance(part, Polygon) and part.area > 1e-4:
            yield part


def _rings(part: BaseGeometry) -> tuple[tuple[Point, ...], ...]:
    assert isinstance(part, Polygon)
    return tuple(tuple(_points(ring))[:-1] for ring in (part.exterior, *part.interiors))


def _points(line: BaseGeometry) -> Iterator[Point]:
    for x, y in shapely.get_coordinates(line):
        yield round(float(x), _ROUND), round(float(y), _ROUND)
