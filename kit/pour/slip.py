"""Walls and columns in the walk: the film slips along them and never through.

A moment's stream function is multiplied by a factor that is nothing at a wall and
one beyond a short distance, so that what it moves near a wall moves along it.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from kit.kernels import kernel
from kit.pour.block import (
    A_X,
    A_XX,
    A_XY,
    A_Y,
    A_YY,
    FOOT,
    G0,
    G1,
    G2,
    PSI,
    PX,
    PY,
    TOLD,
    V0,
    V1,
    WALLS,
    A,
    N,
)
from kit.pour.ends import FARTHER_FT, PAST_FT, past_ends
from kit.pour.noise import F

OUT, SMOOTHLY, CLOSE = range(3)
SMOOTH = F(0.2)
"""Half width of a block against a wall's reach up to which a cubic tells its factor."""
SMOOTH_FT = F(0.044)
"""Width of a pixel from which it is so; finer ones show more of what is left out. [ft]"""
ENDS = F(0.5)
"""The same where the reach ends within the block, against that."""
ABREAST = 16
"""Walls told at once, as many as a vector holds."""
_OUTER, _INNER = F(np.cos(np.pi / 8)), F(np.sin(np.pi / 8))
"""Where a cubic that strays least passes through what it stands for, against half width."""


@kernel()
def add_column(
    s: NDArray[np.float32], column: NDArray[np.float32], fade: np.float32
) -> None:
    """Multiply the walls' factor by that of one column.

    With l = 1 - d / fade it is 1 - 4 l^3 + 3 l^4: at its foot the film rests, as a
    moment's straight step would leave a face so round.
    """
    x0, y0, radius = column[0], column[1], column[5]
    per = F(1) / fade
    for i in range(N):
        wx, wy = s[PX + i] - x0, s[PY + i] - y0
        square = wx * wx + wy * wy + F(1e-8)
        bend = F(1) / np.sqrt(square)
        dx, dy = wx * bend, wy * bend
        left = min(max(F(1) + (radius - square * bend) * per, F(0)), F(1))
        square = left * left
        r = F(1) - square * left * (F(4) - F(3) * left)
        slope = square * (F(12) - F(12) * left) * per
        curve = left * (F(36) * left - F(24)) * per * per
        rx, ry = slope * dx, slope * dy
        rxx = curve * dx * dx + slope * bend * (F(1) - dx * dx)
        rxy = curve * dx * dy - slope * bend * dx * dy
        ryy = curve * dy * dy + slope * bend * (F(1) - dy * dy)
        multiply(s, i, (r, rx, ry, rxx, rxy, ryy))


@kernel()
def add_wall(s: NDArray[np.float32], wall: NDArray[np.float32], fade: np.float32) -> None:
    """Multiply the walls' factor by that of one wall, along which the film slips.

    With l = 1 - d / fade it is 1 - l^3; d is taken across the wall and, as far as
    `past_ends` says, along it.
    """
    x0, y0, tx, ty, length = wall[0], wall[1], wall[2], wall[3], wall[4]
    per = F(1) / fade
    for i in range(N):
        px, py = s[PX + i] - x0, s[PY + i] - y0
        along, across = px * tx + py * ty, py * tx - px * ty
        off, run, bend = past_ends(along, length, PAST_FT)
        square = across * across + off * off + F(1e-8)
        inverse = F(1) / np.sqrt(square)
        held = run * run + off * bend - F(1)
        off *= run
        dx, dy = inverse * (off * tx - across * ty), inverse * (off * ty + across * tx)
        left = max(F(1) - square * inverse * per, F(0))
        square = left * left
        slope = F(3) * square * per
        turn = slope * inverse
        curve = F(-6) * left * per * per - turn
        rxx = curve * dx * dx + turn * (F(1) + held * tx * tx)
        rxy = curve * dx * dy + turn * (held * tx * ty)
        ryy = curve * dy * dy + turn * (F(1) + held * ty * ty)
        multiply(s, i, (F(1) - square * left, slope * dx, slope * dy, rxx, rxy, ryy))


@kernel(forceinline=True)
def multiply(s: NDArray[np.float32], i: int, by: Any) -> None:
    """Multiply one lane's factor, its slopes and bends by another with its own."""
    r, rx, ry, rxx, rxy, ryy = by
    a, a_x, a_y = s[A + i], s[A_X + i], s[A_Y + i]
    s[A_XX + i] = s[A_XX + i] * r + F(2) * a_x * rx + a * rxx
    s[A_XY + i] = s[A_XY + i] * r + a_x * ry + a_y * rx + a * rxy
    s[A_YY + i] = s[A_YY + i] * r + F(2) * a_y * ry + a * ryy
    s[A_X + i] = a_x * r + a * rx
    s[A_Y + i] = a_y * r + a * ry
    s[A + i] = a * r


@kernel()
def faces_all(wall: NDArray[np.float32], here: NDArray[np.float32]) -> bool:
    """Whether a straight wall stands straight before every place of a block."""
    tx, ty = wall[2], wall[3]
    half_x, half_y = F(0.5) * (here[2] - here[0]), F(0.5) * (here[3] - here[1])
    along = (here[0] + half_x - wall[0]) * tx + (here[1] + half_y - wall[1]) * ty
    run = abs(tx) * half_x + abs(ty) * half_y
    return bool((wall[5] <= F(0)) & (along >= run) & (along + run <= wall[4]))


@kernel()
def add_face(s: NDArray[np.float32], wall: NDArray[np.float32], fade: np.float32) -> None:
    """Do as `add_wall` for a wall that `faces_all`: no end is near, so no root is taken."""
    nx, ny = -wall[3], wall[2]
    base = -(nx * wall[0] + ny * wall[1])
    per = F(1) / fade
    x_x, x_y, y_y = nx * nx, nx * ny, ny * ny
    for i in range(N):
        off = s[PX + i] * nx + s[PY + i] * ny + base
        left = max(F(1) - abs(off) * per, F(0))
        square = left * left
        r = F(1) - square * left
        slope = F(3) * per * square
        slope = slope if off > F(0) else -slope
        curve = F(-6) * per * per * left
        bends = (curve * x_x, curve * x_y, curve * y_y)
        multiply(s, i, (r, slope * nx, slope * ny, *bends))


@kernel(forceinline=True)
def add_obstacle(
    s: NDArray[np.float32], wall: NDArray[np.float32], here: NDArray[np.float32],
    fade: np.float32,
) -> None:  # fmt: skip
    """Multiply the walls' factor by that of one wall or column."""
    if wall[5] > F(0):
        add_column(s, wall, fade)
    elif faces_all(wall, here):
        add_face(s, wall, fade)
    else:
        add_wall(s, wall, fade)


@kernel()
def tell_walls(
    s: NDArray[np.float32], walls: NDArray[np.float32], near: NDArray[np.int32],
    first: int, count: int, here: NDArray[np.float32], fade: np.float32,
) -> None:  # fmt: skip
    """Tell how ABREAST walls stand to a block, and their factors' cubics about its middle.

    Rows TOLD get, wall beside wall, the stance and the coefficients of 1, x, y, xx, xy,
    yy, xxx, xxy, xyy, yyy. Along the way out from the wall the cubic passes through the
    factor at four places, at which it is exact where the reach does not end.
    """
    for n in range(ABREAST):
        wall = walls[near[min(first + n, count - 1)]]
        for k in range(6):
            s[WALLS + ABREAST * k + n] = wall[k]
    half_x, half_y = F(0.5) * (here[2] - here[0]), F(0.5) * (here[3] - here[1])
    middle_x, middle_y = here[0] + half_x, here[1] + half_y
    wide = np.sqrt(half_x * half_x + half_y * half_y) + F(1e-4)
    per = F(1) / fade
    outer, inner = _OUTER * wide, _INNER * wide
    of_square, of_inner = F(1) / (outer * outer - inner * inner), inner * inner
    most = SMOOTH * fade * np.sqrt(min(max(s[FOOT] / SMOOTH_FT, F(0)), F(1)))
    too_wide = F(1) if wide > most else F(0)
    ends = F(1) if wide > ENDS * most else F(0)
    for n in range(ABREAST):
        tx, ty = s[WALLS + 2 * ABREAST + n], s[WALLS + 3 * ABREAST + n]
        length, radius = s[WALLS + 4 * ABREAST + n], s[WALLS + 5 * ABREAST + n]
        x, y = middle_x - s[WALLS + n], middle_y - s[WALLS + ABREAST + n]
        along = x * tx + y * ty
        beyond = max(-along, along - length)
        # past where the film is let go of, a wall is told as one that ends farther out
        end = F(0) if radius > F(0) else FARTHER_FT
        on = min(max(along, -end), length + end) if beyond > end else along
        x, y = x - on * tx, y - on * ty
        square = x * x + y * y + F(1e-8)
        inverse = F(1) / np.sqrt(square)
        far, nx, ny = square * inverse - radius, x * inverse, y * inverse
        bend = inverse if beyond > F(0) else F(0)
        clear = F(2) * wide if beyond > F(0) else wide
        run = abs(tx) * half_x + abs(ty) * half_y
        is_past = (beyond + run >= F(0)) & (beyond - run <= PAST_FT)
        close = max(too_wide, F(1) if is_past else F(0))
        close = max(close, F(1) if (far <= clear) | (radius > F(0)) else F(0))
        close = max(close, ends if far + wide > fade else F(0))
        s[TOLD + n] = F(OUT) if far - wide > fade else F(SMOOTHLY) + close
        quartic = F(3) if radius > F(0) else F(0)
        near_out, far_out = (
            factor_of((far - outer) * per, quartic),
            factor_of((far + outer) * per, quartic),
        )
        near_in, far_in = (
            factor_of((far - inner) * per, quartic),
            factor_of((far + inner) * per, quartic),
        )
        even = F(0.5) * (far_in + near_in)
        n2 = (F(0.5) * (far_out + near_out) - even) * of_square
        odd = F(0.5) * (far_in - near_in) / inner
        n3 = (F(0.5) * (far_out - near_out) / outer - odd) * of_square
        n1 = odd - n3 * of_inner
        t2 = F(0.5) * n1 * bend
        nt = (n2 - t2) * bend
        xx, yy = nx * nx, ny * ny
        s[TOLD + ABREAST + n] = even - n2 * of_inner
        s[TOLD + 2 * ABREAST + n] = n1 * nx
        s[TOLD + 3 * ABREAST + n] = n1 * ny
        s[TOLD + 4 * ABREAST + n] = n2 * xx + t2 * yy
        s[TOLD + 5 * ABREAST + n] = F(2) * (n2 - t2) * nx * ny
        s[TOLD + 6 * ABREAST + n] = n2 * yy + t2 * xx
        s[TOLD + 7 * ABREAST + n] = nx * (n3 * xx + nt * yy)
        s[TOLD + 8 * ABREAST + n] = ny * (F(3) * n3 * xx + nt * (yy - F(2) * xx))
        s[TOLD + 9 * ABREAST + n] = nx * (F(3) * n3 * yy + nt * (xx - F(2) * yy))
        s[TOLD + 10 * ABREAST + n] = ny * (n3 * yy + nt * xx)


@kernel(forceinline=True)
def factor_of(d: Any, quartic: Any) -> Any:
    """The factor at a distance from a wall or, where `quartic` is 3, from a column."""
    left = min(max(F(1) - d, F(0)), F(1))
    return F(1) - left * left * left * (F(1) + quartic - quartic * left)


@kernel()
def slip_along_walls(
    s: NDArray[np.float32], walls: NDArray[np.float32], near: NDArray[np.int32], count: int,
    here: NDArray[np.float32], fade: np.float32,
) -> None:  # fmt: skip
    """Fade the stream function to nothing at walls, so that the film slips along them.

    Walls off the block are told by their cubics about its middle, cut off at the third
    order when multiplied; the others place by place.
    """
    if count == 0:
        return
    p0, p1, p2, p3, p4 = F(1), F(0), F(0), F(0), F(0)
    p5, p6, p7, p8, p9 = F(0), F(0), F(0), F(0), F(0)
    close = smooth = 0
    for first in range(0, count, ABREAST):
        tell_walls(s, walls, near, first, count, here, fade)
        for n in range(min(count - first, ABREAST)):
            stance = s[TOLD + n]
            if stance == F(CLOSE):
                near[first + n], near[close] = near[close], near[first + n]
                close += 1
            elif stance == F(SMOOTHLY):
                smooth += 1
                at = TOLD + n
                b0, b1, b2 = s[at + ABREAST], s[at + 2 * ABREAST], s[at + 3 * ABREAST]
                b3, b4, b5 = s[at + 4 * ABREAST], s[at + 5 * ABREAST], s[at + 6 * ABREAST]
                b6, b7 = s[at + 7 * ABREAST], s[at + 8 * ABREAST]
                b8, b9 = s[at + 9 * ABREAST], s[at + 10 * ABREAST]
                p6 = p6 * b0 + p3 * b1 + p1 * b3 + p0 * b6
                p7 = p7 * b0 + p3 * b2 + p4 * b1 + p1 * b4 + p2 * b3 + p0 * b7
                p8 = p8 * b0 + p5 * b1 + p4 * b2 + p2 * b4 + p1 * b5 + p0 * b8
                p9 = p9 * b0 + p5 * b2 + p2 * b5 + p0 * b9
                p3 = p3 * b0 + p1 * b1 + p0 * b3
                p4 = p4 * b0 + p1 * b2 + p2 * b1 + p0 * b4
                p5 = p5 * b0 + p2 * b2 + p0 * b5
                p1, p2, p0 = p1 * b0 + p0 * b1, p2 * b0 + p0 * b2, p0 * b0
    if close + smooth == 0:
        return
    cubic = (p0, p1, p2, p3, p4, p5, p6, p7, p8, p9)
    middle_x, middle_y = F(0.5) * (here[0] + here[2]), F(0.5) * (here[1] + here[3])
    if close == 0:
        slow_down_smoothly(s, cubic, middle_x, middle_y)
        return
    start_factor(s, cubic, middle_x, middle_y)
    for k in range(close):
        add_obstacle(s, walls[near[k]], here, fade)
    slow_down(s)


@kernel(forceinline=True)
def cubic_at(x: Any, y: Any, cubic: Any) -> Any:
    """A cubic, its two slopes, and its bends along x, across and along y."""
    p0, p1, p2, p3, p4, p5, p6, p7, p8, p9 = cubic
    xx, yy = x * x, y * y
    return (
        p0 + x * (p1 + x * (p3 + x * p6) + y * (p4 + x * p7 + y * p8))
        + y * (p2 + y * (p5 + y * p9)),
        p1 + F(3) * p6 * xx + p8 * yy + x * (F(2) * (p3 + p7 * y)) + p4 * y,
        p2 + F(3) * p9 * yy + p7 * xx + y * (F(2) * (p5 + p8 * x)) + p4 * x,
        F(2) * (p3 + F(3) * p6 * x + p7 * y),
        p4 + F(2) * (p7 * x + p8 * y),
        F(2) * (p5 + F(3) * p9 * y + p8 * x),
    )  # fmt: skip


@kernel(forceinline=True)
def slowed(s: NDArray[np.float32], i: int, factor: Any) -> None:
    """Multiply one lane's stream function: its velocity and gradient follow."""
    a, a_x, a_y, a_xx, a_xy, a_yy = factor
    psi, v0, v1 = s[PSI + i], s[V0 + i], s[V1 + i]
    s[G0 + i] = a * s[G0 + i] + a_x * v0 - a_y * v1 + a_xy * psi
    s[G1 + i] = a * s[G1 + i] + F(2) * a_y * v0 + a_yy * psi
    s[G2 + i] = a * s[G2 + i] + F(2) * a_x * v1 - a_xx * psi
    s[V0 + i] = a * v0 + a_y * psi
    s[V1 + i] = a * v1 - a_x * psi


@kernel()
def slow_down_smoothly(
    s: NDArray[np.float32], cubic: tuple[np.float32, ...], middle_x: np.float32,
    middle_y: np.float32,
) -> None:  # fmt: skip
    """Multiply the stream function by a cubic about the middle."""
    for i in range(N):
        slowed(s, i, cubic_at(s[PX + i] - middle_x, s[PY + i] - middle_y, cubic))


@kernel()
def start_factor(
    s: NDArray[np.float32], cubic: tuple[np.float32, ...], middle_x: np.float32,
    middle_y: np.float32,
) -> None:  # fmt: skip
    """Set the walls' factor and its derivatives from a cubic about the middle."""
    for i in range(N):
        a, a_x, a_y, a_xx, a_xy, a_yy = cubic_at(
            s[PX + i] - middle_x, s[PY + i] - middle_y, cubic
        )
        s[A + i], s[A_X + i], s[A_Y + i] = a, a_x, a_y
        s[A_XX + i], s[A_XY + i], s[A_YY + i] = a_xx, a_xy, a_yy


@kernel()
def slow_down(s: NDArray[np.float32]) -> None:
    """Multiply the stream function by the walls' factor."""
    for i in range(N):
        a, a_x, a_y = s[A + i], s[A_X + i], s[A_Y + i]
        slowed(s, i, (a, a_x, a_y, s[A_XX + i], s[A_XY + i], s[A_YY + i]))


@kernel()
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
