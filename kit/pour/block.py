"""The block of places that a kernel works on at once: N lanes, a row a quantity.

One flat float32 array holds all rows, so that every loop runs over N lanes with
fixed offsets and the compiler turns it into vector code. Lengths inside a block
are in feet from the floor's south-west corner, the unit the floor's waves were
tuned in; metres enter and leave in `poured`.
"""

from __future__ import annotations

from itertools import count

N = 256
"""Lanes of a block: its busy rows fit the first-level cache."""

_row = count()


def _rows(how_many: int) -> tuple[int, ...]:
    return tuple(next(_row) * N for _ in range(how_many))


# noise: place in, value and slope out
NX, NY, NV, NDX, NDY = _rows(5)
# where the walk stands, and the pixel's width
PX, PY, FOOT = _rows(3)
# one moment's stream function, velocity and gradient; the walls' share and its derivatives
PSI, V0, V1, G0, G1, G2 = _rows(6)
A, A_X, A_Y, A_XX, A_XY, A_YY = _rows(6)
# walls beside each other, and what is told of them
WALLS, TOLD = _rows(2)
# Jacobian of the walk so far, and how much the film was worked
J00, J01, J10, J11, WORK = _rows(5)
# frames: after the last pass, after all but the first, and as poured
LATE_X, LATE_Y, MID_X, MID_Y, POUR_X, POUR_Y = _rows(6)
WALKED = J00
"""First of the rows that the walk leaves, which lie together."""
WALKS = (POUR_Y - WALKED) // N + 1
"""How many they are."""
# whether the walk is told between the nodes of its mesh
CLEAR = next(_row) * N
# composition: place in, current and slope out
CX, CY, Q, Q_X, Q_Y, BAND = _rows(6)
# along the way a room is poured and across it, with slopes
LONG, LONG_X, LONG_Y, WIDE, WIDE_X, WIDE_Y = _rows(6)
# slow clouds, wisps with slopes, cloudiness, crispness
SLOW_A, SLOW_B, CLOUD, CLOUD_X, CLOUD_Y, CRISP, BLEED = _rows(7)
W0, W0_X, W0_Y, W1, W1_X, W1_Y, W2, W2_X, W2_Y, W3, W3_X, W3_Y, W4, W4_X, W4_Y, W5 = _rows(
    16
)
# silk: five octaves, lean
S0, S1, S2, S3, S4, LEAN_X, LEAN_Y = _rows(7)
# across the current, with slopes
ACROSS, ACROSS_X, ACROSS_Y, SWAY, SWAY_X, SWAY_Y = _rows(6)
# slopes on the floor of: across, along, along a ribbon's contours, aside
CROWD_X, CROWD_Y, STRETCH_X, STRETCH_Y, FLOW_X, FLOW_Y, ASIDE_X, ASIDE_Y = _rows(8)
VEIN0, VEIN1, CELL, GAP, HOLE, RIM = _rows(6)
# what only a close look resolves: threads along the flow; the pair that frays edges into
# threads and fingers, how much of it is drawn, and how far it may reach
THREAD0, THREAD1, FRAY0, FRAY1, FRAYED, REACH = _rows(6)
THICK, VEIL = _rows(2)
# how sharply colours part, in the film and in its veil
SHARP, SHARP_VEIL = _rows(2)
# scratch of the colour fields
U0, U1, U2, U3, U4, U5, U6, U7, U8, U9 = _rows(10)
SIZE = next(_row) * N
