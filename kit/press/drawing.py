"""The plan to a standard scale: walls, doorways, columns, names, lengths, the way out."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

import numpy as np
from shapely import Polygon, box, transform
from shapely.geometry.base import BaseGeometry
from shapely.geometry.polygon import orient

from kit.plan.floor import FloorPlan
from kit.press.columns import column_sizes
from kit.press.dimensions import Lengths, Room, turn_along, walls_of
from kit.press.doorways import doorway_widths
from kit.press.faces import width_pt
from kit.press.page import Drawing, Label, LabelTone, Point, Shape, ShapeTone, Stroke
from kit.press.scale import Scale

WALL_M = 0.11
"""How thick cut walls are drawn; the sheet measures faces, not thicknesses."""
MOST_WALL_PT = 5.5
"""Over a picture of a small floor thicker walls would be its frame."""
ROUND_PT = 3
NAME_PT, SMALL_PT = 9.0, 7.0


@dataclass(frozen=True)
class _Paper:
    """From metres east and north to points on the drawing, y up until the end."""

    west_m: float
    south_m: float
    pt_per_m: float

    def laid(self, shape: BaseGeometry) -> BaseGeometry:
        origin = np.array([self.west_m, self.south_m])
        return transform(shape, lambda at: (at - origin) * self.pt_per_m)


def wall_over_picture_m(scale_pt_per_m: float) -> float:
    """How thick the walls round a picture of the floor are drawn. [m]"""
    return min(WALL_M, MOST_WALL_PT / scale_pt_per_m)


def walls_only(plan: FloorPlan, scale_pt_per_m: float) -> Drawing:
    """Cut walls round the whole floor, for drawing over its picture."""
    west, south, _, _ = plan.bounds_m
    thick = wall_over_picture_m(scale_pt_per_m)
    paper = _Paper(west - thick, south - thick, scale_pt_per_m)
    walls = _cut_walls(plan, thick)
    shapes = [_shape(ring, "wall") for ring in _polygons(paper.laid(walls))]
    return _framed(shapes, [], [], alt="", pad=0.0)


def plan_drawing(
    plan: FloorPlan,
    scale: Scale,
    areas: dict[str, str],
    *,
    alt: str,
    way_out: str = "Way out",
) -> Drawing:
    """Draw a plan, with the length of every wall and the width of every door.

    Parameters
    ----------
    plan : FloorPlan
    scale : Scale
    areas : dict
        What is written under the name of each room.
    alt : str
        What stands for the drawing where it cannot be seen.
    way_out : str
        What is written at the door by which the crew leaves, before its width.
    """
    west, south, _, _ = plan.bounds_m
    paper = _Paper(west, south, scale.pt_per_m)
    surface = paper.laid(plan.surface)
    outlines = [_one(paper.laid(room.outline)) for room in plan.rooms]
    poured = [_one(paper.laid(room.poured)) for room in plan.rooms]
    shapes = [_shape(part, "wall") for part in _polygons(paper.laid(_cut_walls(plan)))]
    shapes += [_shape(part, "floor") for part in _polygons(surface)]
    stands = [
        outline.difference(floor) for outline, floor in zip(outlines, poured, strict=True)
    ]
    shapes += [_shape(part, "column") for stand in stands for part in _polygons(stand)]
    room = Room(
        [outline.buffer(WALL_M * scale.pt_per_m + 1.0) for outline in outlines], poured
    )
    door = way_out, scale.written(plan.way_out.width_m)
    gaps, strokes, labels = (
        _way_out(plan, paper, room, door) if plan.way_out.is_marked else ([], [], [])
    )

    def written(length_pt: float) -> str:
        return scale.written(length_pt / scale.pt_per_m)

    walls = [w for n, outline in enumerate(outlines) for w in walls_of(outline, n, written)]
    lengths = Lengths(walls, room)
    lengths.outside()
    labels += doorway_widths(plan.thresholds, paper.laid, surface, room, scale.written)
    for number, floor in enumerate(poured):
        name = plan.rooms[number].name
        named = _named(name, areas.get(name, ""), floor, room)
        labels += named or _keyed(number + 1, floor, room)
    lengths.inside()
    labels += column_sizes(plan.rooms, paper.laid, room, scale.written)
    return _framed(
        [*shapes, *gaps],
        [*lengths.strokes, *strokes],
        [*labels, *lengths.labels],
        alt=alt,
        pad=8.0,
    )


def _cut_walls(plan: FloorPlan, thick_m: float = WALL_M) -> BaseGeometry:
    """Walls round the surface; what stands in a room is not a wall."""
    whole = Polygon(plan.surface.exterior)
    rooms = [room.outline for room in plan.rooms]
    courts = [
        hole
        for hole in map(Polygon, plan.surface.interiors)
        if not any(room.buffer(1e-6).contains(hole) for room in rooms)
    ]
    for court in courts:
        whole = whole.difference(court)
    thick = whole.buffer(WALL_M, join_style="mitre", mitre_limit=3.0)
    if thick_m < WALL_M:  # what lies between two rooms is wall from face to face
        thick = thick.buffer(thick_m - WALL_M, join_style="mitre", mitre_limit=3.0)
    return thick.difference(whole)


def _way_out(
    plan: FloorPlan, paper: _Paper, room: Room, words: tuple[str, str]
) -> tuple[list[Shape], list[Stroke], list[Label]]:
    """A gap in the wall, an arrow through it, its name and its width."""
    number = next(n for n, r in enumerate(plan.rooms) if r.name == plan.way_out.room)
    (ax, ay), (bx, by) = list(paper.laid(plan.way_out.opening).coords)[:2]
    length = math.dist((ax, ay), (bx, by))
    ux, uy = (bx - ax) / length, (by - ay) / length
    middle = ((ax + bx) / 2, (ay + by) / 2)
    nx, ny = uy, -ux
    if (
        room.poured[number]
        .buffer(0.01)
        .intersects(_spot(middle[0] + 3 * nx, middle[1] + 3 * ny))
    ):
        nx, ny = -nx, -ny
    thick = WALL_M * paper.pt_per_m + 0.3

    def off(at: Point, by_pt: float) -> Point:
        return at[0] + nx * by_pt, at[1] + ny * by_pt

    a, b = (ax, ay), (bx, by)
    gap = Shape(((off(a, -0.3), off(b, -0.3), off(b, thick), off(a, thick)),), "floor")
    tip, tail = off(middle, thick + 12), off(middle, -8)
    head = Shape(
        ((off(middle, thick + 15), (tip[0] - ux * 3 - nx * 2, tip[1] - uy * 3 - ny * 2),
          (tip[0] + ux * 3 - nx * 2, tip[1] + uy * 3 - ny * 2)),), "wall")  # fmt: skip
    half = max(width_pt(line, 7.5) for line in words) / 2 + 2

    def kept(from_pt: float, to_pt: float, half_pt: float) -> Polygon:
        """A place before the opening, so far from the wall and so wide."""
        sides = (
            (-half_pt, from_pt),
            (half_pt, from_pt),
            (half_pt, to_pt),
            (-half_pt, to_pt),
        )
        corners = [(off(middle, out), run) for run, out in sides]
        return Polygon([(x + ux * run, y + uy * run) for (x, y), run in corners])

    room.taken += [
        kept(-10.0, thick + 15, 4.0),
        kept(0.5, thick + 15, length / 2),
        kept(thick + 15, thick + 31, half),
    ]
    room.words.append(kept(thick + 16, thick + 30, half - 1))
    turn = turn_along((ux, uy))
    is_upwards = nx * math.sin(math.radians(turn)) + ny * math.cos(math.radians(turn)) > 0
    first, second = reversed(words) if is_upwards else words
    named = [
        Label(off(middle, thick + 19.5), first, "out", turn),
        Label(off(middle, thick + 27.5), second, "out", turn),
    ]
    dashes = [Stroke((off(a, by_pt), off(b, by_pt)), "opening") for by_pt in (0.0, thick)]
    shaft = Stroke((tail, tip), "arrow")
    return [gap, head], [*dashes, shaft], named


def _named(name: str, area: str, floor: Polygon, room: Room) -> list[Label]:
    """Name a room inside it: with its area if both fit, else alone, turned or small."""
    for lines, size, turned in (
        ((name, area), NAME_PT, False),
        ((name,), NAME_PT, False),
        ((name, area), NAME_PT, True),
        ((name,), SMALL_PT, False),
        ((name,), SMALL_PT, True),
    ):
        wide = max(width_pt(line, size) * 1.06 for line in lines) + 4
        high = 12.0 * len(lines)
        across, down = (high, wide) if turned else (wide, high)
        middle = _roomiest(floor, across, down, room.taken)
        if middle is not None:
            room.taken.append(_around(middle, across, down))
            return list(_lines(lines, middle, turned=turned, small=size < NAME_PT))
    return []


def _keyed(number: int, floor: Polygon, room: Room) -> list[Label]:
    """Number a room that is too small for its name; the table of areas has the key."""
    words = str(number)
    wide = width_pt(words, SMALL_PT) + 3
    inside = floor.representative_point()
    middle = _roomiest(floor, wide, 9.0, room.taken) or (inside.x, inside.y)
    room.taken.append(_around(middle, wide, 9.0))
    return [Label(middle, words, "key")]


def _lines(
    lines: tuple[str, ...], middle: Point, *, turned: bool, small: bool
) -> Iterator[Label]:
    tones: tuple[LabelTone, LabelTone] = ("small" if small else "room", "area")
    for place, words in enumerate(lines):
        shift = (len(lines) - 1) * 5.5 - place * 11.0
        at = (middle[0] - shift, middle[1]) if turned else (middle[0], middle[1] + shift)
        yield Label(at, words, tones[place], -90.0 if turned else 0.0)


def _roomiest(
    floor: Polygon, across: float, down: float, taken: Iterable[BaseGeometry]
) -> Point | None:
    """Place nearest the middle of a room where a box stands clear of all else."""
    free: BaseGeometry = floor.buffer(-2.0)
    for other in taken:
        free = free.difference(other)
    west, south, east, north = floor.bounds
    middle = floor.centroid
    xs = np.linspace(west + across / 2, east - across / 2, 25)
    ys = np.linspace(south + down / 2, north - down / 2, 25)
    places = sorted(
        ((float(x), float(y)) for x in xs for y in ys),
        key=lambda at: (at[0] - middle.x) ** 2 + (at[1] - middle.y) ** 2,
    )
    if west + across > east or south + down > north:
        return None
    return next((at for at in places if free.contains(_around(at, across, down))), None)


def _around(at: Point, across: float, down: float) -> Polygon:
    return box(at[0] - across / 2, at[1] - down / 2, at[0] + across / 2, at[1] + down / 2)


def _spot(x: float, y: float) -> Polygon:
    return box(x - 0.5, y - 0.5, x + 0.5, y + 0.5)


def _framed(
    shapes: list[Shape], strokes: list[Stroke], labels: list[Label], *, alt: str, pad: float
) -> Drawing:
    """Move a drawing to its upper left corner, y down, and take its size."""
    xs, ys = zip(*_every_point(shapes, strokes, labels, pad), strict=True)
    west, north = min(xs), max(ys)

    def moved(at: Point) -> Point:
        return round(at[0] - west, ROUND_PT), round(north - at[1], ROUND_PT)

    return Drawing(
        width_pt=round(max(xs) - west, ROUND_PT),
        height_pt=round(north - min(ys), ROUND_PT),
        shapes=tuple(
            Shape(tuple(tuple(map(moved, ring)) for ring in s.rings), s.tone)
            for s in shapes
        ),
        strokes=tuple(Stroke(tuple(map(moved, s.points)), s.tone) for s in strokes),
        labels=tuple(replace(label, at=moved(label.at)) for label in labels),
        alt=alt,
    )


def _every_point(
    shapes: list[Shape], strokes: list[Stroke], labels: list[Label], pad: float
) -> Iterator[Point]:
    for shape in shapes:
        yield from shape.rings[0]
    for stroke in strokes:
        yield from stroke.points
    for label in labels:
        half, turn = width_pt(label.words, NAME_PT) / 2, math.radians(label.turn)
        across = abs(math.cos(turn)) * half + abs(math.sin(turn)) * pad
        down = abs(math.sin(turn)) * half + abs(math.cos(turn)) * pad
        yield label.at[0] - across, label.at[1] - down
        yield label.at[0] + across, label.at[1] + down


def _shape(part: Polygon, tone: ShapeTone) -> Shape:
    rings = (part.exterior, *part.interiors)
    return Shape(tuple(tuple((x, y) for x, y in ring.coords[:-1]) for ring in rings), tone)


def _polygons(shape: BaseGeometry) -> Iterator[Polygon]:
    parts = getattr(shape, "geoms", [shape])
    for part in parts:
        if isinstance(part, Polygon) and part.area > 1e-6:
            yield orient(part)


def _one(shape: BaseGeometry) -> Polygon:
    return max(_polygons(shape), key=lambda part: part.area)
