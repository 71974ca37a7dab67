"""How fast this machine multiplies and adds, and strokes alone: the floor under a walk."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from kit.kernels import kernel, prange
from kit.lanes import room_for
from kit.pour.apart import Grid, take_places
from kit.pour.block import (
    G0,
    G1,
    G2,
    J00,
    J01,
    J10,
    J11,
    POUR_X,
    POUR_Y,
    PSI,
    PX,
    PY,
    SIZE,
    V0,
    V1,
    N,
)
from kit.pour.kernel import give_plane
from kit.pour.laid import EAST, NORTH, START, Laid
from kit.pour.noise import F
from kit.pour.walk import add_stroke, box, gather, keep_frame, step_back

A_LANE = 32
"""Multiply-adds that `multiply_and_add` does for each lane."""


@kernel()
def multiply_and_add(numbers: NDArray[np.float32], sums: NDArray[np.float32]) -> None:
    """Fill `sums` (N,) with what `A_LANE` multiply-adds make of each number, (N,)."""
    for i in range(numbers.size):
        x = numbers[i]
        a, b, c, d = x, x + np.float32(1), x + np.float32(2), x + np.float32(3)
        for _ in range(2):
            a, b, c, d = a * x + b, b * x + c, c * x + d, d * x + a
            a, b, c, d = a * x + d, b * x + a, c * x + b, d * x + c
            a, b, c, d = a * x + c, b * x + d, c * x + a, d * x + b
            a, b, c, d = a * x + b, b * x + c, c * x + d, d * x + a
        sums[i] = a * b + c * d


@kernel()
def multiply_and_add_often(
    numbers: NDArray[np.float32], sums: NDArray[np.float32], times: int
) -> None:
    """Do `multiply_and_add` so many times, without a call from Python between."""
    for _ in range(times):
        multiply_and_add(numbers, sums)


@kernel()
def add_stroke_often(
    block: NDArray[np.float32], record: NDArray[np.float32], times: int
) -> None:
    """Add one stroke to a block so many times, without a call from Python between."""
    for _ in range(times):
        add_stroke(block, record, True)


@kernel()
def add_everywhere(
    x: NDArray[np.float32], y: NDArray[np.float32], records: NDArray[np.float32],
    sums: NDArray[np.float32],
) -> None:  # fmt: skip
    """Fill `sums` (6, K) with what all strokes, (S, 6), do at K places, K a multiple of N.

    Rows are stream function, velocity and gradient, as `add_stroke` adds them.
    """
    s = room_for(SIZE)
    for first in range(0, x.size, N):
        for i in range(N):
            s[PX + i], s[PY + i] = x[first + i], y[first + i]
        for k in range(records.shape[0]):
            add_stroke(s, records[k], k > 0)
        for i in range(N):
            sums[0, first + i], sums[1, first + i] = s[PSI + i], s[V0 + i]
            sums[2, first + i], sums[3, first + i] = s[V1 + i], s[G0 + i]
            sums[4, first + i], sums[5, first + i] = s[G1 + i], s[G2 + i]


@kernel()
def add_all(
    s: NDArray[np.float32], records: NDArray[np.float32], starts: NDArray[np.int32],
    ints: NDArray[np.int32],
) -> bool:  # fmt: skip
    """Do as `kit.pour.walk.gather` with every stroke of a moment, near or far."""
    first, bins = starts[ints[START]], ints[EAST] * ints[NORTH]
    last = starts[ints[START] + bins]
    for r in range(first, last):
        add_stroke(s, records[r], r > first)
    return bool(last > first)


@kernel()
def drag_back(
    x: NDArray[np.float32], y: NDArray[np.float32], tile_height: int, laid: Laid,
    everywhere: bool, origins: NDArray[np.float32],
) -> None:  # fmt: skip
    """Fill `origins` (2, H, W) with where strokes alone carried (H, W) places from. [ft]

    `kit.pour.walk.walk`, Jacobian and all, on a floor without walls whose film does not
    level: what a chain of warps does. If `everywhere`, no index tells which strokes reach.
    """
    s = room_for(SIZE)
    here = np.empty(4, np.float32)
    for top in range(0, x.shape[0], tile_height):
        for left in range(0, x.shape[1], N // tile_height):
            take_places(s, Grid(x, y, x), top, left, tile_height)
            for i in range(N):
                s[J00 + i], s[J01 + i], s[J10 + i], s[J11 + i] = F(1), F(0), F(0), F(1)
            box(s, here)
            for level in range(laid.level_ints.shape[0]):
                ints, feet = laid.level_ints[level], laid.level_feet[level]
                if everywhere:
                    is_moved = add_all(s, laid.records, laid.starts, ints)
                else:
                    is_moved = gather(s, laid.records, laid.starts, ints, feet, here)
                if is_moved:
                    step_back(s)
                    box(s, here)
            keep_frame(s, POUR_X, POUR_Y)
            give_plane(s[POUR_X : POUR_X + N], origins[0], top, left, tile_height)
            give_plane(s[POUR_Y : POUR_Y + N], origins[1], top, left, tile_height)


@kernel(parallel=True)
def multiply_and_add_at_once(
    numbers: NDArray[np.float32], sums: NDArray[np.float32], times: int
) -> None:
    """Do `multiply_and_add` so many times on each row of (R, N), rows spread over cores."""
    for row in prange(numbers.shape[0]):
        multiply_and_add_often(numbers[row], sums[row], times)
