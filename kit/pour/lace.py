"""Cells and the lacing between them, where solvent opens the film."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from kit.kernels import kernel
from kit.pour.block import (
    BAND,
    CELL,
    CLOUD,
    FLOOR_X,
    FLOOR_Y,
    FOOT,
    GAP,
    HOLE,
    LATE_X,
    LATE_Y,
    LEAN_X,
    LEAN_Y,
    NDX,
    NDY,
    NV,
    NX,
    NY,
    RIM,
    U0,
    U1,
    U2,
    U3,
    W0,
    W1,
    W2,
    W3,
    W4,
    W5,
    N,
)
from kit.pour.colours import Paint
from kit.pour.composition import Lie
from kit.pour.fine import finest
from kit.pour.noise import F, cells, fade_of, power_of_e, smooth_step

CELLS_PER_FT = (F(11), F(29))
"""Cells a foot of the large kind, 8 to 25 mm wide, and of the small, 3 to 9 mm."""
_MERGED = F(6.0)
"""Blur of cells by a pixel: none is left where one is 0.30 of a cell wide; those that few
pixels share would read as grit."""
_SOFT = F(0.035)
"""Softness of a cell's edge, in parts of the distance between cells."""
_RIM = F(0.050)
"""Width of the rim about it, likewise."""
_COS, _SIN = F(0.8), F(0.6)
"""How the lattice that cells are drawn on is turned."""
_TILT = F(0.045)
"""Slope of the flakes on the rim."""
HOLE_MEAN, RIM_MEAN = (F(-0.018), F(0.089)), (F(0.032), F(0.145))
"""Mean of holes and of rims where the film is so open: first and second power."""


@kernel(forceinline=True)
def cell_at(near: Any, next_: Any, chance: Any, open_: Any, blur: Any) -> Any:
    """How far a place lies in a cell, and on the rim of one.

    Parameters
    ----------
    near, next_ : float32
        Distances to the nearest two points, that between cells being about one.
    chance : float32
        Number of the nearest in [0, 1).
    open_ : float32
        How open the film is, in [0, 1]: so many points have cells, and the larger.
    blur : float32
        Width of a pixel, in the same parts.
    """
    there = smooth_step(F(5) * (F(1.1) * open_ - chance))
    other = chance * F(7.31)
    other -= np.floor(other)
    radius = F(0.11) + F(0.18) * open_ + F(0.16) * open_ * other * other
    free = radius - near
    web = F(0.5) * (next_ - near) - F(0.085)
    # the lesser of the two, rounded where they meet
    gap = free - web
    inside = F(0.5) * (free + web - np.sqrt(gap * gap + F(0.030)))
    soft = _SOFT + F(0.8) * blur
    hole = there * smooth_step(F(0.5) + F(0.5) * inside / soft)
    wide = _RIM + blur
    off = (inside + F(0.025)) / wide
    deep = F(0.45) + F(0.55) * min(max(F(5) * inside, F(0)), F(1))
    rim = there * _RIM / wide * power_of_e(-off * off)
    return hole * deep * (F(0.2) + F(0.8) * other * other), rim


@kernel()
def open_cells(
    s: NDArray[np.float32],
    paint: Paint,
    lie: Lie,
) -> None:
    """Cells where the film is lively, in clusters: rows HOLE and RIM."""
    some, wider = min(paint.lace, F(1)), F(0.9) * max(paint.lace - F(1), F(0))
    any_ = F(0)
    for i in range(N):
        lively = (
            F(-0.30) + F(1.5) * s[W0 + i] + F(0.8) * s[BAND + i] + F(0.5) * s[CLOUD + i]
        )
        lively = min(max(lively + wider, F(0)), F(1))
        cluster = smooth_step(F(0.40) + wider + F(1.8) * s[W1 + i] + F(1.3) * s[W2 + i])
        s[CELL + i] = some * smooth_step(F(1.8) * lively * cluster - F(0.22))
        any_ += s[CELL + i]
        s[HOLE + i] = F(0)
        s[RIM + i] = F(0)
    if any_ <= F(0):
        return
    add_cells(s, 0, lie.salts[22])
    add_cells(s, 1, lie.salts[23])


@kernel()
def add_cells(s: NDArray[np.float32], size: int, salt: np.uint32) -> None:
    """Open the cells of one size; those too small for a pixel as their mean."""
    per_ft = CELLS_PER_FT[size]
    share = F(1) if size == 0 else F(0.8)
    for i in range(N):
        open_ = share * s[CELL + i]
        s[U0 + i] = open_ * max(HOLE_MEAN[0] + open_ * HOLE_MEAN[1], F(0))
        s[U1 + i] = open_ * (RIM_MEAN[0] + open_ * RIM_MEAN[1])
    merged = _MERGED * per_ft * finest(s)
    if fade_of(merged * merged) > F(0):
        for i in range(N):
            x = F(0.75) * s[FLOOR_X + i] + F(0.25) * s[LATE_X + i]
            y = F(0.75) * s[FLOOR_Y + i] + F(0.25) * s[LATE_Y + i]
            # askew, for a lattice that lies along the current shows as bricks
            turned_x, turned_y = _COS * x + _SIN * y, _COS * y - _SIN * x
            s[NX + i] = per_ft * turned_x + F(0.30) * s[W3 + i] + F(0.10) * s[W5 + i]
            s[NY + i] = per_ft * turned_y + F(0.30) * s[W4 + i] - F(0.10) * s[W5 + i]
        # where a pixel hides half of them, the nearest four points tell enough
        cells(s, 3 if fade_of(merged * merged) > F(0.5) else 2, salt)
        for i in range(N):
            blur = per_ft * s[FOOT + i]
            merged = _MERGED * blur
            kept = fade_of(merged * merged)
            open_ = share * s[CELL + i]
            hole, rim = cell_at(s[NV + i], s[NDX + i], s[NDY + i], open_, blur)
            s[U0 + i] += kept * (hole - s[U0 + i])
            s[U1 + i] += kept * (rim - s[U1 + i])
            # film stands up about a cell, and flakes lean out with it
            tilt = _TILT * kept * rim / (s[NV + i] + F(0.05))
            s[LEAN_X + i] += tilt * (_COS * s[U2 + i] - _SIN * s[U3 + i])
            s[LEAN_Y + i] += tilt * (_SIN * s[U2 + i] + _COS * s[U3 + i])
    for i in range(N):
        free = F(1) - s[HOLE + i]
        s[HOLE + i] += free * s[U0 + i]
        s[RIM + i] += free * s[U1 + i]


@kernel()
def fill_cells(s: NDArray[np.float32], mix: NDArray[np.float32], paint: Paint) -> None:
    """Inside a cell the colours that are fewer here come through."""
    colours = paint.share.size
    any_ = F(0)
    for i in range(N):
        s[GAP + i] = F(1e-10)
        any_ = max(any_, s[HOLE + i])
    if any_ <= F(0):
        return
    for k in range(colours):
        other = F(0.03) * paint.share[k] * paint.share[k]
        for i in range(N):
            s[GAP + i] += (mix[k, i] + other) * (F(1) - mix[k, i])
    for i in range(N):
        # where next to none of another colour is about, little of one comes through
        s[U0 + i] = F(0.50) * s[HOLE + i] / (s[GAP + i] + F(3e-6))
    for k in range(colours):
        other = F(0.03) * paint.share[k] * paint.share[k]
        for i in range(N):
            fewer = (mix[k, i] + other) * (F(1) - mix[k, i])
            mix[k, i] += s[U0 + i] * (fewer - s[GAP + i] * mix[k, i])
