"""What is broad in a film, drawn on a mesh coarser than the pixels and told between.

What a trowel moves varies over inches, and so do the current, the clouds and the colours'
fields; a grid of pixels has them drawn at nodes some pixels apart and told between those
by cubics through the four next nodes each way. A mesh too wide for ribbons that are drawn
out to lines tells the walk and the current only, and the rest is drawn place by place.
Nodes lie at multiples of the mesh's width from the floor's corner: what is told of a place
depends on the place and the width of a pixel alone. A wall, along which the film slips,
parts what lies on its two sides: near one, places are set apart and drawn for themselves.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from kit.kernels import kernel
from kit.pour.beside import is_off_floor, near_walls
from kit.pour.block import BROAD, CLEAR, FOOT, PX, PY, U0, U1, N
from kit.pour.broad import Floor, Told, draw_broadly, told_broadly
from kit.pour.laid import Laid
from kit.pour.noise import INT, F
from kit.pour.places import BROAD_FT, TILE
from kit.pour.walk import box

TAPS, MOST_TAPS = 8, 10
"""Nodes in a line that a tile lies among, the outer ones included: where a patch has three
tiles a side or more, and where it has two."""
_REACH = F(1.55)
"""Half side of the square of nodes that tell a cell, and a little, in cells."""

OFF, TOLD, MIXED = range(3)
"""A tile or patch off the floor, one that a mesh tells whole, one with places set apart."""
WEIGHTS, TOLD_HERE = U0, U1
"""Rows to work in, free before colours are drawn."""


@kernel()
def told_by(width: np.float32, colours: int) -> Told:
    """What rows a mesh so wide [ft] tells: all that is broad, or what is slow in it."""
    return told_broadly(bool(width <= F(BROAD_FT)), colours)


@kernel()
def room_for_nodes(rows: int) -> NDArray[np.float32]:
    """Room for a patch's nodes, (TILE, rows * TILE): of a line quantity after quantity."""
    return np.zeros((TILE, rows * TILE), np.float32)


@kernel(forceinline=True)
def cell_of(place: Any, width: Any) -> Any:
    """Number of the cell that a place lies in, along one direction."""
    return INT(np.floor(place / width))


@kernel(forceinline=True)
def corner_of(west_ft: Any, north_ft: Any, width: Any) -> tuple[int, int]:
    """Numbers of the south-western node of a patch, told by its north-western place."""
    return cell_of(west_ft, width) - 1, cell_of(north_ft, width) + 3 - TILE


@kernel()
def draw_nodes(
    s: NDArray[np.float32], at: tuple[np.float32, int, int], foot: np.float32,
    floor: Floor, walls: NDArray[np.int32], here: NDArray[np.float32],
    told: Told, nodes: NDArray[np.float32],
) -> int:  # fmt: skip
    """Draw broadly the nodes of a patch from its south-west one on; say where it lies.

    Parameters
    ----------
    at : (float32, int, int)
        From node to node, either way [ft]; numbers of that first node along east and
        north: it lies so many widths from the floor's corner.
    foot : float32
        Width of the pixels that will be told. [ft]
    told : Told
        What is told between the nodes.
    nodes : (TILE, rows * TILE) float32 array
        Filled from the south on, but for a patch off the floor.

    Returns
    -------
    int
        OFF the floor, TOLD by its mesh everywhere, or MIXED.
    """
    width, west, south = at
    for i in range(N):
        s[PX + i] = F(INT(west) + INT(i % TILE)) * width
        s[PY + i] = F(INT(south) + INT(i // TILE)) * width
        s[FOOT + i] = foot
    box(s, here)
    if is_off_floor(floor.laid, here, foot, walls):
        return OFF
    every = walls[0]
    beside = near_walls(floor.laid.wall_boxes, here, width, every, every.size, walls[1])
    draw_broadly(s, floor, walls, here, told.first == BROAD)
    for row in range(TILE):
        for k in range(told.rows):
            for i in range(TILE):
                nodes[row, k * TILE + i] = s[told.first + k * N + row * TILE + i]
    return MIXED if beside else TOLD


@kernel()
def tell_clear(
    s: NDArray[np.float32], laid: Laid, width: np.float32, walls: NDArray[np.int32],
    here: NDArray[np.float32],
) -> bool:  # fmt: skip
    """Mark the lanes that the mesh can tell; say whether that is all of them.

    A lane is told if no wall comes between the nodes that tell its cell: the line
    through a wall's nearest point, square to the way there, has them all on one side.
    """
    every, near = walls[0], walls[1]
    reach = F(1.5) * _REACH * width
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
        for i in range(N):
            x = (np.floor(s[PX + i] / width) + F(0.5)) * width - x0
            y = (np.floor(s[PY + i] / width) + F(0.5)) * width - y0
            on = min(max(x * tx + y * ty, F(0)), length)
            x, y = abs(x - on * tx), abs(y - on * ty)
            away = np.sqrt(x * x + y * y)
            is_clear = away * (away - radius) > _REACH * width * (x + y)
            s[CLEAR + i] = s[CLEAR + i] if is_clear else F(0)
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
    y: NDArray[np.float32], top: int, nodes: NDArray[np.float32], width: np.float32,
    south: int, lines: NDArray[np.float32],
) -> None:  # fmt: skip
    """Tell a row of a patch's tiles at the heights of its places, columns of nodes as yet.

    Parameters
    ----------
    y : (H, W) float32 array
        Heights of all places. [ft]
    top : int
        The tiles' first row among them; the last one stands in for those beyond.
    south : int
        Number of the patch's southern nodes.
    lines : (TILE, rows * TILE) float32 array
        Filled.
    """
    for down in range(TILE):
        place = y[min(top + down, y.shape[0] - 1), 0] / width
        cell = INT(np.floor(place))
        w0, w1, w2, w3 = cubic_weights(place - F(cell))
        k = cell - INT(south) - INT(1)
        a, b, c, d, line = nodes[k], nodes[k + 1], nodes[k + 2], nodes[k + 3], lines[down]
        for i in range(line.size):
            line[i] = w0 * a[i] + w1 * b[i] + w2 * c[i] + w3 * d[i]


@kernel()
def weigh_columns(s: NDArray[np.float32], width: np.float32, west: int) -> tuple[int, int]:
    """Fill WEIGHTS, MOST_TAPS rows of TILE, with what nodes count at a tile's columns.

    Returns
    -------
    first, taps : int
        The first node that counts, from the western ones on, and how many do at most.
    """
    first = cell_of(s[PX], width) - INT(west) - INT(1)
    last = cell_of(s[PX + TILE - 1], width) - INT(west) + INT(2)
    taps = INT(TAPS) if last - first < INT(TAPS) else INT(MOST_TAPS)
    first = min(first, INT(TILE) - taps)
    for i in range(MOST_TAPS * TILE):
        s[WEIGHTS + i] = F(0)
    for i in range(TILE):
        place = s[PX + i] / width
        cell = INT(np.floor(place))
        at = WEIGHTS + (cell - INT(west) - INT(1) - first) * TILE + i
        w0, w1, w2, w3 = cubic_weights(place - F(cell))
        s[at], s[at + TILE], s[at + 2 * TILE], s[at + 3 * TILE] = w0, w1, w2, w3
    return int(first), int(taps)


@kernel()
def tell_places(
    s: NDArray[np.float32], told: Told, lines: NDArray[np.float32], width: np.float32,
    west: int,
) -> None:  # fmt: skip
    """Tell a tile at rows PX, PY what is broad.

    Parameters
    ----------
    lines : (TILE, rows * TILE) float32 array
        What `tell_lines` filled.
    west : int
        Number of the patch's western nodes.
    """
    first, taps = weigh_columns(s, width, west)
    for k in range(told.rows):
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
            if taps > TAPS:
                t8, t9 = lines[down, at + TAPS], lines[down, at + TAPS + 1]
                for i in range(TILE):
                    w = WEIGHTS + TAPS * TILE + i
                    s[TOLD_HERE + down * TILE + i] += s[w] * t8 + s[w + TILE] * t9
        row = s[told.first + k * N : told.first + (k + 1) * N]
        for i in range(N):
            row[i] = s[TOLD_HERE + i]
