"""What floats over the ribbons: clouds and wisps, less sheared than what they cover."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from kit.kernels import kernel
from kit.pour.block import (
    ACROSS,
    ACROSS_X,
    ACROSS_Y,
    BAND,
    BLEED,
    CLOUD,
    CLOUD_X,
    CLOUD_Y,
    CRISP,
    FOOT,
    LATE_X,
    LATE_Y,
    LONG,
    LONG_X,
    LONG_Y,
    MID_X,
    MID_Y,
    NDX,
    NDY,
    NV,
    NX,
    NY,
    POUR_X,
    POUR_Y,
    Q_X,
    Q_Y,
    SLOW_A,
    SLOW_B,
    SWAY,
    SWAY_X,
    SWAY_Y,
    U0,
    U5,
    U6,
    VEIL_ACROSS,
    VEIL_LONG,
    VEIL_Q,
    VEIL_SWAY,
    VEIL_WIDE,
    W0,
    W0_X,
    W0_Y,
    W1,
    W1_X,
    W1_Y,
    W2,
    W2_X,
    W2_Y,
    W3,
    W3_X,
    W3_Y,
    W4,
    W4_X,
    W4_Y,
    W5,
    WIDE,
    WIDE_X,
    WIDE_Y,
    WORK,
    N,
    Q,
)
from kit.pour.colours import WISPS_PER_FT, Paint
from kit.pour.composition import Lie
from kit.pour.noise import F, fade_of, noise, noise_alone, smooth_step, still

DRAWN = F(0.75)
"""Width of the broad clouds and wisps against their length, which lies along the pour."""
DIFFUSION_FT = F(0.0004)
"""How far colours bleed at a clean cut, an eighth of a millimetre. [ft]"""
_SMOKED = F(30)
"""How many times as far they bleed in smoke, besides."""


@kernel()
def wave_in(
    s: NDArray[np.float32], x: int, y: int, per_ft: np.float32, salt: np.uint32
) -> None:
    """Noise of one frequency in one frame, faded where a pixel cannot show it."""
    finest = F(1.5) * per_ft * min(s[FOOT], s[FOOT + N - 1])
    if fade_of(F(0.8) * finest * finest) <= F(0):
        still(s)
        return
    for i in range(N):
        s[NX + i], s[NY + i] = s[x + i] * per_ft, s[y + i] * per_ft
    noise(s, salt)
    for i in range(N):
        blur = F(1.5) * per_ft * s[FOOT + i]
        fade = fade_of(blur * blur)
        s[NV + i] *= fade
        s[NDX + i] *= fade
        s[NDY + i] *= fade


@kernel(forceinline=True)
def keep(s: NDArray[np.float32], value: int, x: int, y: int) -> None:
    """Keep the last noise and its slope in three rows."""
    for i in range(N):
        s[value + i], s[x + i], s[y + i] = s[NV + i], s[NDX + i], s[NDY + i]


@kernel(forceinline=True)
def keep_drawn(s: NDArray[np.float32], value: int, x: int, y: int) -> None:
    """Keep the last noise, taken along the pour and across, and its slope on the floor."""
    for i in range(N):
        along, aside = DRAWN * s[NDX + i], s[NDY + i]
        s[value + i] = s[NV + i]
        s[x + i] = along * s[LONG_X + i] + aside * s[WIDE_X + i]
        s[y + i] = along * s[LONG_Y + i] + aside * s[WIDE_Y + i]


@kernel()
def value_in(
    s: NDArray[np.float32], row: int, x: int, y: int, per_ft: np.float32, salt: np.uint32
) -> None:
    """The value of `wave_in` alone, to a row."""
    finest = F(1.5) * per_ft * min(s[FOOT], s[FOOT + N - 1])
    if fade_of(F(0.8) * finest * finest) <= F(0):
        still(s)
    else:
        for i in range(N):
            s[NX + i], s[NY + i] = s[x + i] * per_ft, s[y + i] * per_ft
        noise_alone(s, salt)
    for i in range(N):
        blur = F(1.5) * per_ft * s[FOOT + i]
        s[U0 + i] = fade_of(blur * blur) * s[NV + i]
    for i in range(N):
        s[row + i] = s[U0 + i]


@kernel()
def float_clouds(s: NDArray[np.float32], lie: Lie) -> None:
    """Clouds and the broad wisps of the later frames."""
    for i in range(N):
        x, y = s[MID_X + i] - s[POUR_X + i], s[MID_Y + i] - s[POUR_Y + i]
        s[U5 + i] = DRAWN * (s[LONG + i] + s[LONG_X + i] * x + s[LONG_Y + i] * y)
        s[U6 + i] = s[WIDE + i] + s[WIDE_X + i] * x + s[WIDE_Y + i] * y
    wave_in(s, U5, U6, WISPS_PER_FT[0], lie.salts[10])
    keep_drawn(s, W0, W0_X, W0_Y)
    wave_in(s, U5, U6, WISPS_PER_FT[1], lie.salts[11])
    keep_drawn(s, W1, W1_X, W1_Y)
    wave_in(s, U5, U6, F(0.38), lie.salts[15])
    keep_drawn(s, CLOUD, CLOUD_X, CLOUD_Y)


@kernel()
def float_slow_clouds(s: NDArray[np.float32], lie: Lie) -> None:
    """Clouds over which colours' shares drift, from one end of a floor to the other."""
    value_in(s, SLOW_A, POUR_X, POUR_Y, F(1.0 / 30.0), lie.salts[16])
    value_in(s, SLOW_B, POUR_X, POUR_Y, F(1.0 / 13.0), lie.salts[17])


@kernel()
def raise_smoke(s: NDArray[np.float32], paint: Paint, lie: Lie) -> None:
    """The first of the fine wisps, with it how crisp edges are and how far colours bled."""
    wave_in(s, MID_X, MID_Y, WISPS_PER_FT[2], lie.salts[12])
    keep(s, W2, W2_X, W2_Y)
    lift = F(1.4) * (paint.crisp - F(0.5))
    for i in range(N):
        waver = F(0.95) * s[W0 + i] + F(0.75) * s[W1 + i] + F(0.35) * s[W2 + i]
        cr = smooth_step(F(0.42) + lift + waver + F(0.62) * s[BAND + i])
        smoke = F(1) - cr
        s[CRISP + i] = cr
        worked = (F(1) + _SMOKED * smoke * smoke) * (F(1) + F(0.5) * s[WORK + i])
        s[BLEED + i] = DIFFUSION_FT * paint.meld * worked


@kernel()
def float_wisps(s: NDArray[np.float32], lie: Lie) -> None:
    """The other fine wisps."""
    wave_in(s, LATE_X, LATE_Y, WISPS_PER_FT[3], lie.salts[13])
    keep(s, W3, W3_X, W3_Y)
    wave_in(s, MID_X, MID_Y, WISPS_PER_FT[4], lie.salts[14])
    keep(s, W4, W4_X, W4_Y)
    value_in(s, W5, LATE_X, LATE_Y, WISPS_PER_FT[5], lie.salts[29])


@kernel()
def float_veil(s: NDArray[np.float32]) -> None:
    """Tell what ribbons are drawn in where the veil above was poured.

    It floated about a foot at most, so slopes tell what lies there.
    """
    for i in range(N):
        x = F(0.75) * s[CLOUD_Y + i] + F(0.22) * s[W1_Y + i]
        y = -F(0.75) * s[CLOUD_X + i] - F(0.22) * s[W1_X + i]
        s[VEIL_Q + i] = s[Q + i] + s[Q_X + i] * x + s[Q_Y + i] * y
        s[VEIL_LONG + i] = s[LONG + i] + s[LONG_X + i] * x + s[LONG_Y + i] * y
        s[VEIL_WIDE + i] = s[WIDE + i] + s[WIDE_X + i] * x + s[WIDE_Y + i] * y
        s[VEIL_SWAY + i] = s[SWAY + i] + s[SWAY_X + i] * x + s[SWAY_Y + i] * y
        s[VEIL_ACROSS + i] = s[ACROSS + i] + s[ACROSS_X + i] * x + s[ACROSS_Y + i] * y
