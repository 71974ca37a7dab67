"""Lengths of walls beside the walls: outside where there is room, else inside."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np
import shapely
from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.geometry.polygon import orient

from kit.press.faces import width_pt
from kit.press.page import Label, Point, Stroke

SIZE_PT = 7.5
HALF_PT = 6.0
"""Half the width of the strip that a dimension keeps for itself."""
OUTSIDE_PT = (15.0, 28.0, 45.0)
INSIDE_PT = (-11.0, -22.0, -4.5)
BARE_PT = -7.0
"""Where a length may stand, from the face of its wall, the best place first."""
STUB_PT = 7.0
"""Least line on each side of a length that is written in it."""
ASIDE_PT = 10.0
"""Least distance between two lines that run side by side."""
SHORTEST_PT = 9.0
STEP_PT = 2.5
SAME_PT = 0.4


@dataclass
class Room:
    """What is taken up on the drawing already; in points, y down."""

    outlines: Sequence[Polygon]
    poured: Sequence[Polygon]
    taken: list[BaseGeometry] = field(default_factory=list)
    lines: list[LineString] = field(default_factory=list)
    """Dimension lines inside the rooms: others may cross them, words may not."""
    words: list[Polygon] = field(default_factory=list)
    extensions: list[LineString] = field(default_factory=list)
    """Outside: a line to a far dimension may not pass through the words of a near one."""

    def is_taken(self, place: BaseGeometry) -> bool:
        """Whether something stands there already."""
        return bool(np.any(shapely.intersects(place, self.taken))) if self.taken else False


@dataclass(frozen=True)
class Wall:
    """One straight wall, walked with the room on its left. [pt, y up]"""

    start: Point
    end: Point
    words: str
    room: int

    @property
    def length(self) -> float:
        return math.dist(self.start, self.end)

    @property
    def along(self) -> Point:
        return (
            (self.end[0] - self.start[0]) / self.length,
            (self.end[1] - self.start[1]) / self.length,
        )

    def at(self, run: float, off: float) -> Point:
        """Place `run` along the wall and `off` outside of it."""
        (ux, uy), (x, y) = self.along, self.start
        return x + run * ux + off * uy, y + run * uy - off * ux

    def strip(self, off: float) -> Polygon:
        """What a dimension at an offset covers."""
        ends, low, high = (0.8, self.length - 0.8), off - HALF_PT, off + HALF_PT
        if not self.holds_words:
            spare = (width_pt(self.words, SIZE_PT) + 2 - self.length) / 2
            ends = (-spare, self.length + spare)
            high += 8
        return Polygon(
            [
                self.at(r, o)
                for r, o in (
                    (ends[0], low),
                    (ends[1], low),
                    (ends[1], high),
                    (ends[0], high),
                )
            ]
        )

    def spot(self, run: float, off: float) -> Polygon:
        """What its words cover, `run` along the wall."""
        half, low, high = self._half, off - 4.5, off + 4.5
        corners = ((-half, low), (half, low), (half, high), (-half, high))
        return Polygon([self.at(run + along, out) for along, out in corners])

    @property
    def middle(self) -> float:
        """Half way along."""
        return self.length / 2

    def ink(self, off: float) -> Polygon:
        """The words of a dimension outside, without the space around them."""
        return self.spot(self.middle, self.words_off(off)).buffer(-1.2, join_style="mitre")

    def words_off(self, off: float) -> float:
        """Where its words stand: in the line, or beyond it if it is too short."""
        return off if self.holds_words else off + 8.0

    def extensions(self, off: float) -> list[LineString]:
        """Lines from its ends to a dimension outside."""
        ends = (0.0, self.length)
        return [LineString([self.at(e, 6.0), self.at(e, off + 3.5)]) for e in ends]

    def line(self, off: float) -> LineString:
        """The dimension line, a hair short of what it ends at."""
        return LineString([self.at(0.8, off), self.at(self.length - 0.8, off)])

    def runs(self, stub_pt: float) -> list[float]:
        """Where words may stand along the wall, from the middle outwards."""
        middle, spare = self.length / 2, self.length / 2 - self._half - stub_pt
        steps = range(int(spare // STEP_PT) + 1) if spare >= 0 else ()
        return [middle + side * step * STEP_PT for step in steps for side in (1, -1)]

    @property
    def _half(self) -> float:
        return width_pt(self.words, SIZE_PT) / 2 + 1.5

    @property
    def holds_words(self) -> bool:
        """Whether its length can be written inside the dimension line."""
        return self.length >= width_pt(self.words, SIZE_PT) + 2 * STUB_PT


def walls_of(outline: Polygon, room: int, written: Callable[[float], str]) -> list[Wall]:
    """Straight walls of a room, runs in one line made one; `written` words a length."""
    corners = _corners(outline)
    ends = pairwise([*corners, corners[0]])
    return [Wall(start, end, written(math.dist(start, end)), room) for start, end in ends]


def _corners(outline: Polygon) -> list[Point]:
    ring = list(orient(outline).exterior.coords)[:-1]
    count = len(ring)
    return [
        (at[0], at[1])
        for place, at in enumerate(ring)
        if _turns(ring[place - 1], at, ring[(place + 1) % count])
    ]


def _turns(before: Sequence[float], at: Sequence[float], after: Sequence[float]) -> bool:
    ax, ay, bx, by = (
        at[0] - before[0],
        at[1] - before[1],
        after[0] - at[0],
        after[1] - at[1],
    )
    return abs(ax * by - ay * bx) > 1e-3 * math.hypot(ax, ay) * math.hypot(bx, by)


class Lengths:
    """The lengths of all walls, each written once and where it disturbs least.

    First outside of the rooms; then, when the rooms have their names, inside;
    where no line has room there, the bare length beside the wall.
    """

    def __init__(self, walls: Iterable[Wall], room: Room) -> None:
        self.room = room
        self.strokes: list[Stroke] = []
        self.labels: list[Label] = []
        self._told: list[Wall] = []
        self._walls = sorted(
            (wall for wall in walls if wall.length >= SHORTEST_PT),
            key=lambda wall: (not _is_free(wall, OUTSIDE_PT[0], room), -wall.length),
        )

    def outside(self) -> None:
        """Write what has room outside."""
        for wall in self._untold():
            off = next((off for off in OUTSIDE_PT if _is_free(wall, off, self.room)), None)
            if off is not None:
                self.room.words.append(wall.ink(off))
                self.room.extensions += wall.extensions(off)
                self._tell(wall, wall.strip(off), *_lined(wall, off))

    def inside(self) -> None:
        """Write the rest inside the rooms."""
        for wall in self._untold():
            place = next(_places_inside(wall, self.room), None)
            if place is not None:
                off, run = place
                self.room.lines.append(wall.line(off))
                self._tell(wall, wall.spot(run, off), *_lined(wall, off, run))
        for wall in self._untold():
            spots = ((run, wall.spot(run, BARE_PT)) for run in wall.runs(0.0))
            clear = ((run, spot) for run, spot in spots if _holds(spot, wall, self.room))
            run, spot = next(clear, (0.0, None))
            if spot is not None:
                at = wall.at(run, BARE_PT)
                label = Label(at, wall.words, "dimension", turn_along(wall.along))
                self._tell(wall, spot, [], label)

    def _untold(self) -> Iterator[Wall]:
        for wall in self._walls:
            if (
                not any(_follows(wall, other) for other in self._told)
                and wall not in self._told
            ):
                yield wall

    def _tell(self, wall: Wall, strip: Polygon, lines: list[Stroke], label: Label) -> None:
        self._told.append(wall)
        self.room.taken.append(strip)
        self.strokes.extend(lines)
        self.labels.append(label)


def _places_inside(wall: Wall, room: Room) -> Iterator[tuple[float, float]]:
    """Offsets and runs at which a line with its words has room inside."""
    for off in INSIDE_PT:
        line = wall.line(off)
        stroke = line.buffer(1.0, cap_style="flat")
        if not _within(stroke, wall, room) or room.is_taken(stroke):
            continue
        if any(_run_aside(line, other) for other in room.lines):
            continue
        yield from (
            (off, run)
            for run in wall.runs(STUB_PT)
            if _holds(wall.spot(run, off), wall, room)
        )


def _holds(spot: Polygon, wall: Wall, room: Room) -> bool:
    """Whether words may stand there: in the room, on nothing, no line through them."""
    crossed = any(spot.distance(line) < 1.0 for line in room.lines)
    return not crossed and not room.is_taken(spot) and _within(spot, wall, room)


def _within(place: BaseGeometry, wall: Wall, room: Room) -> bool:
    return bool(room.poured[wall.room].buffer(0.1).contains(place))


def _run_aside(line: LineString, other: LineString) -> bool:
    """Whether two lines run side by side, too near to be told apart."""
    (ax, ay), (bx, by) = line.coords
    (cx, cy), (dx, dy) = other.coords
    sine = ((bx - ax) * (dy - cy) - (by - ay) * (dx - cx)) / (line.length * other.length)
    return bool(abs(sine) < 0.5 and line.distance(other) < ASIDE_PT)


def _is_free(wall: Wall, off: float, room: Room) -> bool:
    strip = wall.strip(off)
    words, lines = wall.ink(off), wall.extensions(off)
    if room.is_taken(strip) or any(map(words.intersects, room.extensions)):
        return False
    if any(line.intersects(other) for line in lines for other in room.words):
        return False
    reach = Polygon(
        [wall.at(1.0, 1.0), wall.at(wall.length - 1.0, 1.0), *strip.exterior.coords[2:4]]
    )
    others = [outline for n, outline in enumerate(room.outlines) if n != wall.room]
    if any(
        reach.intersects(other) and reach.intersection(other).area > 1.0 for other in others
    ):
        return False
    return not any(strip.intersects(outline) for outline in room.outlines)


def _follows(wall: Wall, other: Wall) -> bool:
    """Whether a wall is as long as the one that faces it, end to end."""
    if wall.room != other.room:
        return False
    (ux, uy), (vx, vy) = wall.along, other.along
    if ux * vx + uy * vy > -0.9999:
        return False
    return all(
        abs((a[0] - b[0]) * ux + (a[1] - b[1]) * uy) < SAME_PT
        for a, b in ((wall.start, other.end), (wall.end, other.start))
    )


def _lined(wall: Wall, off: float, run: float | None = None) -> tuple[list[Stroke], Label]:
    """A dimension line with its ticks, broken for the length if that fits in it."""
    length, middle = wall.length, wall.middle if run is None else run
    half = width_pt(wall.words, SIZE_PT) / 2 + 3.5
    holds = wall.holds_words
    runs = ((0.0, middle - half), (middle + half, length)) if holds else ((0.0, length),)
    lines = [Stroke((wall.at(a, off), wall.at(b, off)), "dimension") for a, b in runs]
    for end in (0.0, length):
        tick = (wall.at(end - 2.6, off - 2.6), wall.at(end + 2.6, off + 2.6))
        lines.append(Stroke(tick, "tick"))
    if off > 0:
        lines += [
            Stroke((wall.at(end, 6.0), wall.at(end, off + 3.5)), "extension")
            for end in (0.0, length)
        ]
    at = wall.at(middle, wall.words_off(off) if off > 0 else off)
    return lines, Label(at, wall.words, "dimension", turn_along(wall.along))


def turn_along(along: Point) -> float:
    """Degrees, clockwise, so that words along a wall read from below or the right."""
    ux, uy = along
    turn = math.degrees(math.atan2(-uy, ux))
    return round((turn + 90.0 + 1e-6) % 180.0 - 90.0 - 1e-6, 3)
