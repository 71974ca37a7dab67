"""Fine structure the film does not carry: glints of single flakes, orange peel of the coat.

Both depend on the place in metres only, so they stay put under any view, and
both fade as a pixel grows past them.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from kit.look.compiled import Grid, formula, inlined, loop, prange

FLAKES_PER_M2 = 2.7e6
"""Flakes that can glint; common practice, no source."""
PEEL_SLOPE = 0.0012
"""Typical slope of a rolled coat's waviness; judged by eye. [rise over run]"""

FAINT = 0.05
"""What keeps less of itself in a pixel is left out."""

TURN = 2.4
"""The golden angle, by salt: no two octaves, nor walls, along one lattice. [rad]"""

_F, _U = np.float32, np.uint32
_ACROSS, _UP = _U(0x9E3779B1), _U(0x85EBCA77)

_PEEL_PER_M = (7.2, 20.0, 56.0)
_PEEL_PART = (0.55, 0.80, 0.40)


@inlined
def hashed(i: Any, j: Any, k: int) -> float:
    """Even number in [0, 1) from three integers; integer mixing after [Wellons2018]."""
    return _even(_U(_column(i) ^ _row(j)), k)


@inlined
def _column(i: Any) -> Any:
    return _U(_U(i) * _ACROSS)


@inlined
def _row(j: Any) -> Any:
    return _U(_U(j) * _UP)


@inlined
def _even(word: Any, k: int) -> float:
    """Even number in [0, 1) from a lattice point's word and a salt."""
    h = _U(word + _U(_U(k) * _U(0xC2B2AE3D)))
    h = _U(_U(h ^ _U(h >> _U(16))) * _U(0x7FEB352D))
    h = _U(_U(h ^ _U(h >> _U(15))) * _U(0x846CA68B))
    h = _U(h ^ _U(h >> _U(16)))
    # 24 bits are a float32 to the last; signed, because more processors turn those
    count: Any = _F(np.int32(_U(h & _U(0xFFFFFF))))
    even: float = count * _F(1.0 / 16777216.0)
    return even


@inlined
def corners_of(i: Any, j: Any, salt: int) -> tuple[float, float, float, float]:
    """`hashed` at a lattice square's corners, the two lower ones first, west first."""
    west, south = _column(i), _row(j)
    east, north = _U(west + _ACROSS), _U(south + _UP)
    return (
        _even(_U(west ^ south), salt),
        _even(_U(east ^ south), salt),
        _even(_U(west ^ north), salt),
        _even(_U(east ^ north), salt),
    )


@formula
def glint(x_m: float, y_m: float, footprint_m: float) -> float:
    """Brightness of a pixel's flakes against their mean: many are even, few are not."""
    level = math.floor(math.log2(max(footprint_m, 1e-5)))
    blend = math.log2(max(footprint_m, 1e-5)) - level
    return (1.0 - blend) * _flakes_in(x_m, y_m, level) + blend * _flakes_in(
        x_m, y_m, level + 1
    )


@formula
def _flakes_in(x_m: float, y_m: float, level: float) -> float:
    side = 2.0**level
    i, j = math.floor(x_m / side), math.floor(y_m / side)
    expected = FLAKES_PER_M2 * side * side
    spread = 0.0
    for k in range(3):
        spread += hashed(i, j, int(level) * 8 + 64 + k)
    normal = 2.0 * (spread - 1.5)  # three even numbers: unit variance, bounded
    return max(0.0, 1.0 + normal / math.sqrt(max(expected, 1.2)))


@loop
def fill_glints(
    x_m: Grid, y_m: Grid, footprint_m: Grid, strength: float, out: Grid,
) -> None:  # fmt: skip
    """Fill `out` (N,) with glints about one, `strength` of the full swing."""
    for i in prange(len(out)):
        out[i] = 1.0 + strength * (glint(x_m[i], y_m[i], footprint_m[i]) - 1.0)


@formula
def peel(x_m: float, y_m: float, footprint_m: float) -> tuple[float, float, float]:
    """Slope of the coat along x and y, and the variance of slope too fine for the pixel.

    See `add_peel`, which does the same for a strip of pixels as wide as each other.
    """
    sx, sy, lost = 0.0, 0.0, 0.0
    for k in range(3):
        per_m = _PEEL_PER_M[k]
        part = _PEEL_PART[k] * PEEL_SLOPE
        kept = 1.0 / (1.0 + (1.5 * footprint_m * per_m) ** 2)
        lost += (part * (1.0 - kept)) ** 2
        if kept < FAINT:
            continue
        gx, gy = noise_slope(x_m * per_m, y_m * per_m, k)
        sx += part * kept * gx
        sy += part * kept * gy
    return sx, sy, lost


@formula
def add_peel(x_m: Grid, y_m: Grid, footprint_m: float, sx: Grid, sy: Grid) -> float:
    """Add `peel` at places (N,) to slopes (N,); give the variance that is lost."""
    lost = 0.0
    for k in range(3):
        part = _PEEL_PART[k] * PEEL_SLOPE
        kept = 1.0 / (1.0 + (1.5 * footprint_m * _PEEL_PER_M[k]) ** 2)
        lost += (part * (1.0 - kept)) ** 2
        if kept >= FAINT:
            add_slope(x_m, y_m, _PEEL_PER_M[k], 0.0, k, part * kept, sx, sy)
    return lost


@formula
def add_slope(
    x_m: Grid, y_m: Grid, per_m: float, angle: float, salt: int, depth: float, sx: Grid,
    sy: Grid,
) -> None:  # fmt: skip
    """Add so much of `noise_slope` on a turned lattice at places (N,) to slopes (N,)."""
    cos, sin = math.cos(angle), math.sin(angle)
    cos_per, sin_per = _F(cos * per_m), _F(sin * per_m)
    cos_deep, sin_deep = _F(cos * depth), _F(sin * depth)
    for i in range(len(sx)):
        along, across = (
            cos_per * x_m[i] + sin_per * y_m[i],
            cos_per * y_m[i] - sin_per * x_m[i],
        )
        gx, gy = noise_slope(along, across, salt)
        sx[i] += cos_deep * gx - sin_deep * gy
        sy[i] += cos_deep * gy + sin_deep * gx


@inlined
def noise_slope(x: Any, y: Any, salt: int) -> tuple[Any, Any]:
    """Gradient of value noise on the unit lattice, smooth to second order, about one."""
    left, below = np.floor(x), np.floor(y)
    u, v = _F(x - left), _F(y - below)
    i, j = np.int32(left), np.int32(below)
    a, b, c, d = corners_of(i, j, salt)
    su, sv = _eased(u), _eased(v)
    du, dv = u * (u - _F(1.0)), v * (v - _F(1.0))
    twist = a - b - c + d
    return (
        _F(60.0) * du * du * (b - a + sv * twist),
        _F(60.0) * dv * dv * (c - a + su * twist),
    )


@inlined
def _eased(u: Any) -> Any:
    return u * u * u * (u * (u * _F(6.0) - _F(15.0)) + _F(10.0))


@formula
def turned_slope(x: float, y: float, per_m: float, salt: int) -> tuple[float, float]:
    """`noise_slope` of `per_m` cells a metre, its lattice turned by its own angle."""
    angle = TURN * salt
    cos, sin = math.cos(angle), math.sin(angle)
    gx, gy = noise_slope((cos * x + sin * y) * per_m, (cos * y - sin * x) * per_m, salt)
    return cos * gx - sin * gy, cos * gy + sin * gx


@formula
def turned_noise(x: float, y: float, per_m: float, salt: int) -> float:
    """Value noise of `per_m` cells a metre in [-1, 1], its lattice turned as above."""
    angle = TURN * salt
    cos, sin = math.cos(angle), math.sin(angle)
    p, q = (cos * x + sin * y) * per_m, (cos * y - sin * x) * per_m
    i, j = math.floor(p), math.floor(q)
    u, v = p - i, q - j
    su, sv = u * u * u * (u * (u * 6 - 15) + 10), v * v * v * (v * (v * 6 - 15) + 10)
    a, b, c, d = corners_of(i, j, salt)
    low, high = a + su * (b - a), c + su * (d - c)
    return 2.0 * (low + sv * (high - low)) - 1.0
