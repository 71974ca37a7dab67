"""What is broad in a film: all that varies over inches, from the walk to colours' fields.

It is drawn where a place was poured, and costs most of a film. A mesh tells some rows of it
between its nodes: those of the walk and the current, which vary over feet, or all that what
is fine is then drawn over, place by place.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from kit.kernels import kernel
from kit.pour.beside import is_off_floor
from kit.pour.block import (
    BROAD,
    CX,
    CY,
    FIELDS,
    FOOT,
    J00,
    J01,
    J10,
    J11,
    POUR_X,
    POUR_Y,
    SLOW,
    WALKED,
    N,
)  # fmt: skip
from kit.pour.colours import Paint, lay_contours, run_colours, run_colours_in_veil
from kit.pour.composition import Lie, current
from kit.pour.dress import lean_broadly
from kit.pour.laid import Laid
from kit.pour.noise import F
from kit.pour.silk import draw_silk
from kit.pour.walk import box, walk
from kit.pour.wisps import float_clouds, float_slow_clouds, float_veil, raise_smoke

_DRAWN_OUT, _SLOW_DRAWN_OUT = F(0.2), F(1.0)
"""Most feet of pour between two nodes for all to be told, as ribbons are a foot wide, and
for the current, which turns over ten."""


class Floor(NamedTuple):
    """All that tells what lies at a place."""

    laid: Laid
    lie: Lie
    paint: Paint


class Told(NamedTuple):
    """Rows of a block that a mesh tells: where they begin, and how many.

    They begin at BROAD if they are all that is needed further, else at SLOW.
    """

    first: int
    rows: int


@kernel()
def told_broadly(is_all: bool, colours: int) -> Told:
    """All of the rows, for so many colours, or only the slow ones."""
    if is_all:
        return Told(BROAD, (FIELDS - BROAD) // N + 2 * colours)
    return Told(SLOW, (WALKED - SLOW) // N + 1)


@kernel()
def draw_broadly(
    s: NDArray[np.float32], floor: Floor, walls: NDArray[np.int32],
    here: NDArray[np.float32], is_all: bool,
) -> None:  # fmt: skip
    """Walk rows PX, PY back to the pour; draw the current there, or all that is broad."""
    box(s, here)
    walk(s, floor.laid, floor.lie.salts, walls, here)
    draw_current(s, floor.lie)
    if is_all:
        draw_over_current(s, floor.lie, floor.paint)


@kernel()
def draw_current(s: NDArray[np.float32], lie: Lie) -> None:
    """Draw the current and the slow clouds where the walk has ended."""
    for i in range(N):
        s[CX + i], s[CY + i] = s[POUR_X + i], s[POUR_Y + i]
    current(s, lie)
    float_slow_clouds(s, lie)


@kernel()
def draw_over_current(s: NDArray[np.float32], lie: Lie, paint: Paint) -> None:
    """Draw what else is broad."""
    float_clouds(s, lie)
    raise_smoke(s, paint, lie)
    lay_contours(s, lie)
    draw_silk(s, lie)
    lean_broadly(s)
    run_colours(s, paint, lie)
    float_veil(s)
    run_colours_in_veil(s, paint, lie)


@kernel()
def draw_over_told(
    s: NDArray[np.float32], floor: Floor, is_all: bool, width: np.float32
) -> None:
    """Draw what of the broad a mesh so wide [ft] did not tell: all where film is drawn out.

    It would tell ribbons as beads where they are drawn out to lines.
    """
    most = F(0)
    for i in range(N):
        over = s[J00 + i] * s[J00 + i] + s[J10 + i] * s[J10 + i]
        most = max(most, over + s[J01 + i] * s[J01 + i] + s[J11 + i] * s[J11 + i])
    bound = _DRAWN_OUT if is_all else _SLOW_DRAWN_OUT
    is_drawn_out = most * width * width > bound * bound
    if is_drawn_out:
        draw_current(s, floor.lie)
    if is_drawn_out or not is_all:
        draw_over_current(s, floor.lie, floor.paint)
    else:
        raise_smoke(s, floor.paint, floor.lie)


@kernel()
def draw_tile(
    s: NDArray[np.float32], floor: Floor, walls: NDArray[np.int32],
    here: NDArray[np.float32],
) -> bool:  # fmt: skip
    """Draw broadly the places of one tile; say whether it is floor."""
    box(s, here)
    if is_off_floor(floor.laid, here, s[FOOT], walls):
        return False
    draw_broadly(s, floor, walls, here, True)
    return True
