"""Walls as they are walked: an outline, closed or still open, and how it is changed."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from kit.site.bows import split_bow
from kit.site.lengths import written_length
from kit.site.places import Place, place_m
from kit.site.records import Draft, Room
from kit.site.walls import CLOSES_WITHIN_M, Corner, corners_along, read_wall

FEWEST_WALLS = 3
_POINTS = ("N", "NE", "E", "SE", "S", "SW", "W", "NW")
_SAME_M = 1e-6


@dataclass(frozen=True)
class Outline:
    """Walls walked from a start.

    Parameters
    ----------
    start_m : (float, float)
        East and north of the corner where the walk begins. [m]
    walls : tuple of str
        Direction and length of each, as a measure sheet has them.
    about : str
        The room to name in a complaint.
    """

    start_m: Corner
    walls: tuple[str, ...]
    about: str = "room"

    @classmethod
    def of(cls, room: Room | Draft) -> Outline:
        """Outline of a room; one that was given by corners is walked along them."""
        about = f'room "{room.name}"'
        if isinstance(room, Draft) or room.walls:
            return cls(place_m(room.start, about=about), room.walls, about)
        corners = room.corners_m()
        bows = [room.bow_words(number) for number in range(len(corners))]
        return cls(corners[0], walls_through([*corners, corners[0]], bows), about)

    @cached_property
    def corners_m(self) -> tuple[Corner, ...]:
        """The start and the end of every wall, one more than there are walls. [m]"""
        return corners_along(self.start_m, self.walls, about=self.about)

    @property
    def gap_m(self) -> Corner:
        """From the end of the last wall to where the first began, east and north. [m]"""
        (east, north), (end_east, end_north) = self.corners_m[0], self.corners_m[-1]
        return east - end_east, north - end_north

    @property
    def is_closed(self) -> bool:
        """Whether the last wall ends where the first began, within an inch."""
        return (
            len(self.walls) >= FEWEST_WALLS and math.hypot(*self.gap_m) <= CLOSES_WITHIN_M
        )

    @property
    def place(self) -> Place:
        """Where the walk begins, as it is written down."""
        return placed(*self.start_m)

    def moved(self, east_m: float, north_m: float) -> Outline:
        """The same walls elsewhere."""
        start_m = self.start_m[0] + east_m, self.start_m[1] + north_m
        return Outline(start_m, self.walls, self.about)

    def with_corners(self, corners_m: Sequence[Corner]) -> Outline:
        """The same walls through other corners; what stays as it was keeps its words."""
        kept = zip(self.walls, self.corners_m, self.corners_m[1:], strict=False)
        fresh = walls_through(corners_m, [bow_words(wall) for wall in self.walls])
        walls = [
            wall if _is_same(before, after, corners_m[i], corners_m[i + 1]) else fresh[i]
            for i, (wall, before, after) in enumerate(kept)
        ]
        return Outline(corners_m[0], tuple(walls), self.about)


def wall_text(bearing: float, length: str, bow: str = "") -> str:
    r"""Write one wall as a sheet has it: a direction [degrees from north], a length, a bow.

    >>> wall_text(90.0, "12' 6\"")
    'E 12\' 6"'
    """
    turned = round(bearing, 4) % 360.0
    point, rest = divmod(turned, 45.0)
    run = f"{length} {bow}".rstrip()
    if not rest:
        return f"{_POINTS[int(point)]} {run}"
    return f"{turned:.4f}".rstrip("0").rstrip(".") + f"° {run}"


def length_of(wall: str) -> str:
    """The length within the words of a wall; of a curved one, of its chord."""
    return _run_of(wall)[0]


def bow_words(wall: str) -> str:
    """The words that say how a wall is curved; none for a straight one."""
    return _run_of(wall)[1]


def _run_of(wall: str) -> tuple[str, str]:
    run = wall.split(maxsplit=1)[1] if "°" not in wall else wall.split("°", 1)[1].strip()
    return split_bow(run, about="wall")


def walls_through(corners_m: Sequence[Corner], bows: Sequence[str] = ()) -> tuple[str, ...]:
    """Write the walls that lead through corners, one less than there are corners.

    Parameters
    ----------
    corners_m : sequence of (float, float)
        East and north. [m]
    bows : sequence of str, optional
        How the walls are curved, in words; empty for a straight one.
    """
    walls = []
    for number, (here, there) in enumerate(pairwise(corners_m)):
        along = there[0] - here[0], there[1] - here[1]
        bearing = math.degrees(math.atan2(*along))
        bow = bows[number] if number < len(bows) else ""
        walls.append(wall_text(bearing, written_length(math.hypot(*along)), bow))
    return tuple(walls)


def heading(wall: str, *, about: str) -> Corner:
    """Unit vector of a wall, east and north."""
    bearing = math.radians(read_wall(wall, about=about)[0])
    return math.sin(bearing), math.cos(bearing)


def placed(east_m: float, north_m: float) -> Place:
    """Write a place down."""
    return written_length(max(east_m, 0.0)), written_length(max(north_m, 0.0))


def _is_same(a: Corner, b: Corner, c: Corner, d: Corner) -> bool:
    """Whether two walls, given by their ends, are the same step."""
    steps = zip(a, b, c, d, strict=True)
    return all(abs((q - p) - (s - r)) < _SAME_M for p, q, r, s in steps)
