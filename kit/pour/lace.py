"""Cells and lacing, where solvent opens the film."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from kit.kernels import kernel
from kit.pour.block import (
    BAND,
    CELL,
    CLOUD,
    FOOT,
    GAP,
    HOLE,
    LACE,
    LATE_X,
    LATE_Y,
    MID_X,
    MID_Y,
    NDX,
    NDY,
    NV,
    NX,
    NY,
    RIM,
    W0,
    W2,
    W3,
    N,
)
from kit.pour.colours import Paint
from kit.pour.composition import Lie
from kit.pour.noise import F, cells, power_of_e, smooth_step


@kernel()
def open_cells(
    s: NDArray[np.float32],
    paint: Paint,
    lie: Lie,
) -> None:
    """Cells and lacing, where the film is lively: rows LACE, HOLE and RIM."""
    some, wider = min(paint.lace, F(1)), F(0.9) * max(paint.lace - F(1), F(0))
    any_ = F(0)
    for i in range(N):
        open_ = F(-0.30) + F(1.5) * s[W0 + i] + F(0.8) * s[BAND + i] + F(0.5) * s[CLOUD + i]
        s[CELL + i] = some * min(max(open_ + wider, F(0)), F(1))
        any_ += s[CELL + i]
        s[LACE + i] = F(0)
        s[HOLE + i] = F(0)
        s[RIM + i] = F(0)
    if any_ <= F(0):
        return
    for i in range(N):
        s[NX + i] = (
            F(2.1) * (F(0.6) * s[MID_X + i] + F(0.4) * s[LATE_X + i]) + F(0.45) * s[W2 + i]
        )
        s[NY + i] = (
            F(2.1) * (F(0.6) * s[MID_Y + i] + F(0.4) * s[LATE_Y + i]) + F(0.45) * s[W3 + i]
        )
    cells(s, 3, lie.salts[22])
    for i in range(N):
        border = F(0.10) + F(2) * s[FOOT + i]
        gap = (s[NDX + i] - s[NV + i]) / border
        s[LACE + i] = s[CELL + i] * F(0.10) / border * power_of_e(-gap * gap)
    for size in range(2):
        per_ft = F(4.5) if size == 0 else F(11.0)
        for i in range(N):
            s[NX + i], s[NY + i] = per_ft * s[LATE_X + i], per_ft * s[LATE_Y + i]
        cells(s, 2, lie.salts[23 + size])
        for i in range(N):
            lively = s[CELL + i]
            h = s[NDY + i]
            there = smooth_step(F(8) * (F(0.5) * lively - h))
            radius = there * (F(0.16) + F(0.6) * h)
            soft = F(0.07) + per_ft * s[FOOT + i]
            inside = (radius - s[NV + i]) / soft
            shown = there * F(0.07) / soft
            s[HOLE + i] = max(s[HOLE + i], there * smooth_step(F(0.5) + inside))
            s[RIM + i] = max(s[RIM + i], shown * power_of_e(-inside * inside))


@kernel()
def fill_cells(s: NDArray[np.float32], mix: NDArray[np.float32], colours: int) -> None:
    """Inside a cell the colours that are fewer here come through; none that is absent."""
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
