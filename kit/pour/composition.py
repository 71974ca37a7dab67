"""The composition of the whole floor: one slow field whose zero line is the current."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from numpy.typing import NDArray

from kit.kernels import kernel
from kit.lanes import room_for
from kit.pour.banks import BANK, banks_of, run_along_banks
from kit.pour.bearings import bearings_of, take_bearings
from kit.pour.block import (
    BAND,
    CX,
    CY,
    LONG,
    LONG_X,
    LONG_Y,
    NDX,
    NDY,
    NV,
    NX,
    NY,
    Q_X,
    Q_Y,
    SIZE,
    U2,
    U3,
    U4,
    WIDE,
    WIDE_X,
    WIDE_Y,
    N,
    Q,
)
from kit.pour.noise import F, noise, power_of_e, salted, sine_of_turns
from kit.pour.walls import boxes_of
from kit.units import M_PER_FT

if TYPE_CHECKING:
    from kit.plan.floor import FloorPlan

SALTS = 64
BAY_FT = 11.0
"""Spacing of the lanes a floor is poured in. [ft]"""
_SLENDER = F(0.44)
"""Width of the large moves against their length, which lies along the pour."""
_SMALL = F(0.42)


class Lie(NamedTuple):
    """Scale, lie and salts of one floor's composition, as a kernel reads them.

    Parameters
    ----------
    rooms : (R, 8) float32
        Each room's way of being poured, see `bearings_of`.
    scale_ft, width_ft : float32
        Size of the largest moves, half width of the current. [ft]
    salts : (SALTS,) uint32
        One for each noise.
    banks : (M, BANK) float32
        Walls and columns, along which the current runs, see `banks_of`.
    bank_boxes : (M, 4) float32
        Their west, south, east and north ends. [ft]
    """

    rooms: NDArray[np.float32]
    scale_ft: np.float32
    width_ft: np.float32
    salts: NDArray[np.uint32]
    banks: NDArray[np.float32]
    bank_boxes: NDArray[np.float32]


def compose(
    plan: FloorPlan,
    obstacles_ft: NDArray[np.float32],
    seed: int,
    *,
    sweep: float,
    calm: float,
) -> Lie:
    """Fit the composition to a floor: its size sets the scale, the pour the lie.

    Parameters
    ----------
    obstacles_ft : (M, 6) float32
        Walls and columns as capsules from the floor's corner, see `walls`. [ft]
    """
    scale_ft = float(np.clip(0.62 * np.sqrt(plan.surface.area) / M_PER_FT, 10.0, 34.0))
    tilt = (int(salted(seed, 9001)) / 2**32 - 0.5) * 0.7
    width_ft = 3.2 * 3.0 ** (1.0 - 2.0 * calm)
    open_ = Lie(
        rooms=bearings_of(plan, tilt),
        scale_ft=np.float32(scale_ft * sweep),
        width_ft=np.float32(width_ft),
        salts=np.array([salted(seed, name) for name in range(SALTS)], np.uint32),
        banks=np.zeros((0, BANK), np.float32),
        bank_boxes=np.zeros((0, 4), np.float32),
    )
    start = obstacles_ft[:, :2]
    end = start + obstacles_ft[:, 2:4] * obstacles_ft[:, 4:5]
    value = np.empty((2, 6, len(start)), np.float32)
    for k, at in enumerate((start, end)):
        current_at(
            np.ascontiguousarray(at[:, 0]), np.ascontiguousarray(at[:, 1]), open_, value[k]
        )
    banks = banks_of(obstacles_ft, value[0, 0], value[1, 0], scale_ft * sweep)
    return open_._replace(banks=banks, bank_boxes=boxes_of(obstacles_ft))


@kernel()
def current(s: NDArray[np.float32], lie: Lie) -> None:
    """Fill Q, its slope and the band at rows CX, CY, and the bearings there."""
    salts = lie.salts
    take_bearings(s, lie.rooms)
    wave = F(1) / lie.scale_ft
    small = _SLENDER / (_SMALL * lie.scale_ft)
    narrow = wave / _SMALL
    lanes = F(1.0 / BAY_FT)
    for i in range(N):
        a, b = s[LONG + i], s[WIDE + i]
        s[NX + i], s[NY + i] = F(0.8) * a * wave, F(0.8) * b * wave
    noise(s, salts[0])
    for i in range(N):
        bend = F(0.35) * s[NV + i]
        s[U2 + i] = F(0.35 * 0.8) * wave * s[NDX + i]
        s[U3 + i] = F(0.35 * 0.8) * wave * s[NDY + i]
        s[NX + i] = _SLENDER * s[LONG + i] * wave + bend
        s[NY + i] = s[WIDE + i] * wave + bend
    noise(s, salts[1])
    for i in range(N):
        both = s[NDX + i] + s[NDY + i]
        s[U4 + i] = s[NV + i]
        s[U2 + i] = _SLENDER * wave * s[NDX + i] + both * s[U2 + i]
        s[U3 + i] = wave * s[NDY + i] + both * s[U3 + i]
        s[NX + i] = small * s[LONG + i]
        s[NY + i] = narrow * s[WIDE + i]
    noise(s, salts[2])
    for i in range(N):
        turns = s[WIDE + i] * lanes + F(0.35) * s[U4 + i]
        bay, slope = (
            sine_of_turns(turns),
            F(0.10 * 6.2831853) * sine_of_turns(turns + F(0.25)),
        )
        large = F(1.35) + F(0.35) * slope
        value = F(1.35) * s[U4 + i] + F(0.26) * s[NV + i] + F(0.10) * bay
        q_a = large * s[U2 + i] + F(0.26) * small * s[NDX + i]
        q_b = large * s[U3 + i] + F(0.26) * narrow * s[NDY + i] + slope * lanes
        s[Q + i] = value
        q_x = q_a * s[LONG_X + i] + q_b * s[WIDE_X + i]
        q_y = q_a * s[LONG_Y + i] + q_b * s[WIDE_Y + i]
        s[Q_X + i], s[Q_Y + i] = q_x, q_y
    run_along_banks(s, lie.banks, lie.bank_boxes)
    for i in range(N):
        value, q_x, q_y = s[Q + i], s[Q_X + i], s[Q_Y + i]
        slope_ = np.sqrt(q_x * q_x + q_y * q_y) + F(0.35) * wave
        off = value / (slope_ * lie.width_ft)
        s[BAND + i] = power_of_e(-off * off)


@kernel()
def current_at(
    x: NDArray[np.float32], y: NDArray[np.float32], lie: Lie, out: NDArray[np.float32]
) -> None:
    """Fill `out` (6, M) at M places: Q, its slope, the band, and the way of the pour."""
    s = room_for(SIZE)
    for first in range(0, x.size, N):
        lanes = min(N, x.size - first)
        for i in range(N):
            s[CX + i] = x[first + min(i, lanes - 1)]
            s[CY + i] = y[first + min(i, lanes - 1)]
        current(s, lie)
        for i in range(lanes):
            out[0, first + i], out[1, first + i] = s[Q + i], s[Q_X + i]
            out[2, first + i], out[3, first + i] = s[Q_Y + i], s[BAND + i]
            out[4, first + i], out[5, first + i] = s[LONG_X + i], s[LONG_Y + i]
