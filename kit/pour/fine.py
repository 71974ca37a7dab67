"""What only a close look resolves: smoke that frays into threads and fingers.

From afar an edge between two colours is smoke. Near to, that smoke is threads drawn out
along the flow and fingers of one colour in the other, finer the closer one looks. As much
as a pixel shows of them is taken out of the smoke, so that both have the same mean.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from kit.kernels import kernel
from kit.pour.block import (
    ACROSS,
    BLEED,
    CROWD_X,
    CROWD_Y,
    FOOT,
    FRAY0,
    FRAY1,
    FRAYED,
    LATE_X,
    LATE_Y,
    LEAN_X,
    LEAN_Y,
    LONG,
    MID_X,
    MID_Y,
    NDX,
    NDY,
    NV,
    NX,
    NY,
    REACH,
    STRETCH_X,
    STRETCH_Y,
    THREAD0,
    THREAD1,
    W2,
    W3,
    W4,
    W5,
    N,
)
from kit.pour.composition import Lie
from kit.pour.noise import F, fade_of, noise, smooth_step

_THREADS = ((F(36), F(5.5)), (F(100), F(16)))
"""Waves a foot across and along the current of the two octaves of threads."""
_THREAD_LEAN = ((F(0.045), F(12)), (F(0.045), F(32)))
"""Most slope of the flakes in each octave, and the slope of threads at half of it."""
_FINGERS = (F(48), F(130))
"""Waves a foot of the two octaves of fingers."""
_THREAD_PART, _FINGER_PART = (F(0.42), F(0.24)), (F(0.24), F(0.13))
"""Part of each octave in the deviation of an edge; their squares sum to less than one."""
_DULLED = F(8)
"""Blur of a wave by a pixel: nothing is left where a pixel is 0.23 of a wave, as from
25 ft; closer, waves that few pixels share would read as hatching."""
_LIVELY = F(0.42)
"""About what part of the smoke frays; the rest stays smoke however near one looks."""
NOISE_DEVIATION, SLOPE_DEVIATION = F(0.314), F(0.905)
"""Root mean square of `noise` and of its slope along one axis."""


@kernel(forceinline=True)
def shown(foot_ft: Any, per_ft: Any) -> Any:
    """What a pixel shows of so many waves a foot."""
    blur = _DULLED * per_ft * foot_ft
    return fade_of(blur * blur)


@kernel(forceinline=True)
def finest(s: NDArray[np.float32]) -> np.float32:
    """Width of a block's finest pixel, about. [ft]"""
    return min(s[FOOT], s[FOOT + N - 1], s[FOOT + N // 2])


@kernel()
def draw_fine(s: NDArray[np.float32], lie: Lie) -> None:
    """Fill rows THREAD, FRAY and FRAYED, and lean the flakes along the threads."""
    for i in range(N):
        s[FRAY0 + i], s[FRAY1 + i], s[FRAYED + i] = F(0), F(0), F(0)
        s[THREAD0 + i], s[THREAD1 + i] = F(0), F(0)
    if shown(finest(s), min(_THREADS[0][0], _FINGERS[0])) <= F(0):
        return
    for i in range(N):
        lively = _LIVELY + F(1.3) * s[W2 + i] + F(1.1) * s[W3 + i]
        s[REACH + i] = F(0.30) + F(0.70) * smooth_step(lively)
    for octave in range(2):
        if shown(finest(s), _THREADS[octave][0]) > F(0):
            draw_threads(s, octave, lie.salts[30 + octave])
        if shown(finest(s), _FINGERS[octave]) > F(0):
            draw_fingers(s, octave, lie.salts[32 + octave])


@kernel()
def draw_threads(s: NDArray[np.float32], octave: int, salt: np.uint32) -> None:
    """One octave of threads, drawn out by the trowel like silk."""
    wide, long = _THREADS[octave]
    most, half = _THREAD_LEAN[octave]
    row = THREAD0 + octave * (THREAD1 - THREAD0)
    for i in range(N):
        # wisps shift threads against each other: none lie in rows
        s[NX + i] = s[ACROSS + i] * wide + F(0.6) * s[W4 + i] + F(0.25) * s[W5 + i]
        s[NY + i] = s[LONG + i] * long + F(1.6) * s[W3 + i] - F(0.6) * s[W4 + i]
    noise(s, salt)
    for i in range(N):
        ax, ay = wide * s[CROWD_X + i], wide * s[CROWD_Y + i]
        lx, ly = long * s[STRETCH_X + i], long * s[STRETCH_Y + i]
        across, along = ax * ax + ay * ay, lx * lx + ly * ly
        crowd = across + along
        blur = F(2.4) * s[FOOT + i]
        # only what is drawn out is a thread: else the two ways cross as in a thatch
        drawn = across / (across + F(4) * along + F(1e-6))
        fade = drawn * shown(s[FOOT + i], wide) / (F(1) + crowd * blur * blur)
        gx, gy = s[NDX + i] * ax + s[NDY + i] * lx, s[NDX + i] * ay + s[NDY + i] * ly
        blur = F(1.2) * s[BLEED + i]
        lean = fade * most / (F(1) + crowd * blur * blur)
        lean /= np.sqrt(gx * gx + gy * gy) + half
        s[LEAN_X + i] += lean * gx
        s[LEAN_Y + i] += lean * gy
        s[NX + i] = fade
    for i in range(N):
        s[row + i] = s[NX + i] * s[NV + i]
    fray(s, _THREAD_PART[octave])


@kernel()
def draw_fingers(s: NDArray[np.float32], octave: int, salt: np.uint32) -> None:
    """One octave of fingers, curled by the wisps that are next finer."""
    per_ft = _FINGERS[octave]
    for i in range(N):
        x = F(0.7) * s[LATE_X + i] + F(0.3) * s[MID_X + i] + F(0.010) * s[W4 + i]
        y = F(0.7) * s[LATE_Y + i] + F(0.3) * s[MID_Y + i] + F(0.010) * s[W5 + i]
        s[NX + i], s[NY + i] = per_ft * x, per_ft * y
    noise(s, salt)
    for i in range(N):
        s[NX + i] = shown(s[FOOT + i], per_ft)
    fray(s, _FINGER_PART[octave])


@kernel()
def fray(s: NDArray[np.float32], part: np.float32) -> None:
    """Add the last noise, shown as rows NX and REACH tell, to the pair that frays edges.

    Value and slope of a noise know nothing of each other: one noise gives both.
    """
    for i in range(N):
        some = part * s[REACH + i] * s[NX + i]
        s[FRAY0 + i] += some / NOISE_DEVIATION * s[NV + i]
        s[FRAY1 + i] += some / SLOPE_DEVIATION * s[NDX + i]
        s[FRAYED + i] += some * some
