"""Walls and columns as the poured film meets them."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from shapely import LinearRing, Polygon

from kit.units import M_PER_FT

ROUND = 0.03
"""A hole whose corners lie on a circle to within this share of its radius is a column."""
STRAIGHT_M = 0.01
"""Corners nearer than this to the line between their neighbours are left out. [m]"""
LOT = 256
"""Places whose distances to all walls are held at once: few enough for the cache."""


def obstacles_ft(surface: Polygon) -> NDArray[np.float64]:
    """Describe every wall and column as a capsule. [ft]

    Returns
    -------
    (M, 6) float64
        Start x, y; unit direction x, y; length; radius. A wall has no radius,
        a round column no length. [ft]
    """
    rows = [
        row for ring in (surface.exterior, *surface.interiors) for row in _capsules(ring)
    ]
    capsules = np.array(rows)
    capsules[:, [0, 1, 4, 5]] /= M_PER_FT
    return capsules


def boxes_of(obstacles: NDArray[np.float32]) -> NDArray[np.float32]:
    """West, south, east and north end of every wall and column, (M, 4)."""
    start, along = obstacles[:, :2], obstacles[:, 2:4] * obstacles[:, 4:5]
    radius = obstacles[:, 5:6]
    low, high = np.minimum(start, start + along), np.maximum(start, start + along)
    return np.ascontiguousarray(np.hstack([low - radius, high + radius]))


def _capsules(ring: LinearRing) -> Iterator[tuple[float, ...]]:
    corners = np.asarray(ring.coords)[:-1]
    centre = corners.mean(axis=0)
    radii = np.hypot(*(corners - centre).T)
    if len(corners) >= 8 and np.ptp(radii) < ROUND * radii.mean():
        yield (centre[0], centre[1], 1.0, 0.0, 0.0, float(radii.mean()))
        return
    plain = np.asarray(ring.simplify(STRAIGHT_M).coords)
    for start, end in pairwise(plain):
        length = float(np.hypot(*(end - start)))
        along = (end - start) / length
        yield (start[0], start[1], along[0], along[1], length, 0.0)


def nearest(
    obstacles: NDArray[np.float64], x: NDArray[np.float64], y: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Distance to the nearest obstacle, and the heading of its face there.

    Parameters
    ----------
    obstacles : (M, 6) array
        From `obstacles_ft`.
    x, y : (N,) arrays
        Places, in the obstacles' unit.

    Returns
    -------
    distance, heading : (N,) arrays
        Heading in radians, the same for either way along the face.
    """
    distance, heading = np.empty(x.shape), np.empty(x.shape)
    for first in range(0, x.size, LOT):
        lot = slice(first, first + LOT)
        distance[lot], heading[lot] = _nearest(obstacles, x[lot], y[lot])
    return distance, heading


def _nearest(
    obstacles: NDArray[np.float64], x: NDArray[np.float64], y: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    start_x, start_y, along_x, along_y, length, radius = obstacles.T
    east, north = x[:, None] - start_x, y[:, None] - start_y
    step = np.clip(east * along_x + north * along_y, 0.0, length)
    off_x, off_y = east - step * along_x, north - step * along_y
    distance = np.hypot(off_x, off_y) - radius
    first = distance.argmin(axis=1)
    at = np.arange(x.size), first
    straight, round_ = np.arctan2(along_y, along_x), np.arctan2(off_x[at], -off_y[at])
    return distance[at], np.where(radius[first] > 0.0, round_, straight[first])
