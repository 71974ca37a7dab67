"""The walk back: from a place on the cured floor to where its film was poured.

Each moment of each pass is a sum of stroke stream functions, times a factor that
is nothing at walls and columns. The block of places moves against its velocity,
to second order; its box follows, so that strokes out of reach are passed over.
"""

from __future__ import annotations

import numpy as np
from numba import njit
from numpy.typing import NDArray

from kit.pour.block import (
    A, A_X, A_XX, A_XY, A_Y, A_YY, G0, G1, G2, J00, J01, J10, J11, LATE_X, LATE_Y, MID_X, MID_Y,
    NDX, NDY, NV, NX, NY, POUR_X, POUR_Y, PSI, PX, PY, V0, V1, WORK, N,
)  # fmt: skip
from kit.pour.laid import EAST, NORTH, PASS, REACH, SIDE, SOUTH, START, WALL, WEST
from kit.pour.noise import COMPILE, F, I, noise

FIXED = F(2048)
"""Boxes are kept in 1/2048 ft, because whole numbers compare in vector code."""


@njit(**COMPILE)
def box(s: NDArray[np.float32], out: NDArray[np.float32]) -> None:
    """Fill `out` (4,) with the box about PX, PY: west, south, east, north. [ft]"""
    x = I(s[PX] * FIXED)
    y = I(s[PY] * FIXED)
    west, east, south, north = x, x, y, y
    for i in range(N):
        x, y = I(s[PX + i] * FIXED), I(s[PY + i] * FIXED)
        west, east = min(west, x), max(east, x)
        south, north = min(south, y), max(north, y)
    out[0], out[1] = F(west - I(1)) / FIXED, F(south - I(1)) / FIXED
    out[2], out[3] = F(east + I(1)) / FIXED, F(north + I(1)) / FIXED


@njit(**COMPILE)
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


@njit(**COMPILE)
def add_wall(s: NDArray[np.float32], wall: NDArray[np.float32], fade: np.float32) -> None:
    """Multiply the walls' factor by that of one capsule: 1-(1-d/fade)^3, and its derivatives."""
    x0, y0, tx, ty, length, radius = wall[0], wall[1], wall[2], wall[3], wall[4], wall[5]
    per = F(1) / fade
    for i in range(N):
        px, py = s[PX + i] - x0, s[PY + i] - y0
        along = px * tx + py * ty
        on = min(max(along, F(0)), length)
        wx, wy = px - on * tx, py - on * ty
        far = F(1) / (np.sqrt(wx * wx + wy * wy) + F(1e-4))
        d = F(1) / far - radius
        dx, dy = wx * far, wy * far
        bend = far if (along <= F(0)) | (along >= length) else F(0)
        left = min(max(F(1) - d * per, F(0)), F(1))
        r = F(1) - left * left * left
        slope = F(3) * left * left * per
        curve = -F(6) * left * per * per
        rx, ry = slope * dx, slope * dy
        rxx = curve * dx * dx + slope * bend * (F(1) - dx * dx)
        rxy = curve * dx * dy - slope * bend * dx * dy
        ryy = curve * dy * dy + slope * bend * (F(1) - dy * dy)
        a, a_x, a_y = s[A + i], s[A_X + i], s[A_Y + i]
        s[A_XX + i] = s[A_XX + i] * r + F(2) * a_x * rx + a * rxx
        s[A_XY + i] = s[A_XY + i] * r + a_x * ry + a_y * rx + a * rxy
        s[A_YY + i] = s[A_YY + i] * r + F(2) * a_y * ry + a * ryy
        s[A_X + i] = a_x * r + a * rx
        s[A_Y + i] = a_y * r + a * ry
        s[A + i] = a * r


@njit(**COMPILE)
def slip_along_walls(
    s: NDArray[np.float32], walls: NDArray[np.float32], near: NDArray[np.int32], count: int,
    here: NDArray[np.float32], fade: np.float32,
) -> None:  # fmt: skip
    """Fade the stream function to nothing at walls, so that the film slips along them."""
    touched = False
    for k in range(count):
        wall = walls[near[k]]
        reach = fade + wall[5]
        end_x, end_y = wall[0] + wall[2] * wall[4], wall[1] + wall[3] * wall[4]
        if max(wall[0], end_x) + reach < here[0] or min(wall[0], end_x) - reach > here[2]:
            continue
        if max(wall[1], end_y) + reach < here[1] or min(wall[1], end_y) - reach > here[3]:
            continue
        if not touched:
            touched = True
            for i in range(N):
                s[A + i] = F(1)
                s[A_X + i] = F(0)
                s[A_Y + i] = F(0)
                s[A_XX + i] = F(0)
                s[A_XY + i] = F(0)
                s[A_YY + i] = F(0)
        add_wall(s, wall, fade)
    if not touched:
        return
    for i in range(N):
        a, a_x, a_y, psi = s[A + i], s[A_X + i], s[A_Y + i], s[PSI + i]
        v0, v1 = s[V0 + i], s[V1 + i]
        s[G0 + i] = a * s[G0 + i] + a_x * v0 - a_y * v1 + s[A_XY + i] * psi
        s[G1 + i] = a * s[G1 + i] + F(2) * a_y * v0 + s[A_YY + i] * psi
        s[G2 + i] = a * s[G2 + i] + F(2) * a_x * v1 - s[A_XX + i] * psi
        s[V0 + i] = a * v0 + a_y * psi
        s[V1 + i] = a * v1 - a_x * psi


@njit(**COMPILE)
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


@njit(**COMPILE)
def rest(s: NDArray[np.float32]) -> None:
    """Nothing moves yet in this moment."""
    for i in range(N):
        s[PSI + i] = F(0)
        s[V0 + i] = F(0)
        s[V1 + i] = F(0)
        s[G0 + i] = F(0)
        s[G1 + i] = F(0)
        s[G2 + i] = F(0)


@njit(**COMPILE)
def gather(
    s: NDArray[np.float32], records: NDArray[np.float32], starts: NDArray[np.int32],
    ints: NDArray[np.int32], feet: NDArray[np.float32], here: NDArray[np.float32],
) -> bool:  # fmt: skip
    """Add every stroke of one moment that reaches the box; tell whether any did."""
    side, reach = feet[SIDE], feet[REACH]
    first_column = max(I(np.floor((here[0] - reach - feet[WEST]) / side)), I(0))
    last_column = min(I(np.floor((here[2] + reach - feet[WEST]) / side)), ints[EAST] - I(1))
    first_row = max(I(np.floor((here[1] - reach - feet[SOUTH]) / side)), I(0))
    last_row = min(I(np.floor((here[3] + reach - feet[SOUTH]) / side)), ints[NORTH] - I(1))
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


@njit(**COMPILE)
def creep_back(s: NDArray[np.float32], ripples: NDArray[np.float32], salts: NDArray[np.uint32]) -> None:
    """Stream function and velocity of the levelling film; too slight to stretch it."""
    rest(s)
    for k in range(ripples.shape[0]):
        depth, wave = ripples[k, 0], F(1) / ripples[k, 1]
        lift = depth * ripples[k, 1]
        for i in range(N):
            s[NX + i], s[NY + i] = s[PX + i] * wave, s[PY + i] * wave
        noise(s, salts[I(ripples[k, 3])])
        for i in range(N):
            s[PSI + i] += lift * s[NV + i]
            s[V0 + i] += depth * s[NDY + i]
            s[V1 + i] -= depth * s[NDX + i]


@njit(**COMPILE)
def go_half_way(s: NDArray[np.float32]) -> None:
    """Move by half the velocity, and remember where from in the late frame."""
    for i in range(N):
        s[LATE_X + i], s[LATE_Y + i] = s[PX + i], s[PY + i]
        s[PX + i] -= F(0.5) * s[V0 + i]
        s[PY + i] -= F(0.5) * s[V1 + i]


@njit(**COMPILE)
def keep_frame(s: NDArray[np.float32], x: int, y: int) -> None:
    """Remember where the block stands in rows `x` and `y`."""
    for i in range(N):
        s[x + i] = s[PX + i]
        s[y + i] = s[PY + i]


@njit(**COMPILE)
def walk(
    s: NDArray[np.float32], records: NDArray[np.float32], starts: NDArray[np.int32],
    level_ints: NDArray[np.int32], level_feet: NDArray[np.float32], ripples: NDArray[np.float32],
    walls: NDArray[np.float32], salts: NDArray[np.uint32], drift_ft: float,
    near: NDArray[np.int32], here: NDArray[np.float32],
) -> None:  # fmt: skip
    """Walk rows PX, PY back to the pour; keep the frames on the way, J and WORK."""
    for i in range(N):
        s[J00 + i] = F(1)
        s[J01 + i] = F(0)
        s[J10 + i] = F(0)
        s[J11 + i] = F(1)
        s[WORK + i] = F(0)
    box(s, here)
    count = near_walls(walls, here, drift_ft, near)
    if ripples.shape[0]:
        creep_back(s, ripples, salts)
        slip_along_walls(s, walls, near, count, here, ripples[0, 2])
        go_half_way(s)
        creep_back(s, ripples, salts)
        slip_along_walls(s, walls, near, count, here, ripples[0, 2])
        for i in range(N):
            s[PX + i] = s[LATE_X + i] - s[V0 + i]
            s[PY + i] = s[LATE_Y + i] - s[V1 + i]
        box(s, here)
    last = -1
    levels = level_ints.shape[0]
    keep_frame(s, LATE_X, LATE_Y)
    keep_frame(s, MID_X, MID_Y)
    for level in range(levels):
        number = level_ints[level, PASS]
        if number != last:
            if number == 1:
                keep_frame(s, LATE_X, LATE_Y)
            if number > 0:
                keep_frame(s, MID_X, MID_Y)
            last = number
        if gather(s, records, starts, level_ints[level], level_feet[level], here):
            slip_along_walls(s, walls, near, count, here, level_feet[level, WALL])
            step_back(s)
            box(s, here)
    stay_out_of_columns(s, walls, near, count, here)
    keep_frame(s, POUR_X, POUR_Y)


@njit(**COMPILE)
def stay_out_of_columns(
    s: NDArray[np.float32], walls: NDArray[np.float32], near: NDArray[np.int32], count: int,
    here: NDArray[np.float32],
) -> None:  # fmt: skip
    """Bring back what a last step carried a hair into a round column."""
    for k in range(count):
        wall = walls[near[k]]
        x0, y0, radius = wall[0], wall[1], wall[5]
        if radius <= F(0) or here[0] > x0 + radius or here[2] < x0 - radius:
            continue
        if here[1] > y0 + radius or here[3] < y0 - radius:
            continue
        for i in range(N):
            wx, wy = s[PX + i] - x0, s[PY + i] - y0
            far = np.sqrt(wx * wx + wy * wy) + F(1e-4)
            out = max(radius / far, F(1))
            s[PX + i], s[PY + i] = x0 + wx * out, y0 + wy * out


@njit(**COMPILE)
def near_walls(
    walls: NDArray[np.float32], here: NDArray[np.float32], drift_ft: float, near: NDArray[np.int32]
) -> int:
    """List the walls that any moment of the walk can come near to."""
    count = 0
    margin = F(drift_ft)
    for k in range(walls.shape[0]):
        wall = walls[k]
        reach = margin + wall[5]
        end_x, end_y = wall[0] + wall[2] * wall[4], wall[1] + wall[3] * wall[4]
        if max(wall[0], end_x) + reach < here[0] or min(wall[0], end_x) - reach > here[2]:
            continue
        if max(wall[1], end_y) + reach < here[1] or min(wall[1], end_y) - reach > here[3]:
            continue
        near[count] = k
        count += 1
    return count
