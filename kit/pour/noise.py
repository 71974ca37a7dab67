"""Noise from a hash, evaluated over a block: gradient noise and cells.

No table is looked up: lattice points are hashed, so noise costs arithmetic only
and the floor has no period below 2^32 cells.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from kit.kernels import kernel
from kit.lanes import room_for
from kit.pour.block import NDX, NDY, NV, NX, NY, SIZE, U2, U3, N

F = np.float32
INT = np.int32
U = np.uint32

_X, _Y, _M = U(0x9E3779B1), U(0x85EBCA77), U(0x2C1B3C6D)
_15, _16 = U(15), U(16)
_UNIT = F(2.0**-31)
_SCALE = F(1.776 * 2.0**-31)
"""Brings gradients drawn from a square to the strength of unit ones times 1.45."""


@kernel(forceinline=True)
def stir(word: Any) -> Any:
    """Mix the bits of a 32-bit word."""
    word = U(U(word ^ U(word >> _15)) * _M)
    return U(word ^ U(word >> _16))


@kernel(forceinline=True)
def _low(word: Any) -> Any:
    """The lower half of a word as a number within -2^31 to 2^31."""
    return F(INT(U(word << _16)))


@kernel(forceinline=True)
def _high(word: Any) -> Any:
    """The whole word likewise; its upper half tells."""
    return F(INT(word))


@kernel(forceinline=True)
def corners(x: Any, y: Any, salt: Any) -> Any:
    """Where a place lies in its lattice square, and the gradients at the four corners."""
    floor_x, floor_y = np.floor(x), np.floor(y)
    a0 = U(U(INT(floor_x)) * _X)
    b0 = U(U(U(INT(floor_y)) * _Y) ^ salt)
    a1 = U(a0 + _X)
    b1 = U(U(U(U(INT(floor_y)) + U(1)) * _Y) ^ salt)
    h00, h10 = stir(U(a0 + b0)), stir(U(a1 + b0))
    h01, h11 = stir(U(a0 + b1)), stir(U(a1 + b1))
    return (
        (x - floor_x, y - floor_y),
        (_low(h00), _low(h10), _low(h01), _low(h11)),
        (_high(h00), _high(h10), _high(h01), _high(h11)),
    )


@kernel()
def noise(s: NDArray[np.float32], salt: np.uint32) -> None:
    """Gradient noise at rows NX, NY: value to NV, slope to NDX, NDY [Perlin2002]_."""
    for i in range(N):
        (u, v), east, north = corners(s[NX + i], s[NY + i], salt)
        x00, x10, x01, x11 = east
        y00, y10, y01, y11 = north
        u1, v1 = u - F(1), v - F(1)
        n00, n10 = x00 * u + y00 * v, x10 * u1 + y10 * v
        n01, n11 = x01 * u + y01 * v1, x11 * u1 + y11 * v1
        fu, fv = ease(u), ease(v)
        du = F(30) * u * u * u1 * u1
        dv = F(30) * v * v * v1 * v1
        k1, k2, k3 = n10 - n00, n01 - n00, n00 - n10 - n01 + n11
        s[NV + i] = _SCALE * (n00 + fu * k1 + fv * (k2 + fu * k3))
        gx = x00 + fu * (x10 - x00) + fv * (x01 - x00 + fu * (x00 - x10 - x01 + x11))
        gy = y00 + fu * (y10 - y00) + fv * (y01 - y00 + fu * (y00 - y10 - y01 + y11))
        s[NDX + i] = _SCALE * (gx + du * (k1 + fv * k3))
        s[NDY + i] = _SCALE * (gy + dv * (k2 + fu * k3))


@kernel()
def noise_alone(s: NDArray[np.float32], salt: np.uint32) -> None:
    """The value of `noise` at rows NX, NY to NV, without its slope."""
    for i in range(N):
        (u, v), east, north = corners(s[NX + i], s[NY + i], salt)
        u1, v1 = u - F(1), v - F(1)
        n00, n10 = east[0] * u + north[0] * v, east[1] * u1 + north[1] * v
        n01, n11 = east[2] * u + north[2] * v1, east[3] * u1 + north[3] * v1
        lower, upper = n00 + ease(u) * (n10 - n00), n01 + ease(u) * (n11 - n01)
        s[NV + i] = _SCALE * (lower + ease(v) * (upper - lower))


@kernel(forceinline=True)
def ease(t: Any) -> Any:
    """From 0 to 1 with no slope and no bend at either end."""
    return t * t * t * (t * (t * F(6) - F(15)) + F(10))


@kernel()
def still(s: NDArray[np.float32]) -> None:
    """Set rows NV, NDX, NDY to nothing."""
    for i in range(N):
        s[NV + i] = F(0)
        s[NDX + i] = F(0)
        s[NDY + i] = F(0)


@kernel(forceinline=True)
def fade_of(blur_squared: Any) -> Any:
    """What is left of a wave that a pixel blurs: half at a third of it, then nothing."""
    left = max(F(1) - F(0.3) * blur_squared, F(0))
    return left * left


@kernel()
def cells(s: NDArray[np.float32], across: int, salt: np.uint32) -> None:
    """Cells about one random point a lattice square, at rows NX, NY [Worley1996]_.

    NV gets the distance to the nearest point, NDX that to the second nearest, NDY a
    number in [0, 1) of the nearest, U2 and U3 the way to it. Points of `across` squares
    by as many are looked at, the nearest ones: two find every point within 0.58 of a
    side, three all that can be nearest.
    """
    for i in range(N):
        s[NV + i] = F(9)
        s[NDX + i] = F(9)
        s[NDY + i] = F(0)
    back = F(0.5) * F(across - 1)
    for shift in range(across * across):
        right, up = F(shift % across), F(shift // across)
        for i in range(N):
            x, y = s[NX + i], s[NY + i]
            cx = np.floor(x - back) + right
            cy = np.floor(y - back) + up
            h = stir(U(U(U(INT(cx)) * _X) + U(U(U(INT(cy)) * _Y) ^ salt)))
            dx = cx + F(0.5) + F(0.42) * _UNIT * _low(h) - x
            dy = cy + F(0.5) + F(0.42) * _UNIT * _high(h) - y
            d = dx * dx + dy * dy
            near, next_ = s[NV + i], s[NDX + i]
            s[NDX + i] = min(max(d, near), next_)
            s[NDY + i] = F(U(h * _M) >> U(8)) * F(2.0**-24) if d < near else s[NDY + i]
            s[U2 + i] = dx if d < near else s[U2 + i]
            s[U3 + i] = dy if d < near else s[U3 + i]
            s[NV + i] = min(d, near)
    for i in range(N):
        s[NV + i] = np.sqrt(s[NV + i])
        s[NDX + i] = np.sqrt(s[NDX + i])


@kernel(forceinline=True)
def power_of_e(x: Any) -> Any:
    """e^x to 4e-6, x held to [-40, 80]: a polynomial the compiler can vectorise.

    Less would make products too small for the processor to take at full speed.
    """
    t = min(max(x, F(-40)), F(80)) * F(1.4426950408889634)
    whole = np.floor(t + F(0.5))
    f = t - whole
    p = F(1.3333558e-3)
    p = p * f + F(9.6181291e-3)
    p = p * f + F(5.5504109e-2)
    p = p * f + F(2.4022651e-1)
    p = p * f + F(6.9314718e-1)
    p = p * f + F(1)
    return p * np.int32((INT(whole) + INT(127)) << INT(23)).view(np.float32)


@kernel(forceinline=True)
def smooth_step(x: Any) -> Any:
    """0 below 0, 1 above 1, smooth between."""
    t = min(max(x, F(0)), F(1))
    return t * t * (F(3) - F(2) * t)


@kernel(forceinline=True)
def sine_of_turns(turns: Any) -> Any:
    """Sine of so many full turns, to 2e-4."""
    t = turns - np.floor(turns + F(0.5))
    p = t * (F(8) - F(16) * abs(t))
    return p * (F(0.775) + F(0.225) * abs(p))


@kernel()
def noise_at(
    x: NDArray[np.float32],
    y: NDArray[np.float32],
    salt: np.uint32,
    out: NDArray[np.float32],
) -> None:
    """Fill `out` (M,) with gradient noise at M places."""
    s = room_for(SIZE)
    for first in range(0, x.size, N):
        lanes = min(N, x.size - first)
        for i in range(N):
            s[NX + i] = x[first + min(i, lanes - 1)]
            s[NY + i] = y[first + min(i, lanes - 1)]
        noise_alone(s, salt)
        for i in range(lanes):
            out[first + i] = s[NV + i]


def salted(seed: int, name: int) -> np.uint32:
    """Make the salt of one of the seed's noises."""
    word = (seed * 0x9E3779B1 + name * 0x85EBCA77 + 0x165667B1) & 0xFFFFFFFF
    word = ((word ^ word >> 15) * 0x2C1B3C6D) & 0xFFFFFFFF
    return np.uint32(word ^ word >> 13)
