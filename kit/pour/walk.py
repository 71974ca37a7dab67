"""The walk back: from a place on the cured floor to where its film was poured.

Marbling told backwards, place by place, as in [Lu2012]_. Each moment of each pass
is a sum of stroke stream functions, times a factor that is nothing at walls and
columns. The block of places moves against its velocity, to second order; its box
follows, so that strokes out of reach are passed over.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from kit.kernels import kernel
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
from kit.pour.laid import EAST, NORTH, PASS, REACH, SIDE, SOUTH, START, WALL, WEST, Laid
from kit.pour.noise import INT, F, noise
from kit.pour.slip import near_walls, slip_along_walls, stay_out_of_columns

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


@kernel()
def add_stroke(s: NDArray[np.float32], record: NDArray[np.float32]) -> None:
    """Add one stroke's stream function, velocity and gradient."""
    a, ux, uy = record[0], record[1], record[2]
    ax, ay, radius = -record[3] * a, -record[4] * a, record[5]
    steep = F(6) * a
    for i in range(N):
        qx, qy = s[PX + i] * a + ax, s[PY + i] * a + ay
        m = max(F(0), F(1) - qx * qx - qy * qy)
        cross = ux * qy - uy * qx
        c, h, mm, k = F(6) * cross, F(4) * cross, m * m, steep * m
        mu, mv = m * ux, m * uy
        s[PSI + i] += radius * cross * mm * m
        s[V0 + i] += mm * (mu - c * qy)
        s[V1 + i] += mm * (mv + c * qx)
        s[G0 + i] += k * (mv * qy - mu * qx + h * qx * qy)
        s[G1 + i] += k * (h * qy * qy - F(2) * mu * qy - m * cross)
        s[G2 + i] += k * (m * cross - F(2) * mv * qx - h * qx * qx)


@kernel()
def step_back(s: NDArray[np.float32]) -> None:
    """Move against the velocity to second order; carry the Jacobian and the work done."""
    half = F(0.5)
    for i in range(N):
        v0, v1, g0, g1, g2 = s[V0 + i], s[V1 + i], s[G0 + i], s[G1 + i], s[G2 + i]
        s[PX + i] -= v0 - half * (g0 * v0 + g1 * v1)
        s[PY + i] -= v1 - half * (g2 * v0 - g0 * v1)
        square = g0 * g0 + g1 * g2
        keep = F(1) + half * square
        s[WORK + i] += np.sqrt(F(2) * g0 * g0 + g1 * g1 + g2 * g2)
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
    side, reach = feet[SIDE], feet[REACH]
    first_column = max(INT(np.floor((here[0] - reach - feet[WEST]) / side)), INT(0))
    last_column = min(
        INT(np.floor((here[2] + reach - feet[WEST]) / side)), ints[EAST] - INT(1)
    )
    first_row = max(INT(np.floor((here[1] - reach - feet[SOUTH]) / side)), INT(0))
    last_row = min(
        INT(np.floor((here[3] + reach - feet[SOUTH]) / side)), ints[NORTH] - INT(1)
    )
    moved = False
    if first_column > last_column:
        return moved
    for row in range(first_row, last_row + 1):
        bin_ = ints[START] + row * ints[EAST]
        for r in range(starts[bin_ + first_column], starts[bin_ + last_column + 1]):
            record = records[r]
            off_x = max(here[0] - record[3], F(0), record[3] - here[2])
            off_y = max(here[1] - record[4], F(0), record[4] - here[3])
            if off_x * off_x + off_y * off_y < record[5] * record[5]:
                if not moved:
                    rest(s)
                    moved = True
                add_stroke(s, record)
    return moved


@kernel()
def creep_back(
    s: NDArray[np.float32], ripples: NDArray[np.float32], salts: NDArray[np.uint32]
) -> None:
    """Stream function and velocity of the levelling film; too slight to stretch it."""
    rest(s)
    for k in range(ripples.shape[0]):
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
    """Move by half the velocity, and remember where from in the late frame."""
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
def walk(
    s: NDArray[np.float32], laid: Laid, salts: NDArray[np.uint32], near: NDArray[np.int32],
    here: NDArray[np.float32],
) -> None:  # fmt: skip
    """Walk rows PX, PY back to the pour; keep the frames on the way, J and WORK."""
    for i in range(N):
        s[J00 + i] = F(1)
        s[J01 + i] = F(0)
        s[J10 + i] = F(0)
        s[J11 + i] = F(1)
        s[WORK + i] = F(0)
    box(s, here)
    count = near_walls(laid.walls, here, laid.drift_ft, near)
    if laid.ripples.shape[0]:
        creep_back(s, laid.ripples, salts)
        slip_along_walls(s, laid.walls, near, count, here, laid.ripples[0, 2])
        go_half_way(s)
        creep_back(s, laid.ripples, salts)
        slip_along_walls(s, laid.walls, near, count, here, laid.ripples[0, 2])
        for i in range(N):
            s[PX + i] = s[LATE_X + i] - s[V0 + i]
            s[PY + i] = s[LATE_Y + i] - s[V1 + i]
        box(s, here)
    last = -1
    levels = laid.level_ints.shape[0]
    keep_frame(s, LATE_X, LATE_Y)
    keep_frame(s, MID_X, MID_Y)
    for level in range(levels):
        number = laid.level_ints[level, PASS]
        if number != last:
            if number == 1:
                keep_frame(s, LATE_X, LATE_Y)
            if number > 0:
                keep_frame(s, MID_X, MID_Y)
            last = number
        if gather(
            s,
            laid.records,
            laid.starts,
            laid.level_ints[level],
            laid.level_feet[level],
            here,
        ):
            slip_along_walls(s, laid.walls, near, count, here, laid.level_feet[level, WALL])
            step_back(s)
            box(s, here)
    stay_out_of_columns(s, laid.walls, near, count, here)
    keep_frame(s, POUR_X, POUR_Y)
