"""Closed outlines as a drawing has them: corners with arcs between them, one in another.

A drawing says how far an edge bulges by the tangent of a quarter of the angle that its
arc spans, positive to the right of the edge; a half circle is 1.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from shapely import Polygon

from kit.errors import SheetError
from kit.plan.parts import where_it_meets
from kit.site.bows import Bow, along
from kit.site.sizes import Corner

SAME_M = 1e-4
"""Corners closer than a tenth of a millimetre are one."""
FLAT_M = 1e-3
"""An arc that stands off its chord by less than a millimetre is a straight wall."""
LEAST_M2 = 1e-4
_QUARTER = math.tan(math.pi / 8.0)


@dataclass(frozen=True)
class Ring:
    """A closed outline.

    Parameters
    ----------
    layer : str
    corners_m : tuple of (float, float)
        East and north, the first not told again. [m]
    bulges : tuple of float
        Of the edge from each corner to the next.
    circle : (float, float, float) or None
        East, north and radius, where it is one whole circle. [m]
    """

    layer: str
    corners_m: tuple[Corner, ...]
    bulges: tuple[float, ...]
    circle: tuple[float, float, float] | None = None

    @property
    def about(self) -> str:
        """How complaints name it."""
        return f'layer "{self.layer}"'

    def rises_m(self) -> tuple[float, ...]:
        """How far each edge bows to the left of the walk; 0 where it is straight. [m]"""
        ends = zip(self.corners_m, [*self.corners_m[1:], self.corners_m[0]], strict=True)
        rises = []
        for (start, end), bulge in zip(ends, self.bulges, strict=True):
            rise = -bulge * math.dist(start, end) / 2.0
            rises.append(rise if abs(rise) >= FLAT_M else 0.0)
        return tuple(rises)

    def stepped_m(self) -> list[Corner]:
        """Corners with the straight steps of the arcs between them. [m]"""
        stepped: list[Corner] = []
        ends = zip(self.corners_m, [*self.corners_m[1:], self.corners_m[0]], strict=True)
        for (start, end), rise_m in zip(ends, self.rises_m(), strict=True):
            stepped.append(start)
            if rise_m:
                stepped += along(Bow(math.dist(start, end), rise_m), start, end)
        return stepped

    @cached_property
    def polygon(self) -> Polygon:
        """What it encloses, checked. [m]

        Raises
        ------
        SheetError
            If it crosses itself or encloses nothing.
        """
        shape = Polygon(self.stepped_m())
        if not shape.is_valid:
            raise SheetError(
                f"{self.about}, outline",
                found=f"one that crosses or touches itself{where_it_meets(shape)}",
                expected="an outline that never meets itself",
            )
        if shape.area < LEAST_M2:
            raise SheetError(
                f"{self.about}, outline",
                found="one without area",
                expected="corners that enclose some floor",
            )
        return shape

    @cached_property
    def reach(self) -> Polygon:
        """What it encloses and a hair around it: what touches a wall lies inside. [m]"""
        return self.polygon.buffer(SAME_M)


def circle_ring(layer: str, east_m: float, north_m: float, radius_m: float) -> Ring:
    """A circle as four arcs."""
    corners = tuple(
        (east_m + radius_m * cos, north_m + radius_m * sin)
        for cos, sin in ((1, 0), (0, 1), (-1, 0), (0, -1))
    )
    return Ring(layer, corners, (_QUARTER,) * 4, (east_m, north_m, radius_m))


def cleaned(layer: str, corners: Sequence[Corner], bulges: Sequence[float]) -> Ring:
    """A ring without corners that repeat the one before.

    Raises
    ------
    SheetError
        If fewer than three corners are left, or two with arcs between them.
    """
    kept: list[tuple[Corner, float]] = []
    for corner, bulge in zip(corners, bulges, strict=True):
        if kept and math.dist(kept[-1][0], corner) < SAME_M:
            kept[-1] = (kept[-1][0], bulge)
        else:
            kept.append((corner, bulge))
    if len(kept) > 1 and math.dist(kept[-1][0], kept[0][0]) < SAME_M:
        kept.pop()
    if len(kept) == 2 and all(abs(abs(bulge) - 1.0) < 1e-6 for _, bulge in kept):
        (ax, ay), (bx, by) = kept[0][0], kept[1][0]
        middle = (ax + bx) / 2.0, (ay + by) / 2.0
        return circle_ring(layer, *middle, math.dist((ax, ay), (bx, by)) / 2.0)
    if len(kept) < 3:
        raise SheetError(
            f'layer "{layer}", outline',
            found=f"{len(kept)} corners",
            expected="at least three",
        )
    return Ring(layer, tuple(c for c, _ in kept), tuple(b for _, b in kept))


def nested(rings: Sequence[Ring]) -> list[tuple[Ring, list[Ring]]]:
    """Find which rings of one layer are rooms and which stand inside one.

    Raises
    ------
    SheetError
        If rings cross, or one lies within something that itself stands in a room.
    """
    by_size = sorted(rings, key=lambda ring: -ring.polygon.area)
    rooms: list[tuple[Ring, list[Ring]]] = []
    for ring in by_size:
        for room, within in rooms:
            if room.reach.covers(ring.polygon):
                if any(_overlap(other, ring) for other in within):
                    _refuse(ring, "an outline over one that stands in the same room")
                within.append(ring)
                break
            if _overlap(room, ring):
                _refuse(ring, "outlines that cross each other")
        else:
            rooms.append((ring, []))
    return rooms


def _overlap(first: Ring, second: Ring) -> bool:
    return bool(first.polygon.intersection(second.polygon).area > LEAST_M2)


def _refuse(ring: Ring, found: str) -> None:
    raise SheetError(
        f"{ring.about}, outline",
        found=found,
        expected="rooms side by side, columns and islands inside them",
    )
