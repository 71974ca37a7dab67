"""What the film does besides its colour: wisps, silk, veins, cells, thickness, lean."""

from __future__ import annotations

import numpy as np
from numba import njit
from numpy.typing import NDArray

from kit.pour.block import (
    ACROSS, ACROSS_X, ACROSS_Y, ALONG, BAND, BLEED, CELL, CLOUD, CRISP, CROWD_X, CROWD_Y, CX, CY, FOOT, GAP, HOLE, J00,
    J01, J10, J11, LACE, LATE_X, LATE_Y, LEAN_X, LEAN_Y, MID_X, MID_Y, NDX, NDY, NV, NX, NY, POUR_X,
    POUR_Y, Q_X, Q_Y, RIM, S0, S1, S2, S3, SLOW_A, SLOW_B, STRETCH_X, STRETCH_Y, THICK, U0, U1, U2,
    VEIL, VEIN0, VEIN1, W0, W0_X, W0_Y, W1, W1_X, W1_Y, W2, W2_X, W2_Y, W3, W3_X, W3_Y, W4, WORK, N,
    Q,
)  # fmt: skip
from kit.pour.colours import CRISPNESS, GLOW, LACING, MELD, SILK, VEILING, VEINS
from kit.pour.composition import COS, SCALE, SIN
from kit.pour.noise import COMPILE, F, cells, noise, power_of_e, smooth_step

DIFFUSION_FT = F(0.006)
"""How far colours bleed where nothing is worked. [ft]"""


@njit(**COMPILE)
def wave_in(s: NDArray[np.float32], x: int, y: int, per_ft: np.float32, salt: np.uint32) -> None:
    """Noise of one frequency in one frame, faded where a pixel cannot show it."""
    for i in range(N):
        s[NX + i], s[NY + i] = s[x + i] * per_ft, s[y + i] * per_ft
    noise(s, salt)
    for i in range(N):
        blur = F(1.5) * per_ft * s[FOOT + i]
        fade = F(1) / (F(1) + blur * blur)
        s[NV + i] *= fade
        s[NDX + i] *= fade
        s[NDY + i] *= fade


@njit(**COMPILE)
def keep(s: NDArray[np.float32], value: int, x: int, y: int) -> None:
    """Keep the last noise and its slope in three rows."""
    for i in range(N):
        s[value + i], s[x + i], s[y + i] = s[NV + i], s[NDX + i], s[NDY + i]


@njit(**COMPILE)
def float_wisps(s: NDArray[np.float32], knobs: NDArray[np.float32], salts: NDArray[np.uint32]) -> None:
    """Clouds and wisps of the later frames, and how crisp edges are."""
    wave_in(s, MID_X, MID_Y, F(0.42), salts[10])
    keep(s, W0, W0_X, W0_Y)
    wave_in(s, MID_X, MID_Y, F(0.95), salts[11])
    keep(s, W1, W1_X, W1_Y)
    wave_in(s, MID_X, MID_Y, F(2.3), salts[12])
    keep(s, W2, W2_X, W2_Y)
    wave_in(s, LATE_X, LATE_Y, F(5.2), salts[13])
    keep(s, W3, W3_X, W3_Y)
    wave_in(s, MID_X, MID_Y, F(11.0), salts[14])
    keep(s, W4, U0, U1)
    wave_in(s, MID_X, MID_Y, F(0.45), salts[15])
    keep(s, CLOUD, U0, U1)
    wave_in(s, POUR_X, POUR_Y, F(1.0 / 30.0), salts[16])
    keep(s, SLOW_A, U0, U1)
    wave_in(s, POUR_X, POUR_Y, F(1.0 / 13.0), salts[17])
    keep(s, SLOW_B, U0, U1)
    lift = F(1.4) * (knobs[CRISPNESS] - F(0.5))
    for i in range(N):
        cr = smooth_step(F(0.56) + lift + F(0.75) * s[W0 + i] + F(0.55) * s[W1 + i] + F(0.25) * s[BAND + i])
        smoke = F(1) - cr
        s[CRISP + i] = cr
        worked = (F(1) + F(5) * smoke * smoke) * (F(1) + F(0.8) * s[WORK + i])
        s[BLEED + i] = DIFFUSION_FT * knobs[MELD] * worked


@njit(**COMPILE)
def draw_silk(s: NDArray[np.float32], lie: NDArray[np.float32], salts: NDArray[np.uint32]) -> None:
    """Flakes lie along the drawn film: four octaves, three times as long as wide."""
    east, north = lie[COS], lie[SIN]
    for i in range(N):
        x, y = s[ACROSS_X + i], s[ACROSS_Y + i]
        s[CROWD_X + i] = s[J00 + i] * x + s[J10 + i] * y
        s[CROWD_Y + i] = s[J01 + i] * x + s[J11 + i] * y
        s[STRETCH_X + i] = s[J00 + i] * east + s[J10 + i] * north
        s[STRETCH_Y + i] = s[J01 + i] * east + s[J11 + i] * north
        s[LEAN_X + i] = F(0)
        s[LEAN_Y + i] = F(0)
    silk_octave(s, S0, F(0.15), F(0.045), F(0.50), F(0.16), salts[18])
    silk_octave(s, S1, F(0.42), F(0.12), F(0.50), F(0.50), salts[19])
    silk_octave(s, S2, F(1.15), F(0.30), F(0.32), F(1.6), salts[20])
    silk_octave(s, S3, F(3.1), F(0.9), F(0.13), F(4.0), salts[21])


@njit(**COMPILE)
def silk_octave(
    s: NDArray[np.float32], row: int, wide: np.float32, long: np.float32, most: np.float32,
    half: np.float32, salt: np.uint32,
) -> None:  # fmt: skip
    """One octave of silk; its slope is bounded, else shear turns it to glass fibre."""
    for i in range(N):
        s[NX + i], s[NY + i] = s[ACROSS + i] * wide, s[ALONG + i] * long
    noise(s, salt)
    for i in range(N):
        ax, ay = wide * s[CROWD_X + i], wide * s[CROWD_Y + i]
        lx, ly = long * s[STRETCH_X + i], long * s[STRETCH_Y + i]
        crowd = ax * ax + ay * ay + lx * lx + ly * ly
        blur = F(1.3) * s[FOOT + i] + F(2.5) * s[BLEED + i]
        fade = F(1) / (F(1) + crowd * blur * blur)
        gx, gy = s[NDX + i] * ax + s[NDY + i] * lx, s[NDX + i] * ay + s[NDY + i] * ly
        bound = fade * most / (np.sqrt(gx * gx + gy * gy) + half)
        s[LEAN_X + i] += bound * gx
        s[LEAN_Y + i] += bound * gy
        s[U2 + i] = fade * s[NV + i]
    for i in range(N):
        s[row + i] = s[U2 + i]


@njit(**COMPILE)
def draw_vein(
    s: NDArray[np.float32], row: int, per_ft: np.float32, width: np.float32, smoky: np.float32,
    weight: np.float32, salt: np.uint32,
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
        vein = weight * width / (wide * (F(1) + F(0.6) * s[WORK + i])) * power_of_e(-off * off)
        flank = F(0.5) * vein * min(max(off, F(-2)), F(2)) * steep
        s[LEAN_X + i] += flank * gx
        s[LEAN_Y + i] += flank * gy
        s[U2 + i] = vein
    for i in range(N):
        s[row + i] = s[U2 + i]


@njit(**COMPILE)
def open_cells(s: NDArray[np.float32], knobs: NDArray[np.float32], salts: NDArray[np.uint32]) -> None:
    """Cells and lacing, where the film is lively: rows LACE, HOLE and RIM."""
    most = F(0)
    for i in range(N):
        open_ = F(-0.30) + F(1.5) * s[W0 + i] + F(0.8) * s[BAND + i] + F(0.5) * s[CLOUD + i]
        s[CELL + i] = knobs[LACING] * min(max(open_, F(0)), F(1))
        most = max(most, s[CELL + i])
        s[LACE + i] = F(0)
        s[HOLE + i] = F(0)
        s[RIM + i] = F(0)
    if most <= F(0):
        return
    for i in range(N):
        s[NX + i] = F(2.1) * (F(0.6) * s[MID_X + i] + F(0.4) * s[LATE_X + i]) + F(0.45) * s[W2 + i]
        s[NY + i] = F(2.1) * (F(0.6) * s[MID_Y + i] + F(0.4) * s[LATE_Y + i]) + F(0.45) * s[W3 + i]
    cells(s, salts[22])
    for i in range(N):
        border = F(0.10) + F(2) * s[FOOT + i]
        gap = (s[NDX + i] - s[NV + i]) / border
        s[LACE + i] = s[CELL + i] * F(0.10) / border * power_of_e(-gap * gap)
    for size in range(2):
        per_ft = F(4.5) if size == 0 else F(11.0)
        for i in range(N):
            s[NX + i], s[NY + i] = per_ft * s[LATE_X + i], per_ft * s[LATE_Y + i]
        cells(s, salts[23 + size])
        for i in range(N):
            lively = s[CELL + i]
            h = s[NDY + i]
            there = F(1) if h < F(0.5) * lively else F(0)
            radius = F(0.16) + F(0.6) * h
            soft = F(0.07) + per_ft * s[FOOT + i]
            inside = (radius - s[NV + i]) / soft
            shown = there * F(0.07) / soft
            s[HOLE + i] = max(s[HOLE + i], there * smooth_step(F(0.5) + inside))
            s[RIM + i] = max(s[RIM + i], shown * power_of_e(-inside * inside))


@njit(**COMPILE)
def build_film(s: NDArray[np.float32], knobs: NDArray[np.float32]) -> None:
    """Thickness of film and veil, and the flakes' lean, from all that was drawn."""
    glow, silk = knobs[GLOW], knobs[SILK]
    for i in range(N):
        w0, w1, w2, w3, w4 = s[W0 + i], s[W1 + i], s[W2 + i], s[W3 + i], s[W4 + i]
        s0, s1, s2, s3, cloud = s[S0 + i], s[S1 + i], s[S2 + i], s[S3 + i], s[CLOUD + i]
        thin = F(0.55) * w1 - F(0.5) * s1 + F(0.40) * w2 - F(0.35) * cloud + F(0.3) * s2
        thin = max(F(0), thin - F(0.34) + F(0.22) * (s[BAND + i] - F(0.5)))
        lie = F(0.40) * s0 + F(0.42) * s1 + F(0.28) * s2 + F(0.14) * s3 + F(0.06) * w4
        lie += F(0.26) * w1 + F(0.20) * w2 + F(0.07) * w3 + F(0.38) * cloud + F(0.25) * w0
        lie -= F(1.9) * thin + F(0.30) * s[VEIN0 + i] + F(0.26) * s[VEIN1 + i]
        lie -= F(0.17) * s[LACE + i] + F(0.30) * s[RIM + i] - F(0.22) * s[HOLE + i]
        t = F(0.86) + F(0.10) * (F(1) - glow) + glow * lie
        s[THICK + i] = F(0.5) * (t + np.sqrt(t * t + F(0.03)))
        u = F(0.34) + F(0.62) * w0 + F(0.50) * w1 + F(0.34) * w2 + F(0.16) * w3 + F(0.09) * w4
        u -= F(0.25) * s1 + F(0.15) * cloud
        s[VEIL + i] = knobs[VEILING] * F(0.5) * (u + np.sqrt(u * u + F(0.02)))
        live = F(0.45) + F(0.55) * s[BAND + i]
        x = s[LEAN_X + i] + F(0.08) * s[W0_X + i]
        y = s[LEAN_Y + i] + F(0.08) * s[W0_Y + i]
        x += live * (F(0.09) * s[W1_X + i] + F(0.06) * s[W2_X + i] + F(0.03) * s[W3_X + i])
        y += live * (F(0.09) * s[W1_Y + i] + F(0.06) * s[W2_Y + i] + F(0.03) * s[W3_Y + i])
        bound = F(0.62) * silk / np.sqrt(F(1) + F(0.8) * (x * x + y * y))
        s[LEAN_X + i] = bound * x
        s[LEAN_Y + i] = bound * y


@njit(**COMPILE)
def float_veil(s: NDArray[np.float32], salts: NDArray[np.uint32]) -> None:
    """Set rows CX, CY to where the veil above this place was poured."""
    wave_in(s, MID_X, MID_Y, F(0.38), salts[25])
    for i in range(N):
        s[CX + i] = s[POUR_X + i] + F(0.75) * s[NDY + i] + F(0.22) * s[W1_Y + i]
        s[CY + i] = s[POUR_Y + i] - F(0.75) * s[NDX + i] - F(0.22) * s[W1_X + i]


@njit(**COMPILE)
def fill_cells(s: NDArray[np.float32], mix: NDArray[np.float32], table: NDArray[np.float32]) -> None:
    """Inside a cell the colours that are fewer here come through; none that is absent."""
    colours = table.shape[1]
    for i in range(N):
        s[GAP + i] = F(1e-6)
    for k in range(colours):
        for i in range(N):
            s[GAP + i] += mix[k, i] * (F(1) - mix[k, i])
    for k in range(colours):
        for i in range(N):
            fewer = mix[k, i] * (F(1) - mix[k, i])
            mixed = s[GAP + i] / (s[GAP + i] + F(0.12))
            through = F(0.75) * mixed * min(s[HOLE + i], F(1))
            mix[k, i] += through * (fewer / s[GAP + i] - mix[k, i])
