"""The film's build and lean, from all that was drawn in it."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from kit.kernels import kernel
from kit.pour.block import (
    BAND,
    CLOUD,
    HOLE,
    LEAN_X,
    LEAN_Y,
    RIM,
    S0,
    S1,
    S2,
    S3,
    THICK,
    THREAD0,
    THREAD1,
    VEIL,
    VEIN,
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
    N,
)
from kit.pour.colours import Paint
from kit.pour.noise import F


@kernel()
def lean_broadly(s: NDArray[np.float32]) -> None:
    """Flakes lean down the slopes of the broad wisps."""
    for i in range(N):
        live = F(0.10) * (F(0.50) + F(0.50) * s[BAND + i])
        s[LEAN_X + i] += F(0.13) * s[W0_X + i] + live * s[W1_X + i]
        s[LEAN_Y + i] += F(0.13) * s[W0_Y + i] + live * s[W1_Y + i]


@kernel()
def build_film(s: NDArray[np.float32], paint: Paint) -> None:
    """Thickness of film and veil, and the flakes' lean, from all that was drawn."""
    glow, silk = F(1.4) * paint.glow, paint.silk
    for i in range(N):
        w0, w1, w2, w3, w4 = s[W0 + i], s[W1 + i], s[W2 + i], s[W3 + i], s[W4 + i]
        s0, s1, s2, s3, cloud = s[S0 + i], s[S1 + i], s[S2 + i], s[S3 + i], s[CLOUD + i]
        thin = F(0.55) * w1 - F(0.5) * s1 + F(0.40) * w2 - F(0.35) * cloud + F(0.3) * s2
        thin = max(F(0), thin - F(0.34) + F(0.22) * (s[BAND + i] - F(0.5)))
        lie = (
            F(0.40) * s0
            + F(0.42) * s1
            + F(0.28) * s2
            + F(0.14) * s3
            + F(0.06) * w4
            + F(0.05) * s[W5 + i]
        )
        lie += F(0.26) * w1 + F(0.20) * w2 + F(0.07) * w3 + F(0.38) * cloud + F(0.25) * w0
        # what nobody works levels itself
        lie *= F(0.80) + F(0.20) * s[BAND + i]
        lie -= (F(0.7) + F(1.5) * s[BAND + i]) * thin + F(0.30) * s[VEIN + i]
        fine = F(0.13) * s[THREAD0 + i] + F(0.10) * s[THREAD1 + i]
        hole, rim = s[HOLE + i], s[RIM + i]
        lie += fine + F(0.22) * rim - F(0.16) * hole
        t = F(0.86) + F(0.10) * (F(1) - glow) + glow * lie
        s[THICK + i] = F(0.5) * (t + np.sqrt(t * t + F(0.04)))
        u = (
            F(0.27)
            + F(0.85) * w0
            + F(0.68) * w1
            + F(0.50) * w2
            + F(0.26) * w3
            + F(0.14) * w4
        )
        u += F(0.9) * fine + F(0.7) * rim - F(0.15) * cloud
        # it is drawn out as the film is
        u += F(0.35) * s2 + F(0.25) * s3 - F(0.25) * s1
        open_ = F(1) - F(0.8) * min(hole, F(1))
        s[VEIL + i] = open_ * paint.veil * F(0.5) * (u + np.sqrt(u * u + F(0.02)))
        live, calm = F(0.55) + F(0.45) * s[BAND + i], F(1) - F(0.85) * s[BAND + i]
        w2, w3, w4 = F(0.040) * live, F(0.012) * calm, F(0.019) * live
        x = s[LEAN_X + i] + w2 * s[W2_X + i] + w3 * s[W3_X + i] + w4 * s[W4_X + i]
        y = s[LEAN_Y + i] + w2 * s[W2_Y + i] + w3 * s[W3_Y + i] + w4 * s[W4_Y + i]
        calm = F(0.70) + F(0.30) * s[BAND + i]
        bound = F(1.12) * silk * calm / np.sqrt(F(1) + F(2.3) * (x * x + y * y))
        s[LEAN_X + i] = bound * x
        s[LEAN_Y + i] = bound * y
