"""Leaves of the doors between rooms: open into the room, folded back along its wall.

A doorway of a door's width has a leaf, one of two doors' width a pair, where the leaf
has a wall to lie against and nothing stands in its way; other doorways are openings in
their casing. The way out is shut, see `openings`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from kit.look.camera import Array
from kit.look.openings import LEAF_M, PAIR_M, Opening

AJAR = math.radians(14.0)
"""Angle that is left between an open leaf and its wall."""
HINGED_M = 0.036
"""How far before the wall a leaf's middle turns."""
THICK_M = 0.042
FOOT_M, HEAD_GAP_M = 0.008, 0.012
"""Gaps under a leaf and over it."""
LEAST_FLOOR_M2 = 9.0
"""Doors of a smaller room open out of it."""
LEAST_LEAF_M = 0.55
"""A narrower leaf is none that one walks through."""
_SPARE_M = 0.06
"""Wall beyond the end of a leaf."""
_IN_THE_WAY_M = 0.02
_SWING = np.linspace(0.0, math.pi - AJAR, 12)


@dataclass(frozen=True)
class Leaf:
    """A leaf that lies along the wall it is hung on.

    Parameters
    ----------
    wall : int
    hinge : float
        Where along the wall it turns. [m]
    way : float
        1 if it lies from there on along the wall, -1 if before.
    wide, high : float
        Size. [m]
    """

    wall: int
    hinge: float
    way: float
    wide: float
    high: float

    @property
    def stretch(self) -> tuple[float, float]:
        """From and to along the wall. [m]"""
        end = self.hinge + self.way * self.wide * math.cos(AJAR)
        return min(self.hinge, end), max(self.hinge, end)

    def along(self, row: Array) -> Array:
        """Unit way (2,) from the hinge to the other edge, for the wall's row."""
        open_: Array = self.way * math.cos(AJAR) * row[2:4] + math.sin(AJAR) * row[5:7]
        return open_

    def middle(self, row: Array) -> Array:
        """Middle of the leaf on the floor, (2,). [m]"""
        middle: Array = self._turns_at(row) + 0.5 * self.wide * self.along(row)
        return middle

    def footprint(self, row: Array) -> shapely.Polygon:
        """Floor from the wall to the leaf's face."""
        low, high = self.stretch
        deep = HINGED_M + THICK_M
        end = deep + self.wide * math.sin(AJAR)
        depths = (deep, end) if self.way > 0.0 else (end, deep)
        places = ((low, 0.0), (high, 0.0), (high, depths[1]), (low, depths[0]))
        return shapely.Polygon([row[:2] + a * row[2:4] + d * row[5:7] for a, d in places])

    def sweep(self, row: Array) -> shapely.Polygon:
        """Floor that the leaf passes over as it is shut."""
        centre = self._turns_at(row)
        ways = -np.cos(_SWING)[:, None] * self.way * row[2:4]
        ways = ways + np.sin(_SWING)[:, None] * row[5:7]
        return shapely.Polygon([centre, *(centre + self.wide * ways)])

    def _turns_at(self, row: Array) -> Array:
        place: Array = row[:2] + self.hinge * row[2:4] + HINGED_M * row[5:7]
        return place


def leaves_of(
    openings: Sequence[Opening], walls: Array, poured: shapely.Polygon
) -> list[Leaf]:
    """Hang leaves in the doorways that can have them; those of a pair both or neither."""
    hung: list[Leaf] = []
    for opening in openings if poured.area >= LEAST_FLOOR_M2 else ():
        wide = opening.high - opening.low
        if not opening.is_open or wide > PAIR_M:
            continue
        first, second = _leaf(opening, -1.0), _leaf(opening, 1.0)
        sides = [(first, second)] if wide > LEAF_M else _nearer_corner(first, second, walls)
        for leaves in sides:
            taken = [*hung]
            for leaf in leaves:
                if _fits(leaf, openings, taken, walls, poured):
                    taken.append(leaf)
            if len(taken) == len(hung) + len(leaves):
                hung = taken
                break
    return hung


def _leaf(opening: Opening, way: float) -> Leaf:
    wide = opening.high - opening.low
    each = wide / (2.0 if wide > LEAF_M else 1.0) - 0.004
    hinge = opening.high if way > 0.0 else opening.low
    return Leaf(opening.wall, hinge, way, each, opening.head - HEAD_GAP_M)


def _nearer_corner(first: Leaf, second: Leaf, walls: Array) -> list[tuple[Leaf, ...]]:
    """Try that side first which leaves the longer stretch of wall free."""
    length = float(walls[first.wall, 4])
    one, other = (first,), (second,)
    return [one, other] if first.hinge <= length - second.hinge else [other, one]


def _fits(
    leaf: Leaf, openings: Sequence[Opening], hung: Sequence[Leaf], walls: Array,
    poured: shapely.Polygon,
) -> bool:  # fmt: skip
    """Tell whether a leaf has wall to lie against and floor to swing over."""
    row = walls[leaf.wall]
    low, high = leaf.stretch
    ends = (low - _SPARE_M, high + _SPARE_M)
    if leaf.wide < LEAST_LEAF_M or ends[0] < 0.0 or ends[1] > row[4]:
        return False
    edge = 1e-3
    if any(o.wall == leaf.wall and o.low < high - edge and o.high > low + edge
           for o in openings):  # fmt: skip
        return False
    place, sweep = leaf.footprint(row), leaf.sweep(row)
    for other in hung:
        there = walls[other.wall]
        if sweep.intersects(other.footprint(there)) or place.intersects(other.sweep(there)):
            return False
    free = poured.buffer(_IN_THE_WAY_M)
    left = poured.difference(place)
    return bool(
        free.covers(place) and free.covers(sweep) and isinstance(left, shapely.Polygon)
    )
