"""A room cut into lanes across the way it is poured, and where they touch.

All of it happens in the room's own frame, turned so that the pour moves along x:
lanes are cut at some x, and one lane is laid along y.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass
from functools import cached_property, lru_cache
from itertools import pairwise
from typing import Literal

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString, Polygon, box
from shapely.geometry.polygon import orient

from kit.plan.pace import BODY_M, PASSES_M, WIDEST_M

_SAMPLES = 400
_SAME_M = 1e-6
_CRUMB_M2 = 0.2
"""Smaller pieces are laid with their neighbour: two square feet."""
_ROUNDS = 14
_THINNEST_M = 0.05


@dataclass(frozen=True)
class Contact:
    """Where two cells touch: a straight piece across the pour (x) or along it (y). [m]"""

    across: Literal["x", "y"]
    at: float
    low: float
    high: float

    @property
    def length(self) -> float:
        """[m]"""
        return self.high - self.low


@dataclass(frozen=True, eq=False)
class Cell:
    """A piece of a lane that is laid in one go, in the room's frame."""

    shape: Polygon

    @cached_property
    def bounds(self) -> tuple[float, float, float, float]:
        """Least x, least y, most x, most y. [m]"""
        x0, y0, x1, y1 = self.shape.bounds
        return x0, y0, x1, y1

    @cached_property
    def edges(self) -> dict[str, list[tuple[float, float, float]]]:
        """Edges across the pour (x) and along it (y): at, low, high. [m]"""
        found: dict[str, list[tuple[float, float, float]]] = {"x": [], "y": []}
        for ring in (self.shape.exterior, *self.shape.interiors):
            corners = shapely.get_coordinates(ring).tolist()
            for (xa, ya), (xb, yb) in pairwise(corners):
                if abs(xa - xb) < _SAME_M:
                    found["x"].append((xa, min(ya, yb), max(ya, yb)))
                elif abs(ya - yb) < _SAME_M:
                    found["y"].append((ya, min(xa, xb), max(xa, xb)))
        return found


@lru_cache(maxsize=4096)
def contacts(a: Cell, b: Cell) -> tuple[Contact, ...]:
    """Every straight piece that two cells share, the longest first."""
    (ax0, ay0, ax1, ay1), (bx0, by0, bx1, by1) = a.bounds, b.bounds
    if ax0 > bx1 + _SAME_M or bx0 > ax1 + _SAME_M:
        return ()
    if ay0 > by1 + _SAME_M or by0 > ay1 + _SAME_M:
        return ()
    found = []
    across: Literal["x", "y"]
    for across in ("x", "y"):
        for at, low, high in a.edges[across]:
            for there, under, over in b.edges[across]:
                if (
                    abs(at - there) < _SAME_M
                    and min(high, over) - max(low, under) > _SAME_M
                ):
                    found.append(Contact(across, at, max(low, under), min(high, over)))
    return tuple(sorted(found, key=lambda one: -one.length))


def cells_of(
    room: Polygon, door: LineString, *, most_m2: float, least_m: float = PASSES_M
) -> list[Cell]:
    """Cut a room into lanes, none larger or wider than can be laid from its dry side.

    Parameters
    ----------
    room, door : shapely geometries
        In the frame in which the pour moves along x. [m]
    most_m2 : float
        Largest lane. [m²]
    least_m : float
        Narrowest lane. [m]

    Returns
    -------
    list of Cell
        Together the room; empty where a lane would be too narrow to stand in.
    """
    at_m, so_far_m2 = _area_along(room)
    x0, _, x1, _ = door.bounds
    edges = _equal(at_m, so_far_m2, most_m2, (x0, x1))
    if not edges or (len(edges) > 2 and min(np.diff(edges)) < least_m):
        return []
    _, south, _, north = room.bounds
    boxes = [box(a, south - 1.0, b, north + 1.0) for a, b in pairwise(edges)]
    parts = shapely.get_parts(shapely.intersection(room, np.array(boxes)))
    return _without_crumbs([Cell(part) for part in parts if part.area > _SAME_M])


def split(cell: Cell, low: float, high: float) -> list[Cell]:
    """Cut a lane at both ends of where it is left, so that each arm is laid towards it."""
    x0, y0, x1, y1 = cell.bounds
    inner = [y for y in (low, high) if y - y0 > BODY_M and y1 - y > BODY_M]
    edges = [y0 - 1.0, *inner, y1 + 1.0]
    boxes = [box(x0 - 1.0, a, x1 + 1.0, b) for a, b in pairwise(edges)]
    parts = shapely.get_parts(shapely.intersection(cell.shape, np.array(boxes)))
    return [Cell(part) for part in parts if part.area > _SAME_M]


def _area_along(room: Polygon) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Area of a room up to each of many places along the pour. [m], [m²]"""
    west, _, east, _ = room.bounds
    at_m = np.linspace(west, east, _SAMPLES + 1)
    middle = (at_m[1:] + at_m[:-1]) / 2
    length = np.zeros(_SAMPLES)
    shape = orient(room)
    for ring in (shape.exterior, *shape.interiors):
        corners = np.asarray(ring.coords)
        (xa, ya), (xb, yb) = corners[:-1].T, corners[1:].T
        low, high = np.minimum(xa, xb), np.maximum(xa, xb)
        inside = (low[:, None] <= middle) & (middle < high[:, None])
        run = np.where(xb == xa, 1.0, xb - xa)
        y = ya[:, None] + (middle - xa[:, None]) * ((yb - ya) / run)[:, None]
        length += (inside * y * np.sign(xa - xb)[:, None]).sum(axis=0)
    so_far = np.concatenate([[0.0], np.cumsum(length)])
    return at_m, so_far * (room.area / so_far[-1])


def _equal(
    at_m: NDArray[np.float64],
    so_far_m2: NDArray[np.float64],
    most_m2: float,
    door: tuple[float, float],
) -> list[float]:
    """Edges of the fewest lanes that keep both limits, then as equal as they can be."""
    places: list[float] = at_m.tolist()
    areas: list[float] = so_far_m2.tolist()
    start, end, step = places[0], places[-1], places[1] - places[0]

    def area_to(x: float) -> float:
        n = min(int((x - start) / step), _SAMPLES - 1)
        return areas[n] + (areas[n + 1] - areas[n]) * (x - places[n]) / step

    def place_of(area: float) -> float:
        n = bisect_right(areas, area) - 1
        if n >= _SAMPLES:
            return end
        return places[n] + step * (area - areas[n]) / (areas[n + 1] - areas[n])

    def cut(part: float) -> list[float]:
        edges = [start]
        while edges[-1] < end - _SAME_M:
            here = edges[-1]
            there = min(here + part * WIDEST_M, place_of(area_to(here) + part * most_m2))
            if door[0] + _SAME_M < there < door[1] - _SAME_M and door[0] - here > PASSES_M:
                there = door[0]  # nobody leaves through half a door
            if there < min(here + _THINNEST_M, end):
                return []
            edges.append(min(there, end))
        return edges

    fewest, low, high = len(cut(1.0)), 0.0, 1.0
    for _ in range(_ROUNDS):
        part = (low + high) / 2
        low, high = (low, part) if 0 < len(cut(part)) <= fewest else (part, high)
    return cut(high)


def _without_crumbs(cells: list[Cell]) -> list[Cell]:
    """Lay pieces too small to be a lane with the neighbour that they touch most."""
    for crumb in [cell for cell in cells if cell.shape.area < _CRUMB_M2]:
        others = [cell for cell in cells if cell is not crumb]
        touching = [(sum(c.length for c in contacts(crumb, o)), o) for o in others]
        length, beside = max(touching, key=lambda one: one[0], default=(0.0, crumb))
        if length <= 0.0:
            continue
        joined = shapely.union_all([beside.shape, crumb.shape])
        if isinstance(joined, Polygon):
            cells = [cell for cell in cells if cell is not crumb and cell is not beside]
            cells.append(Cell(joined))
    return cells
