"""Pieces of a lane and where they touch, in the frame of a room.

The frame is turned so that the pour moves along x: lanes are cut at some x, and one lane
is laid along y.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from itertools import pairwise
from typing import Literal, NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon, box

from kit.plan.frame import Sides, box_of, turned
from kit.plan.pace import BODY_M

_SAME_M = 1e-6


class Contact(NamedTuple):
    """Where two cells touch: a straight piece across the pour (x) or along it (y). [m]"""

    across: Literal["x", "y"]
    at: float
    low: float
    high: float

    @property
    def length(self) -> float:
        """[m]"""
        return self.high - self.low


class Cell:
    """A piece of a lane that is laid in one go, in the room's frame.

    Parameters
    ----------
    outline : shapely.Polygon or tuple of float
        Its shape; of a piece that is an upright rectangle, which most are, no more than
        its least x, least y, most x, most y: it is cut and compared by arithmetic. [m]
    """

    def __init__(self, outline: Polygon | Sides) -> None:
        self._outline = outline
        self.is_box = isinstance(outline, tuple)
        self.bounds: Sides = outline if isinstance(outline, tuple) else outline.bounds

    @property
    def shape(self) -> Polygon:
        """[m]"""
        return box(*self._outline) if isinstance(self._outline, tuple) else self._outline

    @property
    def area_m2(self) -> float:
        """[m²]"""
        if self.is_box:
            x0, y0, x1, y1 = self.bounds
            return (x1 - x0) * (y1 - y0)
        return float(self.shape.area)

    @cached_property
    def edges(self) -> dict[str, list[tuple[float, float, float]]]:
        """Edges across the pour (x) and along it (y): at, low, high. [m]"""
        if self.is_box:
            x0, y0, x1, y1 = self.bounds
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


def floor_of(room: Polygon, angle: float) -> Cell:
    """All of a room as one cell, in the frame whose x axis is turned so from east. [rad]"""
    return Cell(box_of(room, -angle) or turned([room], -angle)[0])


def contacts(a: Cell, b: Cell) -> tuple[Contact, ...]:
    """Every straight piece that two cells share, the longest first."""
    (ax0, ay0, ax1, ay1), (bx0, by0, bx1, by1) = a.bounds, b.bounds
    if ax0 > bx1 + _SAME_M or bx0 > ax1 + _SAME_M:
        return ()
    if ay0 > by1 + _SAME_M or by0 > ay1 + _SAME_M:
        return ()
    if a.is_box and b.is_box:
        return _between_boxes(a.bounds, b.bounds)
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


def _between_boxes(a: Sides, b: Sides) -> tuple[Contact, ...]:
    """The side that two rectangles share, which touch and do not lie in each other."""
    (ax0, ay0, ax1, ay1), (bx0, by0, bx1, by1) = a, b
    low, high = max(ay0, by0), min(ay1, by1)
    if high - low > _SAME_M:
        return (Contact("x", ax1 if ax0 < bx0 else ax0, low, high),)
    low, high = max(ax0, bx0), min(ax1, bx1)
    if high - low > _SAME_M:
        return (Contact("y", ay1 if ay0 < by0 else ay0, low, high),)
    return ()


def split(cell: Cell, low: float, high: float) -> list[Cell]:
    """Cut a lane at both ends of where it is left, so that each arm is laid towards it."""
    x0, y0, x1, y1 = cell.bounds
    inner = [y for y in (low, high) if y - y0 > BODY_M and y1 - y > BODY_M]
    if cell.is_box:
        return [Cell((x0, a, x1, b)) for a, b in pairwise([y0, *inner, y1])]
    edges = [y0 - 1.0, *inner, y1 + 1.0]
    boxes = [box(x0 - 1.0, a, x1 + 1.0, b) for a, b in pairwise(edges)]
    parts = shapely.get_parts(shapely.intersection(cell.shape, np.array(boxes)))
    return [Cell(part) for part in parts if part.area > _SAME_M]


def shapes_of(cells: Sequence[Cell]) -> NDArray[np.object_]:
    """Shapes of many cells, (N,), the rectangles made at once. [m]"""
    boxes = [cell.bounds for cell in cells if cell.is_box]
    made = iter(box(*np.array(boxes).T) if boxes else ())
    return np.array([next(made) if cell.is_box else cell.shape for cell in cells])
