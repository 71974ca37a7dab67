"""A room cut into lanes across the way it is poured, and where they touch.

All of it happens in the room's own frame, turned so that the pour moves along x:
lanes are cut at some x, and one lane is laid along y.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from itertools import pairwise
from typing import Literal, TypeVar

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString, Polygon, box
from shapely.geometry.base import BaseGeometry
from shapely.geometry.polygon import orient

from kit.plan.pace import BODY_M, PASSES_M, WIDEST_M

Sides = tuple[float, float, float, float]
_SAMPLES = 400
_BOX_CORNERS = 5
_EXACT_M = 1e-9
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
    """A piece of a lane that is laid in one go, in the room's frame.

    Parameters
    ----------
    shape : shapely.Polygon
        [m]
    sides : tuple of float, optional
        Least x, least y, most x, most y of a piece that is an upright rectangle, which
        most are: it is cut and compared by arithmetic. [m]
    """

    shape: Polygon
    sides: Sides | None = None

    @cached_property
    def bounds(self) -> Sides:
        """Least x, least y, most x, most y. [m]"""
        x0, y0, x1, y1 = self.sides or self.shape.bounds
        return x0, y0, x1, y1

    @cached_property
    def edges(self) -> dict[str, list[tuple[float, float, float]]]:
        """Edges across the pour (x) and along it (y): at, low, high. [m]"""
        if self.sides is not None:
            x0, y0, x1, y1 = self.sides
            return {
                "x": [(x0, y0, y1), (x1, y0, y1)],
                "y": [(y0, x0, x1), (y1, x0, x1)],
            }
        found: dict[str, list[tuple[float, float, float]]] = {"x": [], "y": []}
        for ring in (self.shape.exterior, *self.shape.interiors):
            corners = shapely.get_coordinates(ring).tolist()
            for (xa, ya), (xb, yb) in pairwise(corners):
                if abs(xa - xb) < _SAME_M:
                    found["x"].append((xa, min(ya, yb), max(ya, yb)))
                elif abs(ya - yb) < _SAME_M:
                    found["y"].append((ya, min(xa, xb), max(xa, xb)))
        return found


Shape = TypeVar("Shape", bound=BaseGeometry)


def turned_all(shapes: Sequence[Shape], angle: float) -> list[Shape]:
    """Shapes turned about the origin, anticlockwise. [rad]"""
    cos, sin = math.cos(angle), math.sin(angle)
    turn = np.array([[cos, sin], [-sin, cos]])
    found: list[Shape] = shapely.transform(np.array(shapes), lambda at: at @ turn).tolist()
    return found


def turned(shape: Shape, angle: float) -> Shape:
    """A shape turned about the origin, anticlockwise. [rad]"""
    return turned_all([shape], angle)[0]


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
    x0, _, x1, _ = door.bounds
    west, south, east, north = room.bounds
    is_box = _is_box(room)
    run = _Box(west, east, north - south) if is_box else _Profile(room)
    edges = _equal(run, most_m2, (x0, x1))
    if not edges or (len(edges) > 2 and min(b - a for a, b in pairwise(edges)) < least_m):
        return []
    if is_box:
        return [_boxed(a, south, b, north) for a, b in pairwise(edges)]
    boxes = [box(a, south - 1.0, b, north + 1.0) for a, b in pairwise(edges)]
    parts = shapely.get_parts(shapely.intersection(room, np.array(boxes)))
    return _without_crumbs([Cell(part) for part in parts if part.area > _SAME_M])


def split(cell: Cell, low: float, high: float) -> list[Cell]:
    """Cut a lane at both ends of where it is left, so that each arm is laid towards it."""
    x0, y0, x1, y1 = cell.bounds
    inner = [y for y in (low, high) if y - y0 > BODY_M and y1 - y > BODY_M]
    if cell.sides is not None:
        return [_boxed(x0, a, x1, b) for a, b in pairwise([y0, *inner, y1])]
    edges = [y0 - 1.0, *inner, y1 + 1.0]
    boxes = [box(x0 - 1.0, a, x1 + 1.0, b) for a, b in pairwise(edges)]
    parts = shapely.get_parts(shapely.intersection(cell.shape, np.array(boxes)))
    return [Cell(part) for part in parts if part.area > _SAME_M]


def _is_box(room: Polygon) -> bool:
    """Whether a floor is an upright rectangle."""
    if room.interiors or len(room.exterior.coords) != _BOX_CORNERS:
        return False
    west, south, east, north = room.bounds
    corners = shapely.get_coordinates(room.exterior).tolist()
    return all(
        min(abs(x - west), abs(x - east)) < _EXACT_M
        and min(abs(y - south), abs(y - north)) < _EXACT_M
        for x, y in corners
    )


def _boxed(x0: float, y0: float, x1: float, y1: float) -> Cell:
    return Cell(box(x0, y0, x1, y1), (x0, y0, x1, y1))


class _Box:
    """Area of a rectangle up to a place along the pour, and back. [m], [m²]"""

    def __init__(self, start: float, end: float, deep: float) -> None:
        self.start, self.end, self.deep = start, end, deep

    def area_to(self, x: float) -> float:
        """Area up to a place. [m²]"""
        return (x - self.start) * self.deep

    def place_of(self, area: float) -> float:
        """Place up to which there is so much. [m]"""
        return min(self.start + area / self.deep, self.end)


class _Profile:
    """Area of any floor up to a place along the pour, and back. [m], [m²]"""

    def __init__(self, room: Polygon) -> None:
        at_m, so_far_m2 = _area_along(room)
        self.places: list[float] = at_m.tolist()
        self.areas: list[float] = so_far_m2.tolist()
        self.start: float = self.places[0]
        self.end: float = self.places[-1]
        self.step: float = self.places[1] - self.start

    def area_to(self, x: float) -> float:
        """Area up to a place. [m²]"""
        n = min(int((x - self.start) / self.step), _SAMPLES - 1)
        rise = self.areas[n + 1] - self.areas[n]
        return self.areas[n] + rise * (x - self.places[n]) / self.step

    def place_of(self, area: float) -> float:
        """Place up to which there is so much. [m]"""
        n = bisect_right(self.areas, area) - 1
        if n >= _SAMPLES:
            return self.end
        rise = self.areas[n + 1] - self.areas[n]
        return self.places[n] + self.step * (area - self.areas[n]) / rise


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


def _equal(run: _Box | _Profile, most_m2: float, door: tuple[float, float]) -> list[float]:
    """Edges of the fewest lanes that keep both limits, then as equal as they can be."""
    start, end = run.start, run.end

    def cut(part: float) -> list[float]:
        edges = [start]
        while edges[-1] < end - _SAME_M:
            here = edges[-1]
            most = run.place_of(run.area_to(here) + part * most_m2)
            there = min(here + part * WIDEST_M, most)
            if door[0] + _SAME_M < there < door[1] - _SAME_M and door[0] - here > PASSES_M:
                there = door[0]  # nobody leaves through half a door
            if there < min(here + _THINNEST_M, end):
                return []
            edges.append(min(there, end))
        return edges

    fewest, low, high = len(cut(1.0)), 0.0, 1.0
    if isinstance(run, _Box) and fewest > 1:
        # as equal as can be, unless a door is in the way
        widest = min(WIDEST_M, most_m2 / run.deep)
        part = min((end - start) / ((fewest - 1) * widest) * (1.0 + 1e-9), 1.0)
        edges = cut(part)
        if 0 < len(edges) <= fewest:
            return edges
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
