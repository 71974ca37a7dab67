"""The frame of a room: turned so that its pour moves along x."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TypeVar

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from kit.plan.pace import PASSES_M

Place = tuple[float, float]
Sides = tuple[float, float, float, float]
"""Least x, least y, most x, most y. [m]"""
Shape = TypeVar("Shape", bound=BaseGeometry)
_BOX_CORNERS = 5
_EXACT_M = 1e-9


def turned(
    shapes: Sequence[Shape] | NDArray[np.object_], angles: float | NDArray[np.float64]
) -> list[Shape]:
    """Shapes turned about the origin, anticlockwise, all alike or each by its own. [rad]"""
    cos, sin = np.cos(angles), np.sin(angles)
    if np.ndim(angles):
        corners = shapely.get_num_coordinates(shapes)
        cos, sin = np.repeat(cos, corners), np.repeat(sin, corners)

    def turn(at: NDArray[np.float64]) -> NDArray[np.float64]:
        x, y = at.T
        return np.stack([cos * x - sin * y, sin * x + cos * y], axis=1)

    found: list[Shape] = shapely.transform(np.asarray(shapes), turn).tolist()
    return found


class Door:
    """The opening by which a room is left, in the frame of the room.

    Parameters
    ----------
    line : LineString
        In the plan. [m]
    turned : float
        That frame's x axis, anticlockwise from east. [rad]
    """

    def __init__(self, line: LineString, turned: float = 0.0) -> None:
        self._corners = _turned(line, -turned)
        self.bounds = _bounds(self._corners)
        self.least_m = min(PASSES_M, 0.9 * float(line.length))

    @property
    def line(self) -> LineString:
        """[m]"""
        return LineString(self._corners)


def box_of(room: Polygon, angle: float = 0.0) -> Sides | None:
    """Sides of a room that, turned by an angle, is an upright rectangle. [m], [rad]"""
    if shapely.get_num_coordinates(room) != _BOX_CORNERS:
        return None
    corners = _turned(room, angle)
    west, south, east, north = sides = _bounds(corners)
    is_box = all(
        min(x - west, east - x) < _EXACT_M and min(y - south, north - y) < _EXACT_M
        for x, y in corners
    )
    return sides if is_box else None


def _turned(shape: BaseGeometry, angle: float) -> list[Place]:
    """Corners of a shape turned about the origin, anticlockwise. [rad]"""
    cos, sin = math.cos(angle), math.sin(angle)
    return [
        (cos * x - sin * y, sin * x + cos * y)
        for x, y in shapely.get_coordinates(shape).tolist()
    ]


def _bounds(corners: list[Place]) -> Sides:
    x, y = zip(*corners, strict=True)
    return min(x), min(y), max(x), max(y)
