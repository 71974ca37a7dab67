"""Along and across the pour: two coordinates that turn from room to room.

Each room has its own straight ones, along the way it is poured and across it.
They agree in the middle of the doorway by which a room is left, and between rooms
they are blended, so what is drawn in them turns smoothly and runs on through doors.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from kit.kernels import kernel
from kit.plan.heading import headings
from kit.pour.block import (
    CX,
    CY,
    LONG,
    LONG_X,
    LONG_Y,
    U0,
    U1,
    U2,
    WIDE,
    WIDE_X,
    WIDE_Y,
    N,
)
from kit.pour.noise import F
from kit.units import M_PER_FT

if TYPE_CHECKING:
    from kit.plan.floor import FloorPlan

BLEND_FT = 2.5
"""Distance beyond a room at which its say has fallen to a quarter. [ft]"""
# places in a room's numbers: middle, half sides, direction of the pour, offsets
MID_E, MID_N, HALF_E, HALF_N, COS, SIN, FROM_LONG, FROM_WIDE = range(8)


def bearings_of(plan: FloorPlan, tilt: float) -> NDArray[np.float32]:
    """Describe every room's way of being poured.

    Parameters
    ----------
    tilt : float
        Turn of all directions against the straight way out. [rad]

    Returns
    -------
    (R, 8) float32
        Middle and half sides of the room's box, cosine and sine of its direction,
        and what is added along and across it; from the floor's corner. [ft]
    """
    west_m, south_m = plan.bounds_m[:2]
    corner_ft = np.array([west_m, south_m]) / M_PER_FT
    boxes = {room.name: np.array(room.outline.bounds) / M_PER_FT for room in plan.rooms}
    made: dict[str, NDArray[np.float64]] = {}
    for heading in reversed(headings(plan)):
        box_ft = boxes[heading.room] - np.tile(corner_ft, 2)
        angle = heading.angle + tilt
        cos, sin = np.cos(angle), np.sin(angle)
        from_long = from_wide = 0.0
        next_ = made.get(heading.through or "")
        if next_ is not None:
            # a pattern has no front: of both ways along, take the nearer one
            sign = 1.0 if cos * next_[COS] + sin * next_[SIN] >= 0.0 else -1.0
            cos, sin = sign * cos, sign * sin
            door_e, door_n = np.array(heading.leaves_m) / M_PER_FT - corner_ft
            turn_cos, turn_sin = next_[COS] - cos, next_[SIN] - sin
            from_long = next_[FROM_LONG] + turn_cos * door_e + turn_sin * door_n
            from_wide = next_[FROM_WIDE] + turn_cos * door_n - turn_sin * door_e
        middle, half = (box_ft[:2] + box_ft[2:]) / 2, (box_ft[2:] - box_ft[:2]) / 2
        made[heading.room] = np.array([*middle, *half, cos, sin, from_long, from_wide])
    return np.array(list(made.values())).astype(np.float32)


@kernel()
def take_bearings(s: NDArray[np.float32], rooms: NDArray[np.float32]) -> None:
    """Fill LONG and WIDE with their slopes at rows CX, CY: the rooms' own, blended."""
    for i in range(N):
        s[U0 + i], s[U1 + i], s[U2 + i] = F(0), F(0), F(0)
        s[LONG + i], s[LONG_X + i], s[LONG_Y + i] = F(0), F(0), F(0)
        s[WIDE + i], s[WIDE_X + i], s[WIDE_Y + i] = F(0), F(0), F(0)
    per = F(1.0 / BLEND_FT**2)
    for k in range(rooms.shape[0]):
        room = rooms[k]
        mid_e, mid_n, half_e, half_n = room[MID_E], room[MID_N], room[HALF_E], room[HALF_N]
        cos, sin, from_long, from_wide = (
            room[COS],
            room[SIN],
            room[FROM_LONG],
            room[FROM_WIDE],
        )
        for i in range(N):
            x, y = s[CX + i], s[CY + i]
            off_e, off_n = x - mid_e, y - mid_n
            out_e = off_e - min(max(off_e, -half_e), half_e)
            out_n = off_n - min(max(off_n, -half_n), half_n)
            r = F(1) / (F(1) + per * (out_e * out_e + out_n * out_n))
            say = r * r
            fall = F(-4) * per * say * r
            say_x, say_y = fall * out_e, fall * out_n
            long, wide = cos * x + sin * y + from_long, cos * y - sin * x + from_wide
            s[U0 + i] += say
            s[U1 + i] += say_x
            s[U2 + i] += say_y
            s[LONG + i] += say * long
            s[LONG_X + i] += say * cos + say_x * long
            s[LONG_Y + i] += say * sin + say_y * long
            s[WIDE + i] += say * wide
            s[WIDE_X + i] += say_x * wide - say * sin
            s[WIDE_Y + i] += say * cos + say_y * wide
    for i in range(N):
        of_all = F(1) / s[U0 + i]
        x, y = s[U1 + i], s[U2 + i]
        long, wide = s[LONG + i] * of_all, s[WIDE + i] * of_all
        s[LONG + i], s[WIDE + i] = long, wide
        s[LONG_X + i] = of_all * (s[LONG_X + i] - long * x)
        s[LONG_Y + i] = of_all * (s[LONG_Y + i] - long * y)
        s[WIDE_X + i] = of_all * (s[WIDE_X + i] - wide * x)
        s[WIDE_Y + i] = of_all * (s[WIDE_Y + i] - wide * y)
