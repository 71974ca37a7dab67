"""Whether a second thread halves the wait, where there is a second core to run it."""

from __future__ import annotations

import statistics
import time
from typing import Any

import numba
import numpy as np

from kit.measure.timing import Work

_CONFIG: Any = numba.config
FREE = 1.7
"""A second core that makes plain arithmetic less than this much faster is not free."""


def waits(work: Work, rounds: int) -> tuple[list[float], list[float]] | None:
    """Time a work on one thread and on two, in turn, by the clock.

    Returns
    -------
    (list, list) or None
        Seconds on one thread and on two for each round in which the second core
        was free; None if it never was, or there is only one.
    """
    if _CONFIG.NUMBA_NUM_THREADS < 2:
        return None
    one, two = [], []
    for _ in range(rounds):
        if _sped_up(_arithmetic()) < FREE:
            continue
        one.append(_clocked(work, 1))
        two.append(_clocked(work, 2))
    return (one, two) if one else None


def _sped_up(work: Work) -> float:
    return _clocked(work, 1) / _clocked(work, 2)


def _clocked(work: Work, threads: int) -> float:
    before = numba.get_num_threads()
    numba.set_num_threads(threads)
    try:
        work()
        times = []
        for _ in range(3):
            start = time.perf_counter()
            work()
            times.append(time.perf_counter() - start)
        return statistics.median(times)
    finally:
        numba.set_num_threads(before)


def _arithmetic() -> Work:
    """Plain arithmetic of some 50 core-ms, in pieces as small as a frame's."""
    from kit.measure.arithmetic import multiply_and_add_at_once

    numbers = np.linspace(0.1, 0.9, 64 * 1024, dtype=np.float32).reshape(256, 256)
    sums = np.empty_like(numbers)
    return lambda: multiply_and_add_at_once(numbers, sums, 2_000)
