"""Walls and columns as banks of the current: its contours run along and around them.

Every bank has a value of its own, and what lies near it tends to that value: a wall's
runs evenly from corner to corner, a column's is the same all round it. The nearer
of several counts the more.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from kit.kernels import kernel
from kit.pour.block import CX, CY, Q_X, Q_Y, U0, U5, U6, U7, U8, U9, N, Q
from kit.pour.ends import AT_ONCE_FT, FARTHER_FT, PAST_FT, past_ends
from kit.pour.noise import F

WALL_REACH, COLUMN_REACH = 0.20, 0.22
"""How far a wall or column turns the current, against the size of the largest moves."""
WALL_SAY, COLUMN_SAY = 1.3, 5.0
"""What it counts for at its face, where the current's own field counts one."""
CALM = 0.25
"""How far walls are set apart from the current, or it would run along every wall."""
# places in a bank's numbers after those of a capsule
VALUE, RISE, REACH, SAY = 6, 7, 8, 9
BANK = 10
"""Numbers a bank: a capsule's, value at its start, its rise along [1/ft], reach [ft],
and weight."""


def banks_of(
    obstacles_ft: NDArray[np.float32],
    at_start: NDArray[np.float32],
    at_end: NDArray[np.float32],
    scale_ft: float,
) -> NDArray[np.float32]:
    """Give walls and columns the values that the current takes at them.

    Parameters
    ----------
    obstacles_ft : (M, 6) array
        Capsules, see `walls.obstacles_ft`. [ft]
    at_start, at_end : (M,) arrays
        The current's field at either end of each.
    scale_ft : float
        Size of the largest moves. [ft]

    Returns
    -------
    (M, BANK) float32
    """
    length, is_wall = obstacles_ft[:, 4], obstacles_ft[:, 5] == 0.0
    at_start, at_end = (
        v + is_wall * CALM * v / (np.abs(v) + 0.15) for v in (at_start, at_end)
    )
    rise = (at_end - at_start) / np.maximum(length, 1e-3)
    return np.column_stack(
        [
            obstacles_ft,
            at_start,
            np.where(is_wall, rise, 0.0),
            np.where(is_wall, WALL_REACH, COLUMN_REACH) * scale_ft,
            np.where(is_wall, WALL_SAY, COLUMN_SAY),
        ]
    ).astype(np.float32)


@kernel()
def run_along_banks(
    s: NDArray[np.float32], banks: NDArray[np.float32], boxes: NDArray[np.float32]
) -> None:
    """Draw Q and its slope at rows CX, CY towards the banks within reach."""
    west, south, east, north = s[CX], s[CY], s[CX], s[CY]
    for i in range(N):
        west, east = min(west, s[CX + i]), max(east, s[CX + i])
        south, north = min(south, s[CY + i]), max(north, s[CY + i])
    count = 0
    for k in range(banks.shape[0]):
        reach = banks[k, REACH] + FARTHER_FT
        beside = (boxes[k, 0] - reach < east) & (boxes[k, 2] + reach > west)
        within = (boxes[k, 1] - reach < north) & (boxes[k, 3] + reach > south)
        if beside & within:
            if count == 0:
                for i in range(N):
                    s[U5 + i], s[U6 + i], s[U7 + i] = F(1), F(0), F(0)
                    s[U8 + i], s[U9 + i], s[U0 + i] = s[Q + i], s[Q_X + i], s[Q_Y + i]
            weigh_bank(s, banks[k])
            count += 1
    if count == 0:
        return
    for i in range(N):
        of_all = F(1) / s[U5 + i]
        value = s[U8 + i] * of_all
        q_x = of_all * (s[U9 + i] - value * s[U6 + i])
        q_y = of_all * (s[U0 + i] - value * s[U7 + i])
        s[Q + i], s[Q_X + i], s[Q_Y + i] = value, q_x, q_y


@kernel()
def weigh_bank(s: NDArray[np.float32], bank: NDArray[np.float32]) -> None:
    """Add one bank's weight and weighted value, with slopes: rows U5 to U9, U0.

    At the share u of its reach it is (1 - u)^2 of what it is at the face.
    """
    x0, y0, tx, ty, length, radius = bank[0], bank[1], bank[2], bank[3], bank[4], bank[5]
    start, rise, say = bank[VALUE], bank[RISE], bank[SAY]
    per = F(1) / bank[REACH]
    over = AT_ONCE_FT if radius > F(0) else PAST_FT
    for i in range(N):
        px, py = s[CX + i] - x0, s[CY + i] - y0
        along, across = px * tx + py * ty, py * tx - px * ty
        off, run, _ = past_ends(along, length, over)
        square = across * across + off * off + F(1e-8)
        inverse = F(1) / np.sqrt(square)
        left = min(max(F(1) - (square * inverse - radius) * per, F(0)), F(1))
        weight = say * left * left
        fall = F(-2) * say * left * per * inverse
        value, inner = start + rise * (along - off), rise * (F(1) - run)
        off *= run
        x, y = fall * (off * tx - across * ty), fall * (off * ty + across * tx)
        s[U5 + i] += weight
        s[U6 + i] += x
        s[U7 + i] += y
        s[U8 + i] += weight * value
        s[U9 + i] += x * value + weight * inner * tx
        s[U0 + i] += y * value + weight * inner * ty
