"""How the flakes lie: silk along the drawn film, and the veins a trowel pulls."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from kit.kernels import kernel
from kit.pour.block import (
    ACROSS,
    ACROSS_X,
    ACROSS_Y,
    BLEED,
    CRISP,
    CROWD_X,
    CROWD_Y,
    FOOT,
    J00,
    J01,
    J10,
    J11,
    LEAN_X,
    LEAN_Y,
    LONG,
    LONG_X,
    LONG_Y,
    NDX,
    NDY,
    NV,
    NX,
    NY,
    POUR_X,
    POUR_Y,
    S0,
    S1,
    S2,
    S3,
    STRETCH_X,
    STRETCH_Y,
    U2,
    WORK,
    N,
)
from kit.pour.composition import Lie
from kit.pour.noise import F, noise, power_of_e


@kernel()
def draw_silk(
    s: NDArray[np.float32],
    lie: Lie,
) -> None:
    """Flakes lie along the drawn film: the broad octaves, far longer than wide."""
    for i in range(N):
        east, north = s[LONG_X + i], s[LONG_Y + i]
        x, y = s[ACROSS_X + i], s[ACROSS_Y + i]
        s[CROWD_X + i] = s[J00 + i] * x + s[J10 + i] * y
        s[CROWD_Y + i] = s[J01 + i] * x + s[J11 + i] * y
        s[STRETCH_X + i] = s[J00 + i] * east + s[J10 + i] * north
        s[STRETCH_Y + i] = s[J01 + i] * east + s[J11 + i] * north
        s[LEAN_X + i], s[LEAN_Y + i] = F(0), F(0)
    silk_octave(s, S0, F(0.15), F(0.045), F(0.50), F(0.16), lie.salts[18])
    silk_octave(s, S1, F(0.42), F(0.13), F(0.50), F(0.50), lie.salts[19])
    silk_octave(s, S2, F(1.15), F(0.30), F(0.32), F(1.6), lie.salts[20])


@kernel()
def draw_fine_silk(s: NDArray[np.float32], lie: Lie) -> None:
    """The finest octave of silk, which a mesh would not tell."""
    silk_octave(s, S3, F(3.1), F(0.85), F(0.10), F(4.0), lie.salts[21])


@kernel()
def silk_octave(
    s: NDArray[np.float32], row: int, wide: np.float32, long: np.float32, most: np.float32,
    half: np.float32, salt: np.uint32,
) -> None:  # fmt: skip
    """One octave of silk; its slope is bounded, else shear turns it to glass fibre."""
    for i in range(N):
        s[NX + i], s[NY + i] = s[ACROSS + i] * wide, s[LONG + i] * long
    noise(s, salt)
    for i in range(N):
        ax, ay = wide * s[CROWD_X + i], wide * s[CROWD_Y + i]
        lx, ly = long * s[STRETCH_X + i], long * s[STRETCH_Y + i]
        crowd = ax * ax + ay * ay + lx * lx + ly * ly
        blur = F(1.9) * s[FOOT + i] + F(2.5) * s[BLEED + i]
        fade = F(1) / (F(1) + crowd * blur * blur)
        gx, gy = s[NDX + i] * ax + s[NDY + i] * lx, s[NDX + i] * ay + s[NDY + i] * ly
        bound = fade * most / (np.sqrt(gx * gx + gy * gy) + half)
        s[LEAN_X + i] += bound * gx
        s[LEAN_Y + i] += bound * gy
        s[U2 + i] = fade * s[NV + i]
    for i in range(N):
        s[row + i] = s[U2 + i]


@kernel()
def draw_vein(
    s: NDArray[np.float32], row: int, per_ft: np.float32, width: np.float32,
    smoky: np.float32, weight: np.float32, salt: np.uint32,
) -> None:  # fmt: skip
    """A ridge where sheared noise crosses zero: one flank bright, one dark."""
    for i in range(N):
        s[NX + i], s[NY + i] = s[POUR_X + i] * per_ft, s[POUR_Y + i] * per_ft
    noise(s, salt)
    for i in range(N):
        x, y = per_ft * s[NDX + i], per_ft * s[NDY + i]
        gx, gy = s[J00 + i] * x + s[J10 + i] * y, s[J01 + i] * x + s[J11 + i] * y
        steep = F(1) / (np.sqrt(gx * gx + gy * gy) + F(1e-3))
        wide = width + smoky * (F(1) - s[CRISP + i]) + F(0.6) * s[FOOT + i]
        off = s[NV + i] * steep / wide
        vein = (
            weight * width / (wide * (F(1) + F(0.6) * s[WORK + i])) * power_of_e(-off * off)
        )
        flank = F(0.5) * vein * min(max(off, F(-2)), F(2)) * steep
        s[LEAN_X + i] += flank * gx
        s[LEAN_Y + i] += flank * gy
        s[U2 + i] = vein
    for i in range(N):
        s[row + i] = s[U2 + i]
