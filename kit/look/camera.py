"""Where a client would stand to look at a floor, and how he sees it.

The camera looks level, so uprights stay upright; the picture is shifted down,
as an architect's lens is, so that the floor fills most of it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

Array = NDArray[np.float64]

EYE_M = 1.60
HALF_WIDE = 0.643
"""Tangent of half the horizontal view, 65.5° in all."""
SHIFT = 0.30
"""Of the picture's height: horizon above the middle."""
BACK_M = 0.40
"""How far the eye stays from the wall behind."""


@dataclass(frozen=True)
class Camera:
    """A level eye. [m, unit vectors]"""

    x: float
    y: float
    z: float
    ahead: tuple[float, float]
    width_px: int
    height_px: int
    half_wide: float = HALF_WIDE

    @property
    def pixel(self) -> float:
        """Width of a pixel at a distance of one, ahead."""
        return 2.0 * self.half_wide / self.width_px

    def row(self) -> Array:
        """The numbers kernels need: eye, ahead, pixel, width, height, shift in pixels."""
        return np.array([
            self.x, self.y, self.z, *self.ahead, self.pixel,
            self.width_px, self.height_px, SHIFT * self.height_px,
        ])  # fmt: skip


@dataclass(frozen=True)
class Stand:
    """A place to look from and the wall looked at."""

    x: float
    y: float
    ahead: tuple[float, float]
    wall: int
    along_m: float
    depth_m: float


def stand_in(outline: shapely.Polygon, poured: shapely.Polygon, walls: Array) -> Stand:
    """Choose the stand that sees most floor, facing a wall wide enough for a window.

    Each wall is looked at square from the far side of the room, a step left
    or right of its middle, with a slight turn; the one that sees most of the
    poured floor wins.
    """
    best: tuple[float, Stand] | None = None
    for wall, row in enumerate(walls):
        x, y, ux, uy, length, nx, ny = row
        if length < 0.35 * walls[:, 4].max():
            continue
        for part in (0.5, 0.36, 0.64):
            foot = np.array([x + ux * part * length, y + uy * part * length])
            depth = _free_depth(outline, foot + 0.02 * np.array([nx, ny]), (nx, ny))
            if depth < 1.0:
                continue
            back = max(depth - BACK_M, min(depth + 1.2, 4.2))
            eye = foot + back * np.array([nx, ny])
            for turn in (0.10, -0.10):
                c, s = math.cos(turn), math.sin(turn)
                ahead = (-nx * c + ny * s, -ny * c - nx * s)
                seen = _floor_seen(poured, eye, ahead) * (1.0 + 0.15 * (length > 2.4))
                stand = Stand(
                    float(eye[0]), float(eye[1]), ahead, wall, part * length, back
                )
                if best is None or seen > best[0] * 1.0001:
                    best = (seen, stand)
    if best is None:  # a cupboard: look at its longest wall from its middle
        wall = int(np.argmax(walls[:, 4]))
        x, y, ux, uy, length, nx, ny = walls[wall]
        return Stand(
            x + ux * length / 2 + 2.5 * nx, y + uy * length / 2 + 2.5 * ny,
            (-nx, -ny), wall, length / 2, 2.5,
        )  # fmt: skip
    return best[1]


def _free_depth(outline: shapely.Polygon, start: Array, way: tuple[float, float]) -> float:
    """Length of a straight walk to the next wall. [m]"""
    far = start + 60.0 * np.array(way)
    crossing = shapely.LineString([start, far]).intersection(outline.exterior)
    if crossing.is_empty:
        return 0.0
    return float(shapely.Point(start).distance(crossing))


def _floor_seen(poured: shapely.Polygon, eye: Array, ahead: tuple[float, float]) -> float:
    """Floor area in view, weighed down with distance as it shrinks in the picture."""
    ax, ay = ahead
    total = 0.0
    edge = poured.boundary
    for across in np.linspace(-0.9, 0.9, 13) * HALF_WIDE:
        way = np.array([ax + across * ay, ay - across * ax])
        near, far = eye + 1.9 * way, eye + 40.0 * way
        if not poured.covers(shapely.Point(near)):
            continue
        crossing = shapely.LineString([near, far]).intersection(edge)
        reach = 1.9 if crossing.is_empty else 1.9 + shapely.Point(near).distance(crossing)
        total += 1.0 / 1.9 - 1.0 / reach + 0.05 * reach
    return total
