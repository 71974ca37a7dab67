"""Walls and columns in the walk: the film slips along them and never through.

A moment's stream function is multiplied by a factor that is nothing at a wall and
one beyond a short distance, so that what it moves near a wall moves along it.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from kit.kernels import kernel
from kit.pour.block import A_X, A_XX, A_XY, A_Y, A_YY, G0, G1, G2, PSI, PX, PY, V0, V1, A, N
from kit.pour.noise import F


@kernel()
def near_walls(
    walls: NDArray[np.float32],
    here: NDArray[np.float32],
    drift_ft: float,
    near: NDArray[np.int32],
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


@kernel()
def add_wall(s: NDArray[np.float32], wall: NDArray[np.float32], fade: np.float32) -> None:
    """Multiply the walls' factor by that of one capsule: 1-(1-d/fade)^3."""
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


@kernel()
def add_long_wall(
    s: NDArray[np.float32], wall: NDArray[np.float32], fade: np.float32
) -> None:
    """Multiply by the factor of a straight wall whose ends are out of the block's way."""
    x0, y0, nx, ny = wall[0], wall[1], -wall[3], wall[2]
    per = F(1) / fade
    off = -(x0 * nx + y0 * ny) * per
    steep, bent = F(3) * per, F(-6) * per * per
    nxx, nxy, nyy, px, py = (
        bent * nx * nx,
        bent * nx * ny,
        bent * ny * ny,
        nx * per,
        ny * per,
    )
    for i in range(N):
        t = s[PX + i] * px + s[PY + i] * py + off
        left = max(F(1) - abs(t), F(0))
        square = left * left
        r = F(1) - square * left
        slope = steep * square if t > F(0) else -steep * square
        rx, ry = slope * nx, slope * ny
        a, a_x, a_y = s[A + i], s[A_X + i], s[A_Y + i]
        s[A_XX + i] = s[A_XX + i] * r + F(2) * a_x * rx + a * left * nxx
        s[A_XY + i] = s[A_XY + i] * r + a_x * ry + a_y * rx + a * left * nxy
        s[A_YY + i] = s[A_YY + i] * r + F(2) * a_y * ry + a * left * nyy
        s[A_X + i] = a_x * r + a * rx
        s[A_Y + i] = a_y * r + a * ry
        s[A + i] = a * r


@kernel()
def is_long(wall: NDArray[np.float32], here: NDArray[np.float32]) -> bool:
    """Whether all of the box lies beside a straight wall, none past its ends."""
    if wall[5] > F(0):
        return False
    along = (here[0] - wall[0]) * wall[2] + (here[1] - wall[1]) * wall[3]
    width, height = (here[2] - here[0]) * wall[2], (here[3] - here[1]) * wall[3]
    least = along + min(width, F(0)) + min(height, F(0))
    most = along + max(width, F(0)) + max(height, F(0))
    return bool(least > F(0) and most < wall[4])


@kernel()
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
        if is_long(wall, here):
            add_long_wall(s, wall, fade)
        else:
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
