"""Walls near a block, and what of it lies off the floor."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from kit.kernels import kernel
from kit.pour.block import CLEAR, FOOT, PX, PY, U2, U3, N
from kit.pour.laid import Laid
from kit.pour.noise import INT, F


@kernel()
def room_for_lists(walls: int) -> NDArray[np.int32]:
    """Three lists of walls, (3, W), the first of all of them."""
    lists = np.empty((3, walls), np.int32)
    for k in range(walls):
        lists[0, k] = k
    return lists


@kernel()
def near_walls(
    boxes: NDArray[np.float32], here: NDArray[np.float32], reach_ft: np.float32,
    among: NDArray[np.int32], count: int, near: NDArray[np.int32],
) -> int:  # fmt: skip
    """List those of some walls whose boxes lie within so far of the block's."""
    west, south = here[0] - reach_ft, here[1] - reach_ft
    east, north = here[2] + reach_ft, here[3] + reach_ft
    found = INT(0)
    for n in range(count):
        k = among[n]
        # without a branch: one wall in ten is near
        beside = (boxes[k, 0] < east) & (boxes[k, 2] > west)
        within = (boxes[k, 1] < north) & (boxes[k, 3] > south)
        near[found] = k
        found += INT(beside & within)
    return int(found)


@kernel(forceinline=True)
def seen_off_floor(foot: Any) -> Any:
    """How far off the floor a pixel so wide still shows some of it. [ft]"""
    return F(2) * foot + F(0.02)


@kernel()
def is_off_floor(
    laid: Laid, here: NDArray[np.float32], foot: np.float32, lists: NDArray[np.int32]
) -> bool:
    """Whether all of a block lies off the floor, a pixel or two away: told by its box."""
    walls, every = laid.walls, lists[0]
    beside = seen_off_floor(foot)
    if near_walls(laid.wall_boxes, here, beside, every, every.size, lists[1]):
        return False
    x, y = F(0.5) * (here[0] + here[2]), F(0.5) * (here[1] + here[3])
    odd = False
    for k in range(walls.shape[0]):
        start, rise = walls[k, 1], walls[k, 3] * walls[k, 4]
        if (start > y) != (start + rise > y):
            odd ^= bool(walls[k, 0] + walls[k, 2] / walls[k, 3] * (y - start) > x)
    return not odd


@kernel()
def tell_off_floor(
    s: NDArray[np.float32], laid: Laid, here: NDArray[np.float32],
    lists: NDArray[np.int32],
) -> None:  # fmt: skip
    """Mark those lanes told, row CLEAR, that lie off the floor and show nothing of it."""
    beside, every = seen_off_floor(s[FOOT]), lists[0]
    for i in range(N):
        s[U2 + i], s[U3 + i] = F(1), F(1)
    for k in range(laid.walls.shape[0]):
        wall = laid.walls[k]
        start, end = wall[1], wall[1] + wall[3] * wall[4]
        if start == end or max(start, end) <= here[1] or min(start, end) > here[3]:
            continue
        lean = wall[2] / wall[3]
        for i in range(N):
            crosses = (start > s[PY + i]) != (end > s[PY + i])
            is_west = wall[0] + lean * (s[PY + i] - start) > s[PX + i]
            s[U2 + i] = -s[U2 + i] if crosses & is_west else s[U2 + i]
    count = near_walls(laid.wall_boxes, here, beside, every, every.size, lists[1])
    for k in range(count):
        wall = laid.walls[lists[1][k]]
        x0, y0, tx, ty, length = wall[0], wall[1], wall[2], wall[3], wall[4]
        reach = (wall[5] + beside) * (wall[5] + beside)
        for i in range(N):
            x, y = s[PX + i] - x0, s[PY + i] - y0
            on = min(max(x * tx + y * ty, F(0)), length)
            x, y = x - on * tx, y - on * ty
            s[U3 + i] = s[U3 + i] if x * x + y * y > reach else F(0)
    for i in range(N):
        s[CLEAR + i] = max(s[CLEAR + i], s[U3 + i] if s[U2 + i] > F(0) else F(0))
