"""What only a close look shows: single flakes that glint, and film that rippled as it set.

Both depend on the place in metres, average to nothing over a few millimetres, and fade
as a pixel grows past them.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from kit.look.compiled import Grid, formula, inlined
from kit.look.grain import FAINT, TURN, add_slope, hashed, turned_noise

GLINTING_PER_M2 = 9e6
"""Flakes large enough to be seen one by one, a third of a millimetre apart; by eye."""
GLINT_SHARE = 0.045
"""Part of the mirrored light that such flakes carry; by eye."""
SPECKS = ((1.6e-3, 4.2e-4, 0.009), (7e-4, 2.2e-4, 0.022))
"""Large flakes of two sizes: their distance, their radius, and the part of the light
that they carry; by eye. [m, m, 1]"""
CLUSTERS_PER_M, CLUSTERED = 170.0, 0.75
"""Clusters of such flakes, some 6 mm wide, and how much more there are in one; by eye."""
STEADY = 0.12
"""Share of flakes that mirror some light wherever the lean points."""
AT_ONCE = 0.40
"""Share that does so where the lean points at the light."""
_DIMMEST = 0.15
"""What the dullest of the large flakes sends against the brightest."""

RIPPLE_SLOPE = 0.006
"""Slope of flakes about the cells in which a film turns over while it sets; by eye."""
_RIPPLES_PER_M = (230.0, 610.0)
_RIPPLE_PART = (0.75, 0.65)
_F = np.float32
_MANY, _TOO_MANY = 5.0, 100.0
"""Flakes in a pixel that are told by their spread, and that are even. [count]"""


@formula
def are_even(footprint_m: float) -> bool:
    """Whether so many flakes glint in a pixel that none is told from another."""
    return GLINTING_PER_M2 * STEADY * footprint_m * footprint_m > _TOO_MANY


@formula
def glints(x_m: float, y_m: float, footprint_m: float, towards: float) -> float:
    """Light that a pixel's flakes mirror against their mean: one on average.

    Parameters
    ----------
    towards : float
        How squarely the flakes there lean at the light, in [0, 1]: of flakes that
        point at it more glint, each less against the rest.

    Notes
    -----
    Flakes are counted, not drawn: Poisson numbers on a grid as fine as the footprint,
    blended with the next coarser one, after the idea of [Jakob2014]_.
    """
    if are_even(footprint_m):
        return 1.0
    level, blend = grid_of(footprint_m)
    return glints_on(x_m, y_m, footprint_m, level, 2.0**level, blend, towards)


@formula
def grid_of(footprint_m: float) -> tuple[int, float]:
    """Grid as fine as a footprint, as a power of two [m], and the next one's part."""
    fine = math.log2(max(footprint_m, 1e-5))
    level = math.floor(fine)
    return level, fine - level


@formula
def glints_on(
    x_m: float, y_m: float, footprint_m: float, level: int, side_m: float, blend: float,
    towards: float,
) -> float:  # fmt: skip
    """Tell `glints` by the grid that `grid_of` gave for all pixels, and its cells' side."""
    share = STEADY + AT_ONCE * towards
    seen = (1.0 - blend) * _counted(x_m, y_m, level, side_m, share)
    seen += blend * _counted(x_m, y_m, level + 1, 2.0 * side_m, share)
    return _with_specks(x_m, y_m, footprint_m, share, 1.0 + GLINT_SHARE * (seen - 1.0))


@formula
def fill_glints(
    x_m: Grid, y_m: Grid, footprint_m: float, level: int, side_m: float, blend: float,
    towards: Grid, room: Grid, out: Grid,
) -> None:  # fmt: skip
    """Fill `out` (N,) with `glints_on` at places (N,); `room` (N,) is written over."""
    few = _F(_MANY / (GLINTING_PER_M2 * side_m * side_m))
    for i in range(len(out)):
        room[i] = _F(STEADY) + _F(AT_ONCE) * towards[i]
        seen = _F(1.0 - blend) * _many(x_m[i], y_m[i], level, side_m, room[i])
        seen += _F(blend) * _many(x_m[i], y_m[i], level + 1, 2.0 * side_m, room[i])
        out[i] = _F(1.0) + _F(GLINT_SHARE) * (seen - _F(1.0))
    for i in range(len(out)):
        if room[i] <= few:
            out[i] = glints_on(
                x_m[i], y_m[i], footprint_m, level, side_m, blend, towards[i]
            )
        elif footprint_m < SPECKS[0][0]:
            out[i] = _with_specks(x_m[i], y_m[i], footprint_m, room[i], out[i])


@formula
def _with_specks(
    x_m: float, y_m: float, footprint_m: float, share: float, light: float
) -> float:
    """Light of small flakes and of the large ones."""
    some = share * (1.0 + CLUSTERED * turned_noise(x_m, y_m, CLUSTERS_PER_M, 120))
    for k in range(2):
        apart, radius, part = SPECKS[k]
        if footprint_m < apart:
            light += part * (_specks(x_m, y_m, footprint_m, apart, radius, some, k) - 1.0)
    return light


@formula
def _specks(
    x_m: float, y_m: float, footprint_m: float, apart: float, radius: float, share: float,
    size: int,
) -> float:  # fmt: skip
    """Light of large flakes, each a soft speck, against their mean; even from afar.

    A pixel widens a speck and dims it as much, so that its light is kept.
    """
    fade = 1.0 - (footprint_m / apart) ** 2
    wide2 = min(radius * radius + footprint_m * footprint_m, apart * apart)
    i, j = math.floor(x_m / apart), math.floor(y_m / apart)
    light, salt = 0.0, 110 + 4 * size
    for b in range(j - 1, j + 2):
        for a in range(i - 1, i + 2):
            if hashed(a, b, salt) >= share:
                continue
            dx = x_m - (a + hashed(a, b, salt + 1)) * apart
            dy = y_m - (b + hashed(a, b, salt + 2)) * apart
            left = 1.0 - (dx * dx + dy * dy) / wide2
            if left > 0.0:
                bright = hashed(a, b, salt + 3)
                light += left * left * (_DIMMEST + bright**4)
    even = share * math.pi / 3.0 * wide2 / (apart * apart) * (_DIMMEST + 0.2)
    return 1.0 + fade * fade * (light / even - 1.0)


@inlined
def _many(x_m: Any, y_m: Any, level: int, side: Any, share: Any) -> Any:
    """`_counted` where a cell holds many: three even numbers stand for their spread."""
    per_side = _F(1.0 / side)
    i, j = np.int32(np.floor(x_m * per_side)), np.int32(np.floor(y_m * per_side))
    salt = level * 8 + 96
    spread = hashed(i, j, salt) + hashed(i, j, salt + 1) + hashed(i, j, salt + 2)
    swing = _F(2.0 / math.sqrt(GLINTING_PER_M2) / side) / np.sqrt(_F(share))
    return max(_F(0.0), _F(1.0) + swing * (spread - _F(1.5)))


@formula
def _counted(x_m: float, y_m: float, level: int, side: float, share: float) -> float:
    """Flakes that glint in a cell, over the number expected, each of its own size."""
    i, j = math.floor(x_m / side), math.floor(y_m / side)
    salt = level * 8 + 96
    expected = GLINTING_PER_M2 * side * side * share
    chance = hashed(i, j, salt)
    if expected > _MANY:
        return float(_many(x_m, y_m, level, side, share))
    count, term, below = 0, math.exp(-expected), 0.0
    while count < 16:
        below += term
        if chance < below:
            break
        count += 1
        term *= expected / count
    size = 0.4 + 1.2 * hashed(i, j, salt + 3)
    return float(count / expected * size)


@formula
def add_ripples(x_m: Grid, y_m: Grid, footprint_m: float, sx: Grid, sy: Grid) -> None:
    """Add what the setting film gives its flakes at places (N,) to slopes (N,)."""
    for k in range(2):
        per_m = _RIPPLES_PER_M[k]
        kept = 1.0 / (1.0 + (2.0 * footprint_m * per_m) ** 2)
        if kept >= FAINT:
            depth = RIPPLE_SLOPE * _RIPPLE_PART[k] * kept
            add_slope(x_m, y_m, per_m, TURN * (40 + k), 40 + k, depth, sx, sy)
