"""The walk back: from a place on the cured floor to where its film was poured.

Marbling told backwards, place by place, as in [Lu2012]_. Each moment of each pass
is a sum of stroke stream functions, times a factor that is nothing at walls and
columns. The block of places moves against its velocity, to second order; its box
follows, so that strokes out of reach are passed over.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from kit.kernels import kernel
from kit.pour.beside import near_walls
from kit.pour.block import (
    G0,
    G1,
    G2,
    J00,
    J01,
    J10,
    J11,
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
    PSI,
    PX,
    PY,
    V0,
    V1,
    WORK,
    N,
)
from kit.pour.ends import FARTHER_FT
from kit.pour.laid import (
    EAST,
    NORTH,
    PASS,
    REACH,
    SIDE,
    SOUTH,
    START,
    WALL,
    WEST,
    Laid,
)
from kit.pour.noise import INT, F, noise
from kit.pour.slip import slip_along_walls, stay_out_of_columns

FIXED = F(2048)
"""Boxes are kept in 1/2048 ft, because whole numbers compare in vector code."""


@kernel()
def box(s: NDArray[np.float32], out: NDArray[np.float32]) -> None:
    """Fill `out` (4,) with the box about PX, PY: west, south, east, north. [ft]"""
    x = INT(s[PX] * FIXED)
    y = INT(s[PY] * FIXED)
    west, east, south, north = x, x, y, y
    for i in range(N):
        x, y = INT(s[PX + i] * FIXED), INT(s[PY + i] * FIXED)
        west, east = min(west, x), max(east, x)
        south, north = min(south, y), max(north, y)
    out[0], out[1] = F(west - INT(1)) / FIXED, F(south - INT(1)) / FIXED
    out[2], out[3] = F(east + INT(1)) / FIXED, F(north + INT(1)) / FIXED


@kernel(forceinline=True)
def stroke_at(x: Any, y: Any, per: Any, ux: Any, uy: Any) -> Any:
    """Stream function of a stroke over its radius, velocity, and gradient's three parts.

    `x`, `y` are from its centre, in its radius; `per` is one over that.
    """
    m = max(F(0), F(1) - x * x - y * y)
    cross, square = ux * y - uy * x, m * m
    turn, mu, mv = F(6) * cross, m * ux, m * uy
    hx, hy, steep = F(4) * cross * x, F(4) * cross * y, F(6) * per * m
    return (
        cross * square * m,
        square * (mu - turn * y),
        square * (mv + turn * x),
        steep * (mv * y - mu * x + hx * y),
        steep * (y * (hy - F(2) * mu) - m * cross),
        steep * (m * cross - x * (hx + F(2) * mv)),
    )


@kernel()
def add_stroke(s: NDArray[np.float32], one: NDArray[np.float32], more: bool) -> None:
    """Add one stroke's stream function, velocity and gradient, to nothing or to `more`."""
    a, a_u, a_v, a_wide = one[0], one[1], one[2], one[5]
    a_x, a_y = -one[3] * a, -one[4] * a
    for i in range(N):
        x, y = s[PX + i] * a + a_x, s[PY + i] * a + a_y
        psi, v0, v1, g0, g1, g2 = stroke_at(x, y, a, a_u, a_v)
        s[PSI + i] = a_wide * psi + (s[PSI + i] if more else F(0))
        s[V0 + i] = v0 + (s[V0 + i] if more else F(0))
        s[V1 + i] = v1 + (s[V1 + i] if more else F(0))
        s[G0 + i] = g0 + (s[G0 + i] if more else F(0))
        s[G1 + i] = g1 + (s[G1 + i] if more else F(0))
        s[G2 + i] = g2 + (s[G2 + i] if more else F(0))


@kernel()
def step_back(s: NDArray[np.float32]) -> None:
    """Move against the velocity; carry the Jacobian and the work done.

    Half of the velocity is taken where the step leads to, told by its slope: the
    implicit mid-point, linearised, which keeps area far longer than a plain step.
    """
    half = F(0.5)
    for i in range(N):
        v0, v1, g0, g1, g2 = s[V0 + i], s[V1 + i], s[G0 + i], s[G1 + i], s[G2 + i]
        square = F(0.25) * (g0 * g0 + g1 * g2)
        whole = F(1) / (F(1) - square)
        s[PX + i] -= whole * (v0 - half * (g0 * v0 + g1 * v1))
        s[PY + i] -= whole * (v1 - half * (g2 * v0 - g0 * v1))
        s[WORK + i] += np.sqrt(F(2) * g0 * g0 + g1 * g1 + g2 * g2)
        keep = whole * (F(1) + square)
        g0, g1, g2 = g0 * whole, g1 * whole, g2 * whole
        j00, j01, j10, j11 = s[J00 + i], s[J01 + i], s[J10 + i], s[J11 + i]
        s[J00 + i] = (keep - g0) * j00 - g1 * j10
        s[J01 + i] = (keep - g0) * j01 - g1 * j11
        s[J10 + i] = (keep + g0) * j10 - g2 * j00
        s[J11 + i] = (keep + g0) * j11 - g2 * j01


@kernel()
def rest(s: NDArray[np.float32]) -> None:
    """Nothing moves yet in this moment."""
    for i in range(N):
        s[PSI + i] = F(0)
        s[V0 + i] = F(0)
        s[V1 + i] = F(0)
        s[G0 + i] = F(0)
        s[G1 + i] = F(0)
        s[G2 + i] = F(0)


@kernel()
def gather(
    s: NDArray[np.float32], records: NDArray[np.float32], starts: NDArray[np.int32],
    ints: NDArray[np.int32], feet: NDArray[np.float32], here: NDArray[np.float32],
) -> bool:  # fmt: skip
    """Add every stroke of one moment that reaches the box; tell whether any did."""
    per_side, reach = F(1) / feet[SIDE], feet[REACH]
    west, south = here[0] - reach - feet[WEST], here[1] - reach - feet[SOUTH]
    east, north = here[2] + reach - feet[WEST], here[3] + reach - feet[SOUTH]
    first_column = max(INT(np.floor(west * per_side)), INT(0))
    last_column = min(INT(np.floor(east * per_side)), ints[EAST] - INT(1))
    first_row = max(INT(np.floor(south * per_side)), INT(0))
    last_row = min(INT(np.floor(north * per_side)), ints[NORTH] - INT(1))
    if first_column > last_column:
        return False
    any_ = False
    for row in range(first_row, last_row + 1):
        bin_ = ints[START] + row * ints[EAST]
        for r in range(starts[bin_ + first_column], starts[bin_ + last_column + 1]):
            record = records[r]
            off_x = max(here[0] - record[3], F(0), record[3] - here[2])
            off_y = max(here[1] - record[4], F(0), record[4] - here[3])
            if off_x * off_x + off_y * off_y < record[5] * record[5]:
                add_stroke(s, record, any_)
                any_ = True
    return any_


@kernel()
def creep_back(
    s: NDArray[np.float32], ripples: NDArray[np.float32], octaves: int,
    salts: NDArray[np.uint32],
) -> None:  # fmt: skip
    """Stream function and velocity of the levelling film; too slight to stretch it."""
    rest(s)
    for k in range(octaves):
        depth, wave = ripples[k, 0], F(1) / ripples[k, 1]
        lift = depth * ripples[k, 1]
        for i in range(N):
            s[NX + i], s[NY + i] = s[PX + i] * wave, s[PY + i] * wave
        noise(s, salts[INT(ripples[k, 3])])
        for i in range(N):
            s[PSI + i] += lift * s[NV + i]
            s[V0 + i] += depth * s[NDY + i]
            s[V1 + i] -= depth * s[NDX + i]


@kernel()
def go_half_way(s: NDArray[np.float32]) -> None:
    """Move by half the velocity of the largest octave; the late frame keeps from where."""
    for i in range(N):
        s[LATE_X + i], s[LATE_Y + i] = s[PX + i], s[PY + i]
        s[PX + i] -= F(0.5) * s[V0 + i]
        s[PY + i] -= F(0.5) * s[V1 + i]


@kernel(forceinline=True)
def keep_frame(s: NDArray[np.float32], x: int, y: int) -> None:
    """Remember where the block stands in rows `x` and `y`."""
    for i in range(N):
        s[x + i] = s[PX + i]
        s[y + i] = s[PY + i]


@kernel()
def stand(s: NDArray[np.float32]) -> None:
    """Leave what a walk leaves of places that nothing moved."""
    for i in range(N):
        s[J00 + i], s[J01 + i], s[J10 + i], s[J11 + i] = F(1), F(0), F(0), F(1)
        s[WORK + i] = F(0)
    keep_frame(s, LATE_X, LATE_Y)
    keep_frame(s, MID_X, MID_Y)
    keep_frame(s, POUR_X, POUR_Y)


@kernel()
def walk(
    s: NDArray[np.float32], laid: Laid, salts: NDArray[np.uint32], walls: NDArray[np.int32],
    here: NDArray[np.float32],
) -> None:  # fmt: skip
    """Walk rows PX, PY back to the pour; keep the frames on the way, J and WORK.

    `here` is the block's box, `walls` (3, W) room for lists: every wall, those the
    walk can come near to, and those within reach at one moment.
    """
    stand(s)
    boxes, every, near, reached = laid.wall_boxes, walls[0], walls[1], walls[2]
    count = near_walls(boxes, here, laid.drift_ft, every, every.size, near)
    if laid.ripples.shape[0]:
        fade = laid.ripples[0, 2]
        beside = near_walls(boxes, here, fade + FARTHER_FT, near, count, reached)
        creep_back(s, laid.ripples, 1, salts)
        slip_along_walls(s, laid.walls, reached, beside, here, fade)
        go_half_way(s)
        creep_back(s, laid.ripples, laid.ripples.shape[0], salts)
        slip_along_walls(s, laid.walls, reached, beside, here, fade)
        for i in range(N):
            s[PX + i] = s[LATE_X + i] - s[V0 + i]
            s[PY + i] = s[LATE_Y + i] - s[V1 + i]
        box(s, here)
        keep_frame(s, LATE_X, LATE_Y)
        keep_frame(s, MID_X, MID_Y)
    last = -1
    levels = laid.level_ints.shape[0]
    for level in range(levels):
        ints, feet = laid.level_ints[level], laid.level_feet[level]
        number = ints[PASS]
        if number != last:
            if number == 1:
                keep_frame(s, LATE_X, LATE_Y)
            if number > 0:
                keep_frame(s, MID_X, MID_Y)
            last = number
        if gather(s, laid.records, laid.starts, ints, feet, here):
            beside = near_walls(boxes, here, feet[WALL] + FARTHER_FT, near, count, reached)
            slip_along_walls(s, laid.walls, reached, beside, here, feet[WALL])
            step_back(s)
            stay_out_of_columns(s, laid.walls, reached, beside, here)
            box(s, here)
    keep_frame(s, POUR_X, POUR_Y)
