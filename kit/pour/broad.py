"""What is broad in a film: all that varies over inches, from the walk to colours' fields.

It is drawn where a place was poured, and costs most of a film. Rows BROAD and what follows
up to the fields hold it: a mesh tells the first ones, which the walk leaves, or all of them
between its nodes, and what is fine is then drawn over them place by place.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from kit.kernels import kernel
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
    WALKS,
    N,
)  # fmt: skip
from kit.pour.colours import Paint, lay_contours, run_colours, run_colours_in_veil
from kit.pour.composition import Lie, current
from kit.pour.dress import lean_broadly
from kit.pour.laid import Laid
from kit.pour.noise import F
from kit.pour.silk import draw_silk
from kit.pour.slip import is_off_floor
from kit.pour.walk import box, walk
from kit.pour.wisps import float_clouds, float_veil, raise_smoke

_DRAWN_OUT = F(0.2)
"""Most feet of pour between two nodes for all to be told; ribbons are a foot wide."""


class Floor(NamedTuple):
    """All that tells what lies at a place."""

    laid: Laid
    lie: Lie
    paint: Paint


@kernel(forceinline=True)
def rows_of(colours: int) -> int:
    """Count the rows that are drawn broadly for so many colours."""
    return (FIELDS - BROAD) // N + 2 * colours


@kernel()
def draw_broadly(
    s: NDArray[np.float32], floor: Floor, walls: NDArray[np.int32],
    here: NDArray[np.float32], rows: int,
) -> None:  # fmt: skip
    """Walk rows PX, PY back to the pour; if `rows` are more, draw what is broad there."""
    box(s, here)
    walk(s, floor.laid, floor.lie.salts, walls, here)
    if rows > WALKS:
        draw_from_pour(s, floor.lie, floor.paint)


@kernel()
def draw_from_pour(s: NDArray[np.float32], lie: Lie, paint: Paint) -> None:
    """Draw what is broad where the walk has ended."""
    for i in range(N):
        s[CX + i], s[CY + i] = s[POUR_X + i], s[POUR_Y + i]
    current(s, lie)
    float_clouds(s, lie)
    raise_smoke(s, paint, lie)
    lay_contours(s, lie)
    draw_silk(s, lie)
    lean_broadly(s)
    run_colours(s, paint, lie)
    float_veil(s)
    run_colours_in_veil(s, paint, lie)


@kernel()
def is_drawn_out(s: NDArray[np.float32], width: np.float32) -> bool:
    """Whether a mesh so wide [ft] would tell ribbons as beads: film drawn out to lines."""
    most = F(0)
    for i in range(N):
        over = s[J00 + i] * s[J00 + i] + s[J10 + i] * s[J10 + i]
        most = max(most, over + s[J01 + i] * s[J01 + i] + s[J11 + i] * s[J11 + i])
    return bool(most * width * width > _DRAWN_OUT * _DRAWN_OUT)


@kernel()
def draw_tile(
    s: NDArray[np.float32], floor: Floor, walls: NDArray[np.int32],
    here: NDArray[np.float32],
) -> bool:  # fmt: skip
    """Draw broadly the places of one tile; say whether it is floor."""
    box(s, here)
    if is_off_floor(floor.laid, here, s[FOOT], walls):
        return False
    draw_broadly(s, floor, walls, here, rows_of(floor.paint.share.size))
    return True
