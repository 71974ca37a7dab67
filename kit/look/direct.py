"""Light that comes straight: from the window, from behind the eye, from ceiling lamps."""

from __future__ import annotations

import math

import numpy as np
from numba import prange
from numpy.typing import NDArray

from kit.look.compiled import Grid, formula, loop
from kit.look.room import Room
from kit.look.skins import outside
from kit.look.trace import Solids, hit

LAMP_RADIUS_M = 0.075
LAMP_RGB = (1.0, 0.835, 0.625)
LAMP_GLOW = 46.0
"""Radiance of a lamp's face in the evening, against the window's 5 by day."""
FILL_DAY = (2.4, 2.43, 2.46)
FILL_EVENING = (0.05, 0.055, 0.08)


def pane_points(room: Room, evening: bool) -> NDArray[np.float64]:
    """Cut panes into small lights: place, inward normal, radiance times area over pi."""
    rows = []
    for window in room.solids.windows:
        wall = room.solids.walls[int(window[0])]
        wide, high = window[2] - window[1], window[4] - window[3]
        across, up = 9, 6
        for i in range(across):
            for j in range(up):
                u, v = (i + 0.5) / across, (j + 0.5) / up
                ground = (
                    wall[:2] + (window[1] + u * wide) * wall[2:4] - window[5] * wall[5:7]
                )
                shine = np.array(outside(u, v, wide, evening)) * 0.86
                shine *= wide * high / (across * up) / math.pi
                rows.append((*ground, window[3] + v * high, *wall[5:7], 0.0, *shine))
    return np.array(rows, dtype=np.float64).reshape(-1, 9)


def fill_points(room: Room, evening: bool) -> NDArray[np.float64]:
    """Cut the soft opening behind the eye into small lights, as `pane_points`."""
    rows = []
    shine = np.array(FILL_EVENING if evening else FILL_DAY)
    for corner, wide, high, inward in room.fill:
        area = np.linalg.norm(wide) * np.linalg.norm(high) / 20.0
        for i in range(5):
            for j in range(4):
                place = corner + (i + 0.5) / 5 * wide + (j + 0.5) / 4 * high
                rows.append((*place, *inward, *(shine * area / math.pi)))
    return np.array(rows, dtype=np.float64).reshape(-1, 9)


@loop
def straight(
    place: Grid, normal: Grid, panes: Grid, fill: Grid, lamps: Grid, power: Grid,
    solids: Solids, out: Grid,
) -> None:  # fmt: skip
    """Fill `out` (T, 3) with light straight from panes, fill and lamps."""
    for t in prange(len(place)):
        _from_panes(place[t], normal[t], panes, solids, out[t])
        _from_panes(place[t], normal[t], fill, solids, out[t])
        _from_lamps(place[t], normal[t], lamps, power, solids, out[t])


@formula
def _from_panes(place: Grid, normal: Grid, points: Grid, solids: Solids, out: Grid) -> None:
    """Add to `out` (3,) what small flat lights send."""
    nx, ny, nz = normal
    x, y, z = place[0] + 2e-3 * nx, place[1] + 2e-3 * ny, place[2] + 2e-3 * nz
    for k in range(len(points)):
        p = points[k]
        lx, ly, lz = p[0] - x, p[1] - y, p[2] - z
        here = lx * nx + ly * ny + lz * nz
        there = -(lx * p[3] + ly * p[4] + lz * p[5])
        if here <= 0.0 or there <= 0.0 or not clear(x, y, z, p[0], p[1], p[2], solids):
            continue
        d2 = lx * lx + ly * ly + lz * lz
        w = here * there / (d2 * (d2 + 0.02))
        for c in range(3):
            out[c] += p[6 + c] * w


@formula
def _from_lamps(
    place: Grid, normal: Grid, lamps: Grid, power: Grid, solids: Solids, out: Grid,
) -> None:  # fmt: skip
    """Add to `out` (3,) what ceiling lamps send, each from four points of its face."""
    nx, ny, nz = normal
    x, y, z = place[0] + 2e-3 * nx, place[1] + 2e-3 * ny, place[2] + 2e-3 * nz
    for k in range(4 * len(lamps)):
        lamp = lamps[k // 4]
        px = lamp[0] + (0.045 if k % 2 else -0.045)
        py = lamp[1] + (0.045 if (k // 2) % 2 else -0.045)
        pz = lamp[2] - 0.01
        lx, ly, lz = px - x, py - y, pz - z
        here = lx * nx + ly * ny + lz * nz
        if here <= 0.0 or lz <= 0.0 or not clear(x, y, z, px, py, pz, solids):
            continue
        d2 = lx * lx + ly * ly + lz * lz
        w = 0.25 * here * lz * lz / (d2 * d2 * math.sqrt(d2)) / math.pi
        for c in range(3):
            out[c] += power[c] * w


@formula
def clear(
    x: float, y: float, z: float, tx: float, ty: float, tz: float, solids: Solids,
) -> bool:  # fmt: skip
    """Tell whether nothing stands between two places."""
    far, _, _, _ = hit(x, y, z, tx - x, ty - y, tz - z, solids)
    return far > 0.985
