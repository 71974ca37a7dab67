"""The block of places that a kernel works on at once: N lanes, a row a quantity.

One flat float32 array holds all rows, so that every loop runs over N lanes with
fixed offsets and the compiler turns it into vector code. Lengths inside a block
are in feet from the floor's south-west corner, the unit the floor's waves were
tuned in; metres enter and leave in `poured`.
"""

from __future__ import annotations

from itertools import count

from kit.pour.palette import MOST

N = 256
"""Lanes of a block: its busy rows fit the first-level cache."""

_row = count()


def _rows(how_many: int) -> tuple[int, ...]:
    return tuple(next(_row) * N for _ in range(how_many))


# noise: place in, value and slope out
NX, NY, NV, NDX, NDY = _rows(5)
# where the walk stands, the pixel's width, and where on the floor it lies
PX, PY, FOOT, FLOOR_X, FLOOR_Y = _rows(5)
# one moment's stream function, velocity and gradient; the walls' share and its derivatives
PSI, V0, V1, G0, G1, G2 = _rows(6)
A, A_X, A_Y, A_XX, A_XY, A_YY = _rows(6)
# walls beside each other, and what is told of them
WALLS, TOLD = _rows(2)
# whether what is broad is told between the nodes of a mesh
CLEAR = next(_row) * N
# composition: place in
CX, CY = _rows(2)
# slopes of clouds and wisps
CLOUD_X, CLOUD_Y, W0_X, W0_Y, W1_X, W1_Y = _rows(6)
# slopes of the sway and across the current; on the floor, of a ribbon and aside of it
SWAY_X, SWAY_Y, ACROSS_X, ACROSS_Y = _rows(4)
FLOW_X, FLOW_Y, ASIDE_X, ASIDE_Y = _rows(4)
# what ribbons are drawn in: current, across the pour, sway; along it, across the current
SWAY = next(_row) * N
VEIL_Q, VEIL_WIDE, VEIL_SWAY, VEIL_LONG, VEIL_ACROSS = _rows(5)
# slow clouds; the current and the ways across and along a pour, with slopes; its band
SLOW_A, SLOW_B = _rows(2)
Q_X, Q_Y, LONG_X, LONG_Y, WIDE_X, WIDE_Y, Q, WIDE, BAND, LONG = _rows(10)
SLOW = SLOW_A
"""First of the rows that vary over feet where the film was poured."""
# Jacobian of the walk so far, and how much the film was worked
J00, J01, J10, J11, WORK = _rows(5)
# frames: after the last pass, after all but the first, and as poured
LATE_X, LATE_Y, MID_X, MID_Y, POUR_X, POUR_Y = _rows(6)
BROAD = BAND
"""First of the rows that what is fine is drawn over, none of which holds anything fine;
they lie together up to the fields."""
WALKED = POUR_Y
"""Last of the rows that the walk leaves."""
# across the current; slopes on the floor of that and along the pour
ACROSS = next(_row) * N
CROWD_X, CROWD_Y, STRETCH_X, STRETCH_Y = _rows(4)
# clouds, broad wisps and silk, lean of the flakes
CLOUD, W0, W1, S0, S1, S2, LEAN_X, LEAN_Y = _rows(8)
# how steep the fields of colours are
STEEP = next(_row) * N
# for each colour its field in the film and in the veil, before what is fine in them
FIELDS = _rows(2 * MOST)[0]

# fine wisps with slopes, crispness, bleed, fine silk; veins, cells
W2, W2_X, W2_Y, W3, W3_X, W3_Y, W4, W4_X, W4_Y, W5 = _rows(10)
CRISP, BLEED, S3 = _rows(3)
VEIN, CELL, GAP, HOLE, RIM = _rows(5)
# what only a close look resolves: threads along the flow; the pair that frays edges into
# threads and fingers, how much of it is drawn, and how far it may reach
THREAD0, THREAD1, FRAY0, FRAY1, FRAYED, REACH = _rows(6)
THICK, VEIL = _rows(2)
# how sharply colours part, in the film and in its veil
SHARP, SHARP_VEIL = _rows(2)
# scratch
U0, U1, U2, U3, U4, U5, U6, U7, U8, U9 = _rows(10)
SIZE = next(_row) * N
