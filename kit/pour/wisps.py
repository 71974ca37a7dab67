"""What floats over the ribbons: clouds and wisps, less sheared than what they cover."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from kit.kernels import kernel
from kit.pour.block import (
    BAND,
    BLEED,
    CLOUD,
    CRISP,
    CX,
    CY,
    FOOT,
    LATE_X,
    LATE_Y,
    MID_X,
    MID_Y,
    NDX,
    NDY,
    NV,
    NX,
    NY,
    POUR_X,
    POUR_Y,
    SLOW_A,
    SLOW_B,
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
    WORK,
    N,
)
from kit.pour.colours import Paint
from kit.pour.composition import Lie
from kit.pour.noise import F, noise, smooth_step

DIFFUSION_FT = F(0.006)
"""How far colours bleed where nothing is worked. [ft]"""


@kernel(forceinline=True)
def wave_in(
    s: NDArray[np.float32], x: int, y: int, per_ft: np.float32, salt: np.uint32
) -> None:
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


@kernel(forceinline=True)
def keep(s: NDArray[np.float32], value: int, x: int, y: int) -> None:
    """Keep the last noise and its slope in three rows."""
    for i in range(N):
        s[value + i], s[x + i], s[y + i] = s[NV + i], s[NDX + i], s[NDY + i]


@kernel(forceinline=True)
def keep_value(s: NDArray[np.float32], value: int) -> None:
    """Keep the last noise alone."""
    for i in range(N):
        s[value + i] = s[NV + i]


@kernel()
def float_wisps(
    s: NDArray[np.float32],
    paint: Paint,
    lie: Lie,
) -> None:
    """Clouds and wisps of the later frames, and how crisp edges are."""
    wave_in(s, MID_X, MID_Y, F(0.42), lie.salts[10])
    keep(s, W0, W0_X, W0_Y)
    wave_in(s, MID_X, MID_Y, F(0.95), lie.salts[11])
    keep(s, W1, W1_X, W1_Y)
    wave_in(s, MID_X, MID_Y, F(2.3), lie.salts[12])
    keep(s, W2, W2_X, W2_Y)
    wave_in(s, LATE_X, LATE_Y, F(5.2), lie.salts[13])
    keep(s, W3, W3_X, W3_Y)
    wave_in(s, MID_X, MID_Y, F(11.0), lie.salts[14])
    keep(s, W4, W4_X, W4_Y)
    wave_in(s, LATE_X, LATE_Y, F(27.0), lie.salts[29])
    keep_value(s, W5)
    wave_in(s, MID_X, MID_Y, F(0.45), lie.salts[15])
    keep_value(s, CLOUD)
    wave_in(s, POUR_X, POUR_Y, F(1.0 / 30.0), lie.salts[16])
    keep_value(s, SLOW_A)
    wave_in(s, POUR_X, POUR_Y, F(1.0 / 13.0), lie.salts[17])
    keep_value(s, SLOW_B)
    lift = F(1.4) * (paint.crisp - F(0.5))
    for i in range(N):
        cr = smooth_step(
            F(0.56)
            + lift
            + F(0.75) * s[W0 + i]
            + F(0.55) * s[W1 + i]
            + F(0.25) * s[BAND + i]
        )
        smoke = F(1) - cr
        s[CRISP + i] = cr
        worked = (F(1) + F(5) * smoke * smoke) * (F(1) + F(0.8) * s[WORK + i])
        s[BLEED + i] = DIFFUSION_FT * paint.meld * worked


@kernel()
def float_veil(
    s: NDArray[np.float32],
    lie: Lie,
) -> None:
    """Set rows CX, CY to where the veil above this place was poured."""
    wave_in(s, MID_X, MID_Y, F(0.38), lie.salts[25])
    for i in range(N):
        s[CX + i] = s[POUR_X + i] + F(0.75) * s[NDY + i] + F(0.22) * s[W1_Y + i]
        s[CY + i] = s[POUR_Y + i] - F(0.75) * s[NDX + i] - F(0.22) * s[W1_X + i]
