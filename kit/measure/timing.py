"""CPU time of one thread, works taken in turn so that the machine's moods hit all alike.

Garbage is not collected while a work is timed, as `timeit` has it: it would be charged to
whichever work comes when there is enough of it. A work that is not long is done once
before, or it would be timed among what the work before it left in the caches.
"""

from __future__ import annotations

import gc
import math
import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable

Work = Callable[[], object]

LEAST_S = 0.02
"""A work is repeated until it takes this long, so that the clock's grain is small. [s]"""
LONG_S = 1.0
"""A work that takes this long warms its own caches. [s]"""
_TRIALS = 2
"""Calls by whose shorter one it is told how long a work takes."""


def interleaved(works: dict[str, Work], rounds: int) -> dict[str, list[float]]:
    """Time works in turn, `rounds` times over.

    Returns
    -------
    dict
        CPU seconds of one call for each round, by the work's name.
    """
    takes_s = {name: _takes_s(work) for name, work in works.items()}
    spent: dict[str, list[float]] = {name: [] for name in works}
    for _ in range(rounds):
        for name, work in works.items():
            if takes_s[name] < LONG_S:
                work()
            repeats = max(1, math.ceil(LEAST_S / takes_s[name]))
            spent[name].append(_once(work, repeats))
    return spent


def fresh(codes: dict[str, str], rounds: int) -> dict[str, list[float]]:
    """Time pieces of code in turn, each in a Python process of its own, one thread each.

    Returns
    -------
    dict
        CPU seconds of the whole process for each round, its start included; a
        first round, which may have to compile, is not counted.
    """
    spent: dict[str, list[float]] = {name: [] for name in codes}
    with tempfile.TemporaryDirectory() as bytecode:
        for code in codes.values():
            _process(code, bytecode)
        for _ in range(rounds):
            for name, code in codes.items():
                spent[name].append(_process(code, bytecode))
    return spent


def ratio(of: list[float], to: list[float]) -> float:
    """Median over rounds of the ratio within a round."""
    return statistics.median(a / b for a, b in zip(of, to, strict=True))


def _takes_s(work: Work) -> float:
    work()  # compiles, fills what is kept
    return max(min(_once(work, 1) for _ in range(_TRIALS)), 1e-6)


def _once(work: Work, repeats: int) -> float:
    collects = gc.isenabled()
    gc.disable()
    try:
        start = time.process_time()
        for _ in range(repeats):
            work()
        return (time.process_time() - start) / repeats
    finally:
        if collects:
            gc.enable()


def _process(code: str, bytecode: str) -> float:
    """Run code with its bytecode kept in a folder, as an installed package keeps it."""
    threads = ("NUMBA_NUM_THREADS", "OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS")
    given = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    done = subprocess.run(
        [sys.executable, "-c", f"{code}\nimport time; print(time.process_time())"],
        env={**given, **dict.fromkeys(threads, "1"), "PYTHONPYCACHEPREFIX": bytecode},
        capture_output=True,
        text=True,
        check=True,
    )
    return float(done.stdout.split()[-1])
