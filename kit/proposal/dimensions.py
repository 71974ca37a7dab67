"""Lengths of walls beside the walls: outside where there is room, else inside."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry
from shapely.geometry.polygon import orient

from kit.proposal.faces import width_pt
from kit.proposal.shown import Label, Point, Stroke

SIZE_PT = 7.5
HALF_PT = 6.0
"""Half the width of the strip that a dimension keeps for itself."""
OUTSIDE_PT = (15.0, 28.0, 41.0)
INSIDE_PT = -11.0
BARE_PT = -7.0
"""Where a length may stand, from the face of its wall."""
SHORTEST_PT = 9.0
STEP_PT = 2.5
SAME_PT = 0.4


@dataclass
class Room:
    """What is taken up on the drawing already; in points, y down."""

    outlines: Sequence[Polygon]
    poured: Sequence[Polygon]
    taken: list[BaseGeometry] = field(default_factory=list)

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

    def spot(self, run: float) -> Polygon:
        """What a bare length covers, `run` along the wall."""
        half, low, high = self._half, BARE_PT - 4.5, BARE_PT + 4.5
        corners = ((-half, low), (half, low), (half, high), (-half, high))
        return Polygon([self.at(run + along, off) for along, off in corners])

    @property
    def runs(self) -> list[float]:
        """Where a bare length may stand, from the middle outwards."""
        middle, spare = self.length / 2, self.length / 2 - self._half
        steps = range(int(spare // STEP_PT) + 1) if spare >= 0 else ()
        return [middle + side * step * STEP_PT for step in steps for side in (1, -1)]

    @property
    def _half(self) -> float:
        return width_pt(self.words, SIZE_PT) / 2 + 1.5

    @property
    def holds_words(self) -> bool:
        """Whether its length can be written inside the dimension line."""
        return self.length >= width_pt(self.words, SIZE_PT) + 14


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
                self._tell(wall, wall.strip(off), *_lined(wall, off))

    def inside(self) -> None:
        """Write the rest inside the rooms."""
        for wall in self._untold():
            if _is_free(wall, INSIDE_PT, self.room):
                self._tell(wall, wall.strip(INSIDE_PT), *_lined(wall, INSIDE_PT))
        for wall in self._untold():
            clear = (run for run in wall.runs if self._is_clear(wall.spot(run), wall))
            run = next(clear, None)
            if run is not None:
                at = wall.at(run, BARE_PT)
                label = Label(at, wall.words, "dimension", _turn(wall))
                self._tell(wall, wall.spot(run), [], label)

    def _is_clear(self, spot: Polygon, wall: Wall) -> bool:
        return _is_clear_inside(spot, wall, self.room)

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


def _is_clear_inside(strip: Polygon, wall: Wall, room: Room) -> bool:
    if room.is_taken(strip):
        return False
    return bool(room.poured[wall.room].buffer(0.1).contains(strip))


def _is_free(wall: Wall, off: float, room: Room) -> bool:
    strip = wall.strip(off)
    if off < 0:
        return wall.holds_words and _is_clear_inside(strip, wall, room)
    if room.is_taken(strip):
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


def _lined(wall: Wall, off: float) -> tuple[list[Stroke], Label]:
    """A dimension line with its ticks, broken for the length if that fits in it."""
    length, middle = wall.length, wall.length / 2
    half = width_pt(wall.words, SIZE_PT) / 2 + 3.5
    holds = wall.holds_words
    runs = ((0.0, middle - half), (middle + half, length)) if holds else ((0.0, length),)
    lines = [Stroke((wall.at(a, off), wall.at(b, off)), "dimension") for a, b in runs]
    for end in (0.0, length):
        tick = (wall.at(end - 2.6, off - 2.6), wall.at(end + 2.6, off + 2.6))
        lines.append(Stroke(tick, "tick"))
        if off > 0:
            lines.append(Stroke((wall.at(end, 6.0), wall.at(end, off + 3.5)), "extension"))
    label_off = off if holds else off + 8.0
    return lines, Label(wall.at(middle, label_off), wall.words, "dimension", _turn(wall))


def _turn(wall: Wall) -> float:
    """Degrees, clockwise, so that words read from below or from the right."""
    ux, uy = wall.along
    turn = math.degrees(math.atan2(-uy, ux))
    return round((turn + 90.0 + 1e-6) % 180.0 - 90.0 - 1e-6, 3)
