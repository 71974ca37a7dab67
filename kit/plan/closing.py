"""Bringing an outline round to where it began: what is missing, what would mend it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import combinations

from shapely import Polygon

from kit.errors import SheetError
from kit.plan.rooms import SMALLEST_ROOM_M2
from kit.site.lengths import written_length
from kit.site.outline import Outline, bow_words, heading, wall_text
from kit.site.walls import CLOSES_WITHIN_M, SHORTEST_WALL_M, read_wall

_PARALLEL = 0.02
"""Sine of the angle below which a wall points along a gap."""
MOST_REPAIRS = 3


@dataclass(frozen=True)
class Repair:
    """New lengths of one or two walls that would close an outline.

    Parameters
    ----------
    walls : tuple of int
        Which, from 0.
    lengths : tuple of str
        As they are written.
    """

    walls: tuple[int, ...]
    lengths: tuple[str, ...]


def closed(outline: Outline) -> Outline:
    """Add the walls that are missing, or lengthen the last one where that is enough.

    Two missing walls are laid square: first away from the last wall, then along it.

    Raises
    ------
    SheetError
        If straight walls cannot close it without crossing others.
    """
    if outline.is_closed:
        return outline
    for walls in _endings(outline):
        whole = Outline(outline.start_m, walls, outline.about)
        if whole.is_closed and is_simple(whole):
            return whole
    count = len(outline.walls)
    raise SheetError(
        f"{outline.about}, walls",
        found=f"{count} wall{'s' * (count != 1)} that no straight walls can close",
        expected="one more wall",
    )


def _endings(outline: Outline) -> list[tuple[str, ...]]:
    walls, (east, north) = outline.walls, outline.gap_m
    if len(walls) < 2:
        return []
    ahead = heading(walls[-1], about=outline.about)
    endings = [
        repaired(outline, repair).walls
        for repair in repairs(outline)
        if repair.walls == (len(walls) - 1,) and east * ahead[0] + north * ahead[1] > 0
    ]
    eastward = _run(east, 90.0), _run(north, 0.0)
    if abs(ahead[0]) >= abs(ahead[1]):
        eastward = eastward[1], eastward[0]
    for order in (eastward, (eastward[1], eastward[0])):
        endings.append((*walls, *(run for run in order if run)))
    straight = math.hypot(east, north)
    bearing = math.degrees(math.atan2(east, north))
    endings.append((*walls, wall_text(bearing, written_length(straight))))
    return endings


def _run(length_m: float, bearing: float) -> str:
    if abs(length_m) < SHORTEST_WALL_M:
        return ""
    turned = bearing if length_m > 0 else bearing + 180.0
    return wall_text(turned, written_length(abs(length_m)))


def is_simple(outline: Outline) -> bool:
    """Whether a closed outline encloses floor and never meets itself."""
    shape = Polygon(outline.corners_m[:-1])
    return bool(shape.is_valid) and float(shape.area) >= SMALLEST_ROOM_M2


def repairs(outline: Outline) -> tuple[Repair, ...]:
    """Ways to close an open outline by measuring one wall anew, else two; last first."""
    if len(outline.walls) < 3 or math.hypot(*outline.gap_m) <= CLOSES_WITHIN_M:
        return ()
    places = range(len(outline.walls) - 1, -1, -1)
    single = [_repair(outline, (place,)) for place in places]
    found = [repair for repair in single if repair]
    if not found:
        pairs = [_repair(outline, (b, a)) for a, b in combinations(places, 2)]
        found = [repair for repair in pairs if repair][:1]
    return tuple(found[:MOST_REPAIRS])


def repaired(outline: Outline, repair: Repair) -> Outline:
    """The outline with the walls of a repair at their new lengths."""
    walls = list(outline.walls)
    for place, length in zip(repair.walls, repair.lengths, strict=True):
        bearing, _ = read_wall(walls[place], about=outline.about)
        walls[place] = wall_text(bearing, length, bow_words(walls[place]))
    return Outline(outline.start_m, tuple(walls), outline.about)


def _repair(outline: Outline, places: tuple[int, ...]) -> Repair | None:
    """Solve for what the walls at `places` must grow by, if that closes the outline."""
    ahead = [heading(outline.walls[place], about=outline.about) for place in places]
    east, north = outline.gap_m
    gap = math.hypot(east, north)
    if len(places) == 1:
        if abs(ahead[0][0] * north - ahead[0][1] * east) > max(_PARALLEL * gap, 1e-9):
            return None
        grows = [ahead[0][0] * east + ahead[0][1] * north]
    else:
        (a, b), (c, d) = ahead
        area = a * d - b * c
        if abs(area) < _PARALLEL:
            return None
        grows = [(east * d - north * c) / area, (a * north - b * east) / area]
    lengths = [
        read_wall(outline.walls[place], about=outline.about)[1] + grow
        for place, grow in zip(places, grows, strict=True)
    ]
    if min(lengths) < SHORTEST_WALL_M:
        return None
    repair = Repair(places, tuple(written_length(length) for length in lengths))
    whole = repaired(outline, repair)
    return repair if whole.is_closed and is_simple(whole) else None
