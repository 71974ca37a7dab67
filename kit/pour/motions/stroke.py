"""Strokes laid on a lattice: every number of a stroke from its cell and the seed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from kit.pour.motions.motion import Strokes

if TYPE_CHECKING:
    from kit.pour.ground import Ground

Numbers = NDArray[np.float64]
Weight = Callable[[Numbers, Numbers], Numbers]
TURN_TO_WALL_M = 1.2
"""Nearer than this, a hand begins to follow the wall. [m]"""

LONGEST_STEP = 0.25
"""A moment drags the film by less than this share of the stroke's radius, or it folds."""


@dataclass(frozen=True)
class Hand:
    """How one pass is worked: a stroke a cell, its mean size and its freedom.

    Parameters
    ----------
    spacing_m, radius_m, length_m : float
        Cell of the lattice, mean reach to either side, mean length. [m]
    curve, spread : float
        Largest turn within a stroke, and scatter of its heading. [rad]
    back : float
        Share of strokes pulled against the current. [0 to 1]
    alternate : bool
        Whether neighbouring strokes curve left and right in turn.
    moments : int
        Steps in which a stroke is walked.
    sway : float
        S-curve within a stroke, against its largest turn.
    lanes : bool
        Whether it is pulled along the way the room is poured, not the current.
    turned : float
        Turn of every heading against that way. [rad]
    """

    spacing_m: float
    radius_m: float
    length_m: float
    curve: float
    spread: float
    back: float
    alternate: bool
    moments: int
    sway: float = 0.8
    lanes: bool = False
    turned: float = 0.0


def lay_strokes(ground: Ground, salt: int, hand: Hand, weight: Weight) -> Strokes:
    """Lay one stroke a lattice cell over the ground and its surroundings.

    Parameters
    ----------
    weight : callable
        Drag of a stroke from the place of its centre, (N,) and (N,) in metres.
    """
    radius_m, length_m = hand.radius_m, hand.length_m * ground.flow.reach
    west, south, east, north = ground.bounds_m
    pad_m = radius_m * 1.2 + 0.65 * length_m
    first = np.floor(np.array([west - pad_m, south - pad_m]) / hand.spacing_m).astype(int)
    last = np.ceil(np.array([east + pad_m, north + pad_m]) / hand.spacing_m).astype(int)
    cells = np.mgrid[first[0] : last[0], first[1] : last[1]].reshape(2, -1)
    chance = _chances(cells, ground.seed, salt)
    x_m, y_m = (cells + chance[:2]) * hand.spacing_m
    length_m = length_m * (0.5 + 0.8 * chance[2])
    radius_m = radius_m * (0.6 + 0.6 * chance[3])
    away_m, _ = ground.walls(x_m, y_m)
    open_floor = np.clip((away_m + 0.15 * radius_m) / radius_m, 0.0, 1.0)
    near = 0.10 + 0.90 * open_floor**2 * (3.0 - 2.0 * open_floor)
    drag = (
        weight(x_m, y_m) * (0.7 + 0.5 * chance[4]) * np.where(away_m < -radius_m, 0.0, near)
    )
    keep = drag > 1e-3
    scatter = hand.spread * 1.7 * (chance[7] + chance[8] + chance[9] - 1.5) / 1.5
    turned = hand.turned + scatter + np.pi * (chance[10] < hand.back)
    bend = hand.curve * ground.flow.turn * (2.0 * chance[5] - 1.0)
    if hand.alternate:
        side = np.where((cells[0] + cells[1]) % 2, 1.0, -1.0)
        bend = hand.curve * ground.flow.turn * side * (0.3 + 0.7 * chance[5])
    sway = hand.sway * hand.curve * ground.flow.turn * (2.0 * chance[6] - 1.0)
    fields = (x_m, y_m, length_m, radius_m, drag, turned, bend, sway)
    return _walked(ground, hand, *(field[keep] for field in fields))


def _walked(
    ground: Ground, hand: Hand, x_m: Numbers, y_m: Numbers, length_m: Numbers,
    radius_m: Numbers, drag: Numbers, turned: Numbers, bend: Numbers, sway: Numbers,
) -> Strokes:  # fmt: skip
    """Walk each stroke along the current or the pour, from its middle to either end."""
    t = ((np.arange(hand.moments) + 0.5) / hand.moments)[:, None]
    stray = turned + bend * (t - 0.5) + sway * np.sin(2.0 * np.pi * t)
    step_m = length_m / hand.moments
    path_x, path_y, angle = (np.empty((hand.moments, x_m.size)) for _ in range(3))
    half = hand.moments // 2
    first = _heading(ground, hand, x_m, y_m, None)
    for onward, moments in (
        (1.0, range(half, hand.moments)),
        (-1.0, range(half - 1, -1, -1)),
    ):
        at_x, at_y, way = x_m, y_m, first
        for k in moments:
            way = _heading(ground, hand, at_x, at_y, way)
            angle[k] = _beside_walls(ground, at_x, at_y, way + stray[k])
            east, north = np.cos(angle[k]) * step_m, np.sin(angle[k]) * step_m
            path_x[k], path_y[k] = at_x + onward * east / 2, at_y + onward * north / 2
            at_x, at_y = at_x + onward * east, at_y + onward * north
    reach_m = radius_m * (0.75 + 0.25 * np.sin(np.pi * t))
    pace = drag * np.sqrt(np.sin(np.pi * t))
    pace /= np.sqrt(1.0 + (pace * step_m / (LONGEST_STEP * reach_m)) ** 2)
    return Strokes(
        x_m=path_x,
        y_m=path_y,
        u_m=pace * np.cos(angle) * step_m,
        v_m=pace * np.sin(angle) * step_m,
        radius_m=reach_m,
        wall_m=0.9 * hand.radius_m,
    )


def _heading(
    ground: Ground, hand: Hand, x_m: Numbers, y_m: Numbers, before: Numbers | None
) -> Numbers:
    """Way along the current or the pour; of both, the one nearer to that before."""
    way = ground.pour(x_m, y_m) if hand.lanes else ground.way(x_m, y_m)
    if before is None:
        return way
    turn: Numbers = np.mod(way - before + np.pi / 2, np.pi) - np.pi / 2
    return before + turn


def _beside_walls(ground: Ground, x_m: Numbers, y_m: Numbers, heading: Numbers) -> Numbers:
    """Turn a heading to the wall close by."""
    away_m, tangent = ground.walls(x_m, y_m)
    far = np.clip(away_m / TURN_TO_WALL_M, 0.0, 1.0)
    pull = np.minimum(1.3 * (1.0 - far) ** 3, 1.0)
    # the wall runs both ways: take the one nearer to the heading
    off = np.mod(tangent - heading + np.pi / 2, np.pi) - np.pi / 2
    turned: Numbers = heading + pull * off
    return turned


def _chances(cells: NDArray[np.int64], seed: int, salt: int, count: int = 11) -> Numbers:
    """Eleven numbers in [0, 1) for each lattice cell, from its place and the seed."""
    mask = np.uint64(0xFFFFFFFFFFFFFFFF)
    key = (cells[0].astype(np.uint64) * np.uint64(0x9E3779B97F4A7C15)) & mask
    key ^= cells[1].astype(np.uint64) * np.uint64(0xC2B2AE3D27D4EB4F)
    key ^= np.uint64((seed * 0xD6E8FEB86659FD93 + salt * 0xA0761D6478BD642F) & int(mask))
    rows = np.empty((count, cells.shape[1]))
    for k in range(count):
        # the finaliser of SplitMix64 [Steele2014]
        word = key + np.uint64((k + 1) * 0x9E3779B97F4A7C15 & int(mask))
        word = (word ^ (word >> np.uint64(30))) * np.uint64(0xBF58476D1CE4E5B9)
        word = (word ^ (word >> np.uint64(27))) * np.uint64(0x94D049BB133111EB)
        rows[k] = (word ^ (word >> np.uint64(31))) >> np.uint64(11)
    return rows * 2.0**-53
