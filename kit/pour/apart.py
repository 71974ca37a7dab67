"""Places that a mesh does not tell: gathered from a patch, so that their blocks are full.

They lie beside walls, a strip of each tile there; drawn tile by tile, most of a block would
be thrown away.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from kit.kernels import kernel
from kit.pour.beside import is_off_floor, tell_off_floor
from kit.pour.block import BROAD, CLEAR, FLOOR_X, FLOOR_Y, FOOT, PX, PY, N
from kit.pour.broad import Floor, Told, draw_broadly, draw_over_told
from kit.pour.mesh import MIXED, OFF, TOLD, tell_clear, tell_places
from kit.pour.places import TILE
from kit.pour.walk import box


class Grid(NamedTuple):
    """Places in H rows and W columns: where, and how wide a pixel is. [ft]

    Each (H, W); where rows or columns are alike, one stands for all.
    """

    x: NDArray[np.float32]
    y: NDArray[np.float32]
    foot: NDArray[np.float32]


class Apart(NamedTuple):
    """What is set apart in a patch of T by T tiles.

    Parameters
    ----------
    kind : (T, T) int32
        OFF, TOLD or MIXED.
    slot : (T, T, N) int32
        For each place of a mixed tile its number among those set apart; -1 for none.
    place : (T * T * N, 2) int32
        Row and column of each in the picture.
    told : Told
        What rows are told.
    own : (rows, T * T * N) float32
        They for each place set apart.
    """

    kind: NDArray[np.int32]
    slot: NDArray[np.int32]
    place: NDArray[np.int32]
    told: Told
    own: NDArray[np.float32]


@kernel()
def room_apart(tiles: int, told: Told) -> Apart:
    """Room for a patch of `tiles` by as many, nothing in it."""
    most = tiles * tiles * N
    return Apart(
        np.empty((tiles, tiles), np.int32),
        np.empty((tiles, tiles, N), np.int32),
        np.empty((most, 2), np.int32),
        told,
        np.empty((told.rows, most), np.float32),
    )


@kernel(forceinline=True)
def at(plane: Any, row: Any, column: Any) -> Any:
    """Number of one place; beyond the rim the last place stands in."""
    return plane[min(row, plane.shape[0] - 1), min(column, plane.shape[1] - 1)]


@kernel()
def take_places(
    s: NDArray[np.float32], grid: Grid, top: int, left: int, tile_height: int
) -> None:
    """Fill a block with one tile of places."""
    tile_width = N // tile_height
    height, width = grid.y.shape[0], grid.x.shape[1]
    is_within = tile_height == TILE and top + TILE <= height and left + TILE <= width
    if is_within and grid.x.shape[0] == 1 and grid.y.shape[1] == 1 and grid.foot.size == 1:
        # rows and columns alike: no place is looked up
        for down in range(TILE):
            for over in range(TILE):
                s[PX + down * TILE + over] = grid.x[0, left + over]
                s[PY + down * TILE + over] = grid.y[top + down, 0]
                s[FOOT + down * TILE + over] = grid.foot[0, 0]
    else:
        for down in range(tile_height):
            lane = down * tile_width
            for over in range(tile_width):
                row, column = top + down, left + over
                s[PX + lane + over] = at(grid.x, row, column)
                s[PY + lane + over] = at(grid.y, row, column)
                s[FOOT + lane + over] = at(grid.foot, row, column)
    for i in range(N):
        s[FLOOR_X + i], s[FLOOR_Y + i] = s[PX + i], s[PY + i]


@kernel()
def set_apart(
    s: NDArray[np.float32], grid: Grid, first: tuple[int, int],
    kind: int, width: np.float32, floor: Floor, walls: NDArray[np.int32],
    here: NDArray[np.float32], apart: Apart,
) -> None:  # fmt: skip
    """Sort the tiles of a patch, and draw broadly what its mesh does not tell.

    Parameters
    ----------
    first : (int, int)
        Row and column of the patch's first place in the picture.
    kind : int
        What `draw_nodes` said of it.
    width : float32
        Width of the mesh. [ft]
    """
    height, across = grid.y.shape[0], grid.x.shape[1]
    tiles, count = apart.kind.shape[0], 0
    apart.kind[:] = kind
    if kind != MIXED:
        return
    for tile in range(tiles * tiles):
        down, over = tile // tiles, tile % tiles
        top, left = first[0] + down * TILE, first[1] + over * TILE
        if top >= height or left >= across:
            continue
        take_places(s, grid, top, left, TILE)
        box(s, here)
        if is_off_floor(floor.laid, here, s[FOOT], walls):
            apart.kind[down, over] = OFF
        elif tell_clear(s, floor.laid, width, walls, here):
            apart.kind[down, over] = TOLD
        else:
            apart.kind[down, over] = MIXED
            tell_off_floor(s, floor.laid, here, walls)
            for i in range(N):
                row, column = top + i // TILE, left + i % TILE
                is_apart = s[CLEAR + i] == 0.0 and row < height and column < across
                apart.slot[down, over, i] = count if is_apart else -1
                if is_apart:
                    apart.place[count, 0], apart.place[count, 1] = row, column
                    count += 1
    for start in range(0, count, N):
        draw_own(s, grid, start, count, floor, walls, here, apart)


@kernel()
def draw_own(
    s: NDArray[np.float32], grid: Grid, start: int, count: int, floor: Floor,
    walls: NDArray[np.int32], here: NDArray[np.float32], apart: Apart,
) -> None:  # fmt: skip
    """Draw broadly a block of the `count` places set apart; the last one fills it up."""
    for i in range(N):
        row, column = apart.place[min(start + i, count - 1)]
        s[PX + i], s[PY + i] = at(grid.x, row, column), at(grid.y, row, column)
        s[FOOT + i] = at(grid.foot, row, column)
    draw_broadly(s, floor, walls, here, apart.told.first == BROAD)
    lanes = min(N, count - start)
    for k in range(apart.told.rows):
        for i in range(lanes):
            apart.own[k, start + i] = s[apart.told.first + k * N + i]


@kernel()
def tell_tile(
    s: NDArray[np.float32], floor: Floor, apart: Apart, tile: tuple[int, int],
    lines: NDArray[np.float32], along: tuple[np.float32, int],
) -> bool:  # fmt: skip
    """Tell a tile of a patch what is broad; say whether it is floor.

    Parameters
    ----------
    along : (float32, int)
        Width of the mesh [ft], number of the patch's western nodes.
    """
    if apart.kind[tile] == OFF:
        return False
    tell_places(s, apart.told, lines, *along)
    if apart.kind[tile] == MIXED:
        slot = apart.slot[tile]
        for i in range(N):
            if slot[i] >= 0:
                for k in range(apart.told.rows):
                    s[apart.told.first + k * N + i] = apart.own[k, slot[i]]
    draw_over_told(s, floor, apart.told.first == BROAD, along[0])
    return True
