"""A room cut into lanes across the way it is poured, as equal as can be."""

from __future__ import annotations

from bisect import bisect_right
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon, box
from shapely.geometry.polygon import orient

from kit.plan.cells import Cell, contacts
from kit.plan.frame import Door
from kit.plan.pace import PASSES_M, WIDEST_M

_SAMPLES = 400
_SAME_M = 1e-6
_CRUMB_M2 = 0.2
"""Smaller pieces are laid with their neighbour: two square feet."""
_ROUNDS = 14
_THINNEST_M = 0.05


def cells_of(
    floor: Cell, door: Door, *, most_m2: float, least_m: float = PASSES_M
) -> list[Cell]:
    """Cut a room into lanes, none larger or wider than can be laid from its dry side.

    Parameters
    ----------
    floor : Cell
        The room, in the frame in which the pour moves along x.
    door : Door
        In the same frame.
    most_m2 : float
        Largest lane. [m²]
    least_m : float
        Narrowest lane. [m]

    Returns
    -------
    list of Cell
        Together the room; empty where a lane would be too narrow to stand in.
    """
    west, south, east, north = floor.bounds
    run = _Box(west, east, north - south) if floor.is_box else _Profile(floor.shape)
    edges = _equal(run, most_m2, (door.bounds[0], door.bounds[2]))
    if not edges or (len(edges) > 2 and min(b - a for a, b in pairwise(edges)) < least_m):
        return []
    if floor.is_box:
        return [Cell((a, south, b, north)) for a, b in pairwise(edges)]
    boxes = [box(a, south - 1.0, b, north + 1.0) for a, b in pairwise(edges)]
    parts = shapely.get_parts(shapely.intersection(floor.shape, np.array(boxes)))
    return _without_crumbs([Cell(part) for part in parts if part.area > _SAME_M])


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
    for crumb in [cell for cell in cells if cell.area_m2 < _CRUMB_M2]:
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
