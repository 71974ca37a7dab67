"""The composition of the whole floor: one slow field whose zero line is the current."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from shapely import Polygon

from kit.kernels import kernel
from kit.pour.block import (
    BAND,
    CX,
    CY,
    NDX,
    NDY,
    NV,
    NX,
    NY,
    Q_X,
    Q_Y,
    SIZE,
    U0,
    U1,
    U2,
    U3,
    U4,
    N,
    Q,
)
from kit.pour.noise import F, noise, power_of_e, salted, sine_of_turns
from kit.units import M_PER_FT

SALTS = 64
BAY_FT = 11.0
"""Spacing of the lanes a floor is poured in. [ft]"""
_SMALL = F(0.42)


class Lie(NamedTuple):
    """Scale, lie and salts of one floor's composition, as a kernel reads them.

    Parameters
    ----------
    cos, sin : float32
        Of the long axis against east.
    scale_ft, width_ft : float32
        Size of the largest moves, half width of the current. [ft]
    salts : (SALTS,) uint32
        One for each noise.
    """

    cos: np.float32
    sin: np.float32
    scale_ft: np.float32
    width_ft: np.float32
    salts: NDArray[np.uint32]


def compose(surface: Polygon, seed: int, *, sweep: float, calm: float) -> Lie:
    """Fit the composition to a floor: its size sets the scale, its long side the lie."""
    scale_ft = float(np.clip(0.62 * np.sqrt(surface.area) / M_PER_FT, 10.0, 34.0)) * sweep
    corners = np.asarray(surface.minimum_rotated_rectangle.exterior.coords)
    sides = np.diff(corners[:3], axis=0)
    east, north = sides[np.argmax(np.hypot(*sides.T))]
    tilt = (int(salted(seed, 9001)) / 2**32 - 0.5) * 0.7
    angle = np.arctan2(north, east) % np.pi + tilt
    width_ft = 3.2 * 3.0 ** (1.0 - 2.0 * calm)
    return Lie(
        cos=np.float32(np.cos(angle)),
        sin=np.float32(np.sin(angle)),
        scale_ft=np.float32(scale_ft),
        width_ft=np.float32(width_ft),
        salts=np.array([salted(seed, name) for name in range(SALTS)], np.uint32),
    )


@kernel()
def current(s: NDArray[np.float32], lie: Lie) -> None:
    """Fill Q, its slope and the band of the current at rows CX, CY."""
    cos, sin, salts = lie.cos, lie.sin, lie.salts
    wave = F(1) / lie.scale_ft
    small = F(0.6) / (_SMALL * lie.scale_ft)
    narrow = wave / _SMALL
    lanes = F(1.0 / BAY_FT)
    for i in range(N):
        a, b = cos * s[CX + i] + sin * s[CY + i], cos * s[CY + i] - sin * s[CX + i]
        s[U0 + i], s[U1 + i] = a, b
        s[NX + i], s[NY + i] = F(0.8) * a * wave, F(0.8) * b * wave
    noise(s, salts[0])
    for i in range(N):
        bend = F(0.35) * s[NV + i]
        s[U2 + i] = F(0.35 * 0.8) * wave * s[NDX + i]
        s[U3 + i] = F(0.35 * 0.8) * wave * s[NDY + i]
        s[NX + i] = F(0.62) * s[U0 + i] * wave + bend
        s[NY + i] = s[U1 + i] * wave + bend
    noise(s, salts[1])
    for i in range(N):
        both = s[NDX + i] + s[NDY + i]
        s[U4 + i] = s[NV + i]
        s[U2 + i] = F(0.62) * wave * s[NDX + i] + both * s[U2 + i]
        s[U3 + i] = wave * s[NDY + i] + both * s[U3 + i]
        s[NX + i] = small * s[U0 + i]
        s[NY + i] = narrow * s[U1 + i]
    noise(s, salts[2])
    for i in range(N):
        turns = s[U1 + i] * lanes + F(0.35) * s[U4 + i]
        bay, slope = (
            sine_of_turns(turns),
            F(0.10 * 6.2831853) * sine_of_turns(turns + F(0.25)),
        )
        large = F(1.35) + F(0.35) * slope
        value = F(1.35) * s[U4 + i] + F(0.26) * s[NV + i] + F(0.10) * bay
        q_a = large * s[U2 + i] + F(0.26) * small * s[NDX + i]
        q_b = large * s[U3 + i] + F(0.26) * narrow * s[NDY + i] + slope * lanes
        s[Q + i] = value
        s[Q_X + i] = cos * q_a - sin * q_b
        s[Q_Y + i] = sin * q_a + cos * q_b
        slope_ = np.sqrt(q_a * q_a + q_b * q_b) + F(0.35) * wave
        off = value / (slope_ * lie.width_ft)
        s[BAND + i] = power_of_e(-off * off)


@kernel()
def current_at(
    x: NDArray[np.float32], y: NDArray[np.float32], lie: Lie, out: NDArray[np.float32]
) -> None:
    """Fill `out` (4, M) with Q, its slope and the band at M places."""
    s = np.zeros(SIZE, np.float32)
    for first in range(0, x.size, N):
        lanes = min(N, x.size - first)
        for i in range(N):
            s[CX + i] = x[first + min(i, lanes - 1)]
            s[CY + i] = y[first + min(i, lanes - 1)]
        current(s, lie)
        for i in range(lanes):
            out[0, first + i], out[1, first + i] = s[Q + i], s[Q_X + i]
            out[2, first + i], out[3, first + i] = s[Q_Y + i], s[BAND + i]
