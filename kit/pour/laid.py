"""All strokes of a floor, sorted into bins so that a block finds those that touch it."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from kit.pour.ground import Ground
from kit.pour.motions import Motion, Ripple, Strokes
from kit.pour.walls import boxes_of
from kit.units import M_PER_FT

RECORD = 6
"""Numbers a stroke: 1/R, u, v, x, y, R. [ft]"""
# places in a level's integers: first bin's start, bins east and north, pass
START, EAST, NORTH, PASS = range(4)
# places in a level's numbers: bin side, west, south, largest radius, fade at walls [ft]
SIDE, WEST, SOUTH, REACH, WALL = range(5)


class Laid(NamedTuple):
    """Strokes and creep of every motion, last in time first, as the kernel reads them.

    Parameters
    ----------
    records : (M, RECORD) float32
        Strokes, a run for each bin of each level. [ft]
    starts : (K,) int32
        First stroke of each bin; a level's bins and one more lie together.
    level_ints : (L, 4) int32
    level_feet : (L, 5) float32
        A level is one moment of one pass; see the names above.
    ripples : (R, 4) float32
        Depth, wave, fade at walls [ft] and salt number of each octave of creep.
    walls : (W, 6) float32
        Walls and columns as capsules. [ft]
    wall_boxes : (W, 4) float32
        Their west, south, east and north ends. [ft]
    drift_ft : float32
        Walls farther than this from a place are left out of its walk. [ft]
    """

    records: NDArray[np.float32]
    starts: NDArray[np.int32]
    level_ints: NDArray[np.int32]
    level_feet: NDArray[np.float32]
    ripples: NDArray[np.float32]
    walls: NDArray[np.float32]
    wall_boxes: NDArray[np.float32]
    drift_ft: np.float32


def lay(ground: Ground, motions: tuple[Motion, ...]) -> Laid:
    """Lay all motions over the ground and sort their strokes for walking back."""
    left = [motion.lays(ground, salt) for salt, motion in enumerate(motions)]
    strokes = [trace for trace in left if isinstance(trace, Strokes) and trace.x_m.size]
    ripples = [trace for trace in left if isinstance(trace, Ripple)]
    records: list[NDArray[np.float64]] = []
    starts: list[NDArray[np.int64]] = []
    ints: list[tuple[int, int, int, int]] = []
    feet: list[tuple[float, ...]] = []
    strokes_before = bins_before = 0
    drift_ft = sum(depth for ripple in ripples for depth in ripple.depth_m) * 4.0 / M_PER_FT
    for number, trace in enumerate(reversed(strokes)):
        for moment in reversed(range(trace.x_m.shape[0])):
            level = _moment(ground, trace, moment)
            order, counts, east, north, where = _binned(level)
            first = np.concatenate([[0], np.cumsum(counts)]) + strokes_before
            records.append(level[order])
            starts.append(first)
            ints.append((bins_before, east, north, number))
            feet.append((*where, trace.wall_m / M_PER_FT))
            strokes_before += len(level)
            bins_before += first.size
            drift_ft += _most_drag(level)
    creep = [
        (depth / M_PER_FT, wave / M_PER_FT, ripple.wall_m / M_PER_FT, 40 + k)
        for ripple in ripples
        for k, (depth, wave) in enumerate(zip(ripple.depth_m, ripple.wave_m, strict=True))
    ]
    return Laid(
        records=np.concatenate(records).astype(np.float32)
        if records
        else np.zeros((0, RECORD), np.float32),
        starts=np.concatenate(starts).astype(np.int32) if starts else np.zeros(0, np.int32),
        level_ints=np.array(ints, np.int32).reshape(-1, 4),
        level_feet=np.array(feet, np.float32).reshape(-1, 5),
        ripples=np.array(creep, np.float32).reshape(-1, 4),
        walls=ground.obstacles_ft,
        wall_boxes=boxes_of(ground.obstacles_ft),
        drift_ft=np.float32(drift_ft + max((row[-1] for row in feet), default=0.0)),
    )


def _moment(ground: Ground, trace: Strokes, moment: int) -> NDArray[np.float64]:
    """One moment's strokes as (N, RECORD) rows in feet from the floor's corner."""
    west_m, south_m = ground.corner_m
    radius = trace.radius_m[moment] / M_PER_FT
    return np.column_stack(
        [
            1.0 / radius,
            trace.u_m[moment] / M_PER_FT,
            trace.v_m[moment] / M_PER_FT,
            (trace.x_m[moment] - west_m) / M_PER_FT,
            (trace.y_m[moment] - south_m) / M_PER_FT,
            radius,
        ]
    )


def _binned(
    level: NDArray[np.float64],
) -> tuple[
    NDArray[np.int64], NDArray[np.int64], int, int, tuple[float, float, float, float]
]:
    """Sort strokes by bin: order, strokes a bin, bins east and north, where they lie."""
    radius, x, y = level[:, 5], level[:, 3], level[:, 4]
    side = 0.8 * _middle(radius)
    west, south = float(x.min()), float(y.min())
    column, row = ((x - west) / side).astype(int), ((y - south) / side).astype(int)
    east, north = int(column.max()) + 1, int(row.max()) + 1
    number = row * east + column
    order = np.argsort(number, kind="stable")
    counts = np.bincount(number, minlength=east * north)
    return order, counts, east, north, (side, west, south, float(radius.max()))


def _middle(numbers: NDArray[np.float64]) -> float:
    """Their median; numpy's own loads its masked arrays, to look for what is no number."""
    ordered, half = np.sort(numbers), len(numbers) // 2
    return float(ordered[half] + ordered[-1 - half]) / 2.0


def _most_drag(level: NDArray[np.float64]) -> float:
    """The most that overlapping strokes can move a place in this moment. [ft]"""
    return float(np.hypot(level[:, 1], level[:, 2]).max()) * 2.0
