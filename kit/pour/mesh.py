"""The walk on a mesh coarser than the pixels, and told between its nodes.

What a trowel moves varies over inches, so the walk of a grid of pixels is walked at
nodes some pixels apart and told between them by cubics through the four next nodes
each way. Nodes lie at multiples of the mesh's width from the floor's corner: what is
told of a place depends on the place and the width of a pixel alone. Near a wall, along
which the film slips, places are walked one by one.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from kit.kernels import kernel
from kit.pour.block import CLEAR, PX, PY, U0, U1, WALKED, WALKS, N
from kit.pour.laid import Laid
from kit.pour.noise import INT, F
from kit.pour.places import TILE
from kit.pour.slip import is_off_floor, near_walls
from kit.pour.walk import box, stand, walk

COARSE_FT = F(0.05)
"""From pixels so wide on every place is walked. [ft]"""
CELL = F(5.26)
"""Width of the mesh in pixels: with it the nodes about a patch are a block."""
TAPS = 8
"""Nodes in a line that a tile lies among, the outer ones included."""
MARGIN = F(2.2)
"""Walls nearer than this to a cell's middle, in cells, may touch what tells its places."""
EACH = F(0)
"""Width of the mesh of places that are walked one by one. [ft]"""

WEIGHTS, TOLD_HERE = U0, U1
"""Rows to work in, free before colours are drawn."""


def mesh_of(pixel_ft: float) -> np.float32:
    """Width of the mesh of a grid of pixels so wide, or EACH. [ft]"""
    return F(CELL * pixel_ft) if pixel_ft < COARSE_FT else EACH


@kernel()
def room_for_nodes() -> NDArray[np.float32]:
    """Room for a patch's nodes, (TILE, WALKS * TILE): of a row quantity after quantity."""
    return np.zeros((TILE, WALKS * TILE), np.float32)


@kernel(forceinline=True)
def cell_of(place: Any, width: Any) -> Any:
    """Number of the cell that a place lies in, along one direction."""
    return INT(np.floor(place / width))


@kernel()
def walk_nodes(
    s: NDArray[np.float32], width: np.float32, west: int, south: int, laid: Laid,
    salts: NDArray[np.uint32], walls: NDArray[np.int32], here: NDArray[np.float32],
    nodes: NDArray[np.float32],
) -> None:  # fmt: skip
    """Walk the nodes of a patch from its south-west one on.

    Parameters
    ----------
    width : float32
        From node to node, either way. [ft]
    west, south : int
        Numbers of that node along east and north; it lies so many widths from the
        floor's corner.
    nodes : (TILE, WALKS * TILE) float32 array
        Filled from the south on.
    """
    for i in range(N):
        s[PX + i] = F(INT(west) + INT(i % TILE)) * width
        s[PY + i] = F(INT(south) + INT(i // TILE)) * width
    box(s, here)
    if is_off_floor(laid, here, width, walls):
        stand(s)
    else:
        walk(s, laid, salts, walls, here)
    for row in range(TILE):
        for k in range(WALKS):
            for i in range(TILE):
                nodes[row, k * TILE + i] = s[WALKED + k * N + row * TILE + i]


@kernel()
def tell_clear(
    s: NDArray[np.float32], laid: Laid, width: np.float32, walls: NDArray[np.int32],
    here: NDArray[np.float32],
) -> bool:  # fmt: skip
    """Mark the lanes that the mesh can tell; say whether that is all of them.

    A lane is told if its cell's middle lies far enough from every wall.
    """
    reach = MARGIN * width
    every, near = walls[0], walls[1]
    count = near_walls(laid.wall_boxes, here, reach + width, every, every.size, near)
    for i in range(N):
        s[CLEAR + i] = F(1)
    for k in range(count):
        wall = laid.walls[near[k]]
        x0, y0, tx, ty, length, radius = (
            wall[0],
            wall[1],
            wall[2],
            wall[3],
            wall[4],
            wall[5],
        )
        least = (reach + radius) * (reach + radius)
        for i in range(N):
            x = (np.floor(s[PX + i] / width) + F(0.5)) * width - x0
            y = (np.floor(s[PY + i] / width) + F(0.5)) * width - y0
            on = min(max(x * tx + y * ty, F(0)), length)
            x, y = x - on * tx, y - on * ty
            s[CLEAR + i] = s[CLEAR + i] if x * x + y * y > least else F(0)
    clear = F(1)
    for i in range(N):
        clear = min(clear, s[CLEAR + i])
    return bool(clear > F(0))


@kernel(forceinline=True)
def cubic_weights(t: Any) -> Any:
    """What four nodes count at `t` cells beyond the second, [Abramowitz]_ 25.2.13."""
    before, beyond, far = t - F(1), t + F(1), t - F(2)
    return (
        -t * before * far * F(1 / 6),
        beyond * before * far * F(0.5),
        -beyond * t * far * F(0.5),
        beyond * t * before * F(1 / 6),
    )


@kernel()
def tell_lines(
    north: NDArray[np.float32], nodes: NDArray[np.float32], width: np.float32, south: int,
    lines: NDArray[np.float32],
) -> None:  # fmt: skip
    """Tell a row of a patch's tiles at the heights of its places, columns of nodes as yet.

    Parameters
    ----------
    north : (TILE,) float32 array
        Those heights, descending. [ft]
    south : int
        Number of the patch's southern nodes.
    lines : (TILE, WALKS * TILE) float32 array
        Filled.
    """
    for down in range(TILE):
        place = north[down] / width
        cell = INT(np.floor(place))
        w0, w1, w2, w3 = cubic_weights(place - F(cell))
        k = cell - INT(south) - INT(1)
        a, b, c, d, line = nodes[k], nodes[k + 1], nodes[k + 2], nodes[k + 3], lines[down]
        for i in range(WALKS * TILE):
            line[i] = w0 * a[i] + w1 * b[i] + w2 * c[i] + w3 * d[i]


@kernel()
def weigh_columns(
    s: NDArray[np.float32], east: NDArray[np.float32], width: np.float32, west: int
) -> int:
    """Fill WEIGHTS, TAPS rows of TILE, with what nodes count at a tile's columns.

    Parameters
    ----------
    east : (TILE,) float32 array
        Those columns. [ft]
    west : int
        Number of the patch's western nodes.

    Returns
    -------
    int
        The first node that counts, from the western ones on.
    """
    first = cell_of(east[0], width) - INT(west) - INT(1)
    first = min(first, INT(TILE - TAPS))
    for i in range(TAPS * TILE):
        s[WEIGHTS + i] = F(0)
    for i in range(TILE):
        place = east[i] / width
        cell = INT(np.floor(place))
        at = WEIGHTS + (cell - INT(west) - INT(1) - first) * TILE + i
        w0, w1, w2, w3 = cubic_weights(place - F(cell))
        s[at], s[at + TILE], s[at + 2 * TILE], s[at + 3 * TILE] = w0, w1, w2, w3
    return int(first)


@kernel()
def tell_places(
    s: NDArray[np.float32], lines: NDArray[np.float32], east: NDArray[np.float32],
    width: np.float32, west: int, every: bool,
) -> None:  # fmt: skip
    """Tell a tile's walk between nodes, if not `every` place then those marked clear."""
    first = weigh_columns(s, east, width, west)
    for k in range(WALKS):
        for down in range(TILE):
            at = k * TILE + first
            t = lines[down, at : at + TAPS]
            # each a name of its own, or the loop would ask whether it wrote over them
            t0, t1, t2, t3, t4, t5, t6, t7 = t[0], t[1], t[2], t[3], t[4], t[5], t[6], t[7]
            for i in range(TILE):
                w = WEIGHTS + i
                s[TOLD_HERE + down * TILE + i] = (
                    s[w] * t0
                    + s[w + TILE] * t1
                    + s[w + 2 * TILE] * t2
                    + s[w + 3 * TILE] * t3
                    + s[w + 4 * TILE] * t4
                    + s[w + 5 * TILE] * t5
                    + s[w + 6 * TILE] * t6
                    + s[w + 7 * TILE] * t7
                )
        row = s[WALKED + k * N : WALKED + (k + 1) * N]
        if every:
            for i in range(N):
                row[i] = s[TOLD_HERE + i]
        else:
            for i in range(N):
                row[i] += s[CLEAR + i] * (s[TOLD_HERE + i] - row[i])


@kernel()
def walk_on_mesh(
    s: NDArray[np.float32], lines: NDArray[np.float32], width: np.float32, west: int,
    laid: Laid, salts: NDArray[np.uint32], walls: NDArray[np.int32],
    here: NDArray[np.float32],
) -> None:  # fmt: skip
    """Walk a tile as `walk` does, told between nodes where no wall is near."""
    east = s[PX : PX + TILE].copy()
    every = tell_clear(s, laid, width, walls, here)
    if not every:
        walk(s, laid, salts, walls, here)
    tell_places(s, lines, east, width, west, every)
