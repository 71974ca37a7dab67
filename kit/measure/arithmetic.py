"""How fast this machine multiplies and adds: the floor under any kernel."""

from __future__ import annotations

import numpy as np
from numba import prange
from numpy.typing import NDArray

from kit.kernels import kernel
from kit.pour.walk import add_stroke

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
        add_stroke(block, record)


@kernel(parallel=True)
def multiply_and_add_at_once(
    numbers: NDArray[np.float32], sums: NDArray[np.float32], times: int
) -> None:
    """Do `multiply_and_add` so many times on each row of (R, N), rows spread over cores."""
    for row in prange(numbers.shape[0]):
        multiply_and_add_often(numbers[row], sums[row], times)
