"""Relief of the coat that a near look resolves: orange peel, and grains that give grip.

A glossmeter reads over a spot of a centimetre, so the roughness that follows from gloss
units holds this relief too. What a pixel resolves of it is shown as slopes and taken out
of the roughness; farther off it all goes back in.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from kit.look.compiled import Grid, formula, loop, prange
from kit.look.grain import (
    FAINT,
    TURN,
    add_peel,
    add_slope,
    hashed,
    turned_noise,
)
from kit.stock.records import Finish

Rows = NDArray[np.float32]

GRAIN_KG_PER_M3 = 3950.0
"""White fused alumina, the usual grain; from memory."""
PROUD = (0.2, 0.6)
"""Height of a grain's resin hump: least, and range above it, in parts of the relief."""
HUMP = 2.2
"""Radius of that hump in diameters of the grain; by eye."""
CLUMPS_PER_M2 = 4.2e4
"""Humps in which several grains lie together, some 27 to the square inch; by eye."""
CLUMP_M = (3.0e-4, 5.5e-4)
"""Radius of such a hump: least, and range above it; by eye. [m]"""
CLUMP_SLOPE = (0.10, 0.12)
"""How steep its sides are at most: least, and range above it; by eye."""
UNEVEN = 0.30
"""Swing of the grains' number where they were cast by hand; common practice, no source."""
MOST_BROKEN = 0.6

_FINE_PEEL = 0.0004
"""Slope of the finer waves of a rolled coat, some 17 and 37 mm long; by eye."""
_FINE_PER_M = (27.0, 58.0)
_GRAIN_FADE, _CLUMP_FADE = 1.3, 0.5
"""How fast grains and clumps fade as a pixel grows past their radius."""
_NOISE = 0.863
"""Root mean square of `grain.noise_slope` along one axis."""
_CAST_PER_M = (9.0, 21.0, 46.0, 110.0)
_STEEPEST = 1.7173
"""Most slope of a hump (1 - r²)³ as high as it is wide."""
_OF_HUMPS = 1.885
"""Variance of slope along an axis, of one hump of height one a unit of area."""


class Grit(NamedTuple):
    """Hard grains cast into a coat.

    Parameters
    ----------
    relief_m : float
        How far the largest stand out. [m]
    per_m2 : float
        Their number on a square metre.
    grain_m : float
        Their diameter. [m]
    """

    relief_m: float = 0.0
    per_m2: float = 0.0
    grain_m: float = 1.0


NO_GRIT = Grit()


def grit_of(finish: Finish) -> Grit:
    """Count the grains of a finish from what is cast on a square metre."""
    if not (finish.texture_um and finish.grain_um and finish.aggregate_kg_per_m2):
        return NO_GRIT
    grain_m = 1e-6 * finish.grain_um
    one_kg = GRAIN_KG_PER_M3 * math.pi / 6.0 * grain_m**3
    return Grit(1e-6 * finish.texture_um, finish.aggregate_kg_per_m2 / one_kg, grain_m)


@formula
def add_waves(x_m: Grid, y_m: Grid, footprint_m: float, sx: Grid, sy: Grid) -> float:
    """Add the coat's at places (N,) to slopes (N,); give the change of its variance.

    The pixel loses the long waves, which gloss units do not hold, and resolves the fine.
    """
    more = add_peel(x_m, y_m, footprint_m, sx, sy)
    for k in range(2):
        per_m = _FINE_PER_M[k]
        kept = 1.0 / (1.0 + (1.5 * footprint_m * per_m) ** 2)
        if kept < FAINT:
            continue
        add_slope(x_m, y_m, per_m, TURN * (50 + k), 50 + k, _FINE_PEEL * kept, sx, sy)
        more -= (_FINE_PEEL * _NOISE * kept) ** 2
    return more


@formula
def grains(
    x_m: float, y_m: float, footprint_m: float, grit: Grit
) -> tuple[float, float, float]:
    """Slope that grains give the coat along x and y, and the change of its variance.

    Humps (1 - r²)³ of random height, one to a cell of the grid that holds their number,
    and fewer, wider ones where grains lie together. Of n such humps a square metre, each
    h high, the variance of slope is 1.885 n h² along each axis, whatever their radius;
    up to a tenth less, one to a cell. Single grains become roughness in a pixel as wide
    as they are, so that none is a bright pixel by itself.
    """
    cell = 1.0 / math.sqrt(grit.per_m2)
    radius = HUMP * grit.grain_m
    kept = math.exp(-((_GRAIN_FADE * footprint_m / radius) ** 2))
    height2 = (PROUD[0] + 0.5 * PROUD[1]) ** 2 + PROUD[1] ** 2 / 12.0
    variance = _OF_HUMPS * grit.per_m2 * height2 * grit.relief_m**2
    swing = 0.0
    for k in range(4):
        per_m = _CAST_PER_M[k]
        kept_here = 1.0 / (1.0 + (1.5 * footprint_m * per_m) ** 2)
        if kept_here < FAINT:
            continue
        swing += kept_here * turned_noise(x_m, y_m, per_m, 60 + k)
    cast = 1.0 + UNEVEN * swing
    cx, cy, gone = _clumps(x_m, y_m, footprint_m)
    change = variance * (cast * (1.0 - kept * kept) - 1.0) - gone
    if kept < FAINT:
        return cx, cy, change
    sx, sy = _humps(x_m, y_m, cell, radius, grit.relief_m)
    strong = kept * math.sqrt(cast)
    return cx + strong * sx, cy + strong * sy, change


@formula
def _humps(
    x_m: float, y_m: float, cell: float, radius: float, relief_m: float
) -> tuple[float, float]:
    """Slope of the humps about a place."""
    i, j = math.floor(x_m / cell), math.floor(y_m / cell)
    reach = 1 + int(radius / cell)
    sx, sy = 0.0, 0.0
    for dj in range(-reach, reach + 1):
        for di in range(-reach, reach + 1):
            a, b = i + di, j + dj
            dx = x_m - (a + hashed(a, b, 70)) * cell
            dy = y_m - (b + hashed(a, b, 71)) * cell
            left = 1.0 - (dx * dx + dy * dy) / (radius * radius)
            if left > 0.0:
                high = relief_m * (PROUD[0] + PROUD[1] * hashed(a, b, 72))
                fall = -6.0 * high * left * left / (radius * radius)
                sx += fall * dx
                sy += fall * dy
    return sx, sy


@formula
def _clumps(
    x_m: float, y_m: float, footprint_m: float
) -> tuple[float, float, float]:  # fmt: skip
    """Slope of wide humps about a place that a pixel resolves, and its variance.

    A pixel widens a hump and keeps its height less, so that it is never a sharp speck.
    """
    cell = 1.0 / math.sqrt(CLUMPS_PER_M2)
    usual = CLUMP_M[0] + 0.5 * CLUMP_M[1]
    kept = 1.0 / (1.0 + (_CLUMP_FADE * footprint_m / usual) ** 2)
    if kept < FAINT:
        return 0.0, 0.0, 0.0
    i, j = math.floor(x_m / cell), math.floor(y_m / cell)
    sx, sy = 0.0, 0.0
    for b in range(j - 1, j + 2):
        for a in range(i - 1, i + 2):
            dx = x_m - (a + hashed(a, b, 73)) * cell
            dy = y_m - (b + hashed(a, b, 74)) * cell
            own = CLUMP_M[0] + CLUMP_M[1] * hashed(a, b, 75)
            wide2 = own * own + footprint_m * footprint_m
            left = 1.0 - (dx * dx + dy * dy) / wide2
            if left > 0.0:
                steep = (CLUMP_SLOPE[0] + CLUMP_SLOPE[1] * hashed(a, b, 76)) / _STEEPEST
                fall = -6.0 * steep * own * left * left / wide2
                sx += fall * dx
                sy += fall * dy
    slope = CLUMP_SLOPE[0] + 0.5 * CLUMP_SLOPE[1]
    high = usual * slope / _STEEPEST
    spread = CLUMP_M[1] ** 2 / (12.0 * usual**2) + CLUMP_SLOPE[1] ** 2 / (12.0 * slope**2)
    variance = _OF_HUMPS * CLUMPS_PER_M2 * high * high * (1.0 + spread)
    return kept * sx, kept * sy, kept * kept * variance


@loop
def fill_facing(
    x_m: Grid, y_m: Grid, eye: tuple[float, float], footprint_m: Grid, grit: Grit,
    facing: Grid, change: Grid,
) -> None:  # fmt: skip
    """Fill slopes towards the eye that a pixel resolves, and the change of variance, (N,).

    Parameters
    ----------
    eye : (float, float)
        Where one stands. [m]
    """
    for i in prange(len(facing)):
        sx, sy, change[i] = grains(x_m[i], y_m[i], footprint_m[i], grit)
        dx, dy = x_m[i] - eye[0], y_m[i] - eye[1]
        facing[i] = (sx * dx + sy * dy) / math.sqrt(dx * dx + dy * dy + 1e-9)


def broken(facing: Rows, change: Rows, alpha: float) -> Rows:
    """How unevenly a grained coat catches light, about one, (N,).

    Parameters
    ----------
    facing, change : (N,) float32 arrays
        From `fill_facing`.
    alpha : float
        GGX roughness of the coat, its grains in it.

    Notes
    -----
    A broad glow rises by half of 1 / alpha for each slope towards it, and falls by half of
    what its roughness squared gains; neither can sparkle.
    """
    swing = facing * np.float32(0.5 / alpha) - change * np.float32(0.5 / alpha**2)
    return np.asarray(np.float32(1.0) + np.clip(swing, -MOST_BROKEN, MOST_BROKEN))
