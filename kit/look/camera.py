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
WIDE_ROOM, SMALL_ROOM = 0.643, 0.78
"""Tangents of half the view: 65.5° in all where there is depth, 76° in a small room."""
FLOOR_PART = 0.58
"""Part of the picture's height that the floor takes."""
OVERHEAD_M = 0.62
"""Above the eye, at the wall looked at: what must still be in the picture."""
NEAR_M = 1.9
"""Where the picture's lower edge meets the floor, about."""
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
    half_wide: float
    shift: float

    @property
    def pixel(self) -> float:
        """Width of a pixel at a distance of one, ahead."""
        return 2.0 * self.half_wide / self.width_px

    def row(self) -> Array:
        """The numbers kernels need: eye, ahead, pixel, width, height, shift in pixels."""
        return np.array([
            self.x, self.y, self.z, *self.ahead, self.pixel,
            self.width_px, self.height_px, self.shift * self.height_px,
        ])  # fmt: skip


def camera_at(stand: Stand, width_px: int, height_px: int) -> Camera:
    """Frame the view from a stand: floor below, the wall's window still whole.

    The picture is shifted down, by a share of its height, until the floor
    fills `FLOOR_PART` of it.
    """
    deep = min(max((stand.depth_m - 4.5) / 2.5, 0.0), 1.0)
    half_wide = SMALL_ROOM + deep * (WIDE_ROOM - SMALL_ROOM)
    half_high = half_wide * height_px / width_px
    low = EYE_M / stand.depth_m + 2.0 * FLOOR_PART * half_high
    shift = (low - half_high) / (2.0 * half_high)
    most = (half_high - OVERHEAD_M / stand.depth_m) / (2.0 * half_high)
    return Camera(
        stand.x, stand.y, EYE_M, stand.ahead, width_px, height_px, half_wide,
        max(0.0, min(shift, most, 0.36)),
    )  # fmt: skip


@dataclass(frozen=True)
class Stand:
    """A place to look from and the wall looked at."""

    x: float
    y: float
    ahead: tuple[float, float]
    wall: int
    along_m: float
    depth_m: float


def stand_in(
    outline: shapely.Polygon, poured: shapely.Polygon, walls: Array, free_m: Array
) -> Stand:
    """Choose the stand that sees most floor, facing a wall with room for a window.

    Each wall is looked at from the far side of the room, a step left or right
    of the middle of its free stretch, a little turned; the one that sees most
    of the poured floor wins, and a wall that doors leave no window is last.

    Parameters
    ----------
    walls : (W, 7) array
        See `trace.Solids`.
    free_m : (W, 2) array
        Widest stretch of each wall without doors, from and to. [m]
    """
    best: tuple[float, Stand] | None = None
    columns = shapely.get_parts(outline.buffer(-0.05).difference(poured.buffer(0.01)))
    centres = np.array([c.centroid.coords[0] for c in columns if not c.is_empty]).reshape(
        -1, 2
    )
    for wall, row in enumerate(walls):
        inward = row[5:7]
        low, high = free_m[wall]
        window = float(np.clip((high - low - 0.7) / 2.4, 0.04, 1.0))
        for part in (0.5, 0.35, 0.65, 0.2, 0.8):
            along = low + part * (high - low)
            foot = row[:2] + along * row[2:4]
            depth = _free_depth(outline, foot + 0.02 * inward, (inward[0], inward[1]))
            if depth < 1.0:
                continue
            back = max(depth - BACK_M, min(depth + 1.7, 5.0))
            for turn in (0.10, -0.10, 0.26, -0.26):
                c, s = math.cos(turn), math.sin(turn)
                ahead = (-inward[0] * c + inward[1] * s, -inward[1] * c - inward[0] * s)
                eye = foot + back * inward + 0.5 * math.tan(turn) * back * row[2:4]
                if depth > back and not outline.buffer(-0.2).contains(shapely.Point(eye)):
                    continue
                seen = window * _floor_seen(poured, eye, ahead) * (1.0 - 0.4 * abs(turn))
                seen *= min(depth / 6.5, 1.0) * (1.0 - 0.4 * abs(part - 0.5))
                seen *= 0.8 ** _near_columns(centres, eye, ahead)
                stand = Stand(float(eye[0]), float(eye[1]), ahead, wall, along, back)
                if best is None or seen > best[0] * 1.0001:
                    best = (seen, stand)
    if best is None:  # a cupboard: look at its longest wall
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


def _near_columns(centres: Array, eye: Array, ahead: tuple[float, float]) -> int:
    """Count columns that would stand large in the picture."""
    far = (centres - eye) @ np.array(ahead)
    side = (centres - eye) @ np.array([ahead[1], -ahead[0]])
    return int(np.sum((far > 0.3) & (far < 4.6) & (np.abs(side) < 0.68 * far)))


def _floor_seen(poured: shapely.Polygon, eye: Array, ahead: tuple[float, float]) -> float:
    """Floor in view, as its part of the picture and its depth; near columns count against.

    A fan of looks starts where the picture's lower edge meets the floor.
    """
    ax, ay = ahead
    edge = poured.boundary
    total = 0.0
    for across in np.linspace(-0.95, 0.95, 23) * WIDE_ROOM:
        way = np.array([ax + across * ay, ay - across * ax])
        near, far = eye + NEAR_M * way, eye + 40.0 * way
        if not poured.covers(shapely.Point(near)):
            total -= 0.5
            continue
        crossing = shapely.LineString([near, far]).intersection(edge)
        reach = (
            NEAR_M if crossing.is_empty else NEAR_M + shapely.Point(near).distance(crossing)
        )
        middle = 1.0 - abs(across) / WIDE_ROOM
        total += 1.0 / NEAR_M - 1.0 / reach + 0.07 * min(reach, 9.0)
        total -= (2.0 + 2.0 * middle) * max(0.0, 4.4 - reach) / 2.0
    return max(total, 0.01)
