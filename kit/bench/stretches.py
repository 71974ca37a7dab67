"""Walls as straight stretches in meters, and which of them face each other."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

from kit.plan.openings import REACH_M
from kit.site.outline import Outline
from kit.site.walls import Corner

LEAST_M = 0.3
_PARALLEL = 0.05
"""Sine of the angle up to which two walls face each other."""


@dataclass(frozen=True)
class Stretch:
    """A piece of a wall: from `begins_m` on for `length_m`."""

    begins_m: Corner
    ahead: Corner
    length_m: float

    def at(self, along_m: float) -> Corner:
        """The place so far along it. [m]"""
        (east, north), (de, dn) = self.begins_m, self.ahead
        return east + along_m * de, north + along_m * dn

    def along(self, place: Corner) -> float:
        """How far along it a place lies. [m]"""
        (east, north), (de, dn) = self.begins_m, self.ahead
        return (place[0] - east) * de + (place[1] - north) * dn

    def off(self, place: Corner) -> float:
        """How far from it a place lies. [m]"""
        on = min(max(self.along(place), 0.0), self.length_m)
        return math.dist(place, self.at(on))


def walls_of(outline: Outline) -> tuple[Stretch, ...]:
    """Every wall of an outline, as it is walked."""
    found = []
    for a, b in pairwise(outline.corners_m):
        length_m = math.dist(a, b)
        ahead = (b[0] - a[0]) / length_m, (b[1] - a[1]) / length_m
        found.append(Stretch(a, ahead, length_m))
    return tuple(found)


def facing(wall: Stretch, other: Stretch) -> Stretch | None:
    """The stretch of a wall that another one faces, within reach of it."""
    cross = wall.ahead[0] * other.ahead[1] - wall.ahead[1] * other.ahead[0]
    ends = [wall.along(other.at(s)) for s in (0.0, other.length_m)]
    low, high = max(min(ends), 0.0), min(max(ends), wall.length_m)
    if abs(cross) > _PARALLEL or high - low < LEAST_M:
        return None
    if other.off(wall.at((low + high) / 2)) > REACH_M:
        return None
    return Stretch(wall.at(low), wall.ahead, high - low)
