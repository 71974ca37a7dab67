"""The one loop over blocks: walk back, dress the film, let colours compete."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from kit.kernels import kernel, prange
from kit.pour.block import (
    CX,
    CY,
    FOOT,
    HOLE,
    LEAN_X,
    LEAN_Y,
    POUR_X,
    POUR_Y,
    PX,
    PY,
    SHARP,
    SHARP_VEIL,
    SIZE,
    THICK,
    VEIL,
    VEIN0,
    VEIN1,
    N,
)  # fmt: skip
from kit.pour.colours import Paint, contend, contend_in_veil, lay_contours, settle
from kit.pour.composition import Lie, current
from kit.pour.dress import build_film
from kit.pour.fine import draw_fine
from kit.pour.lace import fill_cells, open_cells
from kit.pour.laid import Laid
from kit.pour.mesh import (
    cell_of,
    room_for_nodes,
    tell_lines,
    walk_nodes,
    walk_on_mesh,
)
from kit.pour.noise import F
from kit.pour.places import TILE, TILES
from kit.pour.silk import draw_silk, draw_vein
from kit.pour.slip import is_off_floor, room_for_lists
from kit.pour.walk import box, walk
from kit.pour.wisps import float_veil, float_wisps

_GIVEN = (THICK, VEIL, LEAN_X, LEAN_Y)
CONTEST = (SHARP, SHARP_VEIL, THICK, VEIL, HOLE)
"""Rows that tell how a contest of the colours ends, besides their fields."""
NO_FIELDS = np.empty((0, 0, N), np.float32)
NO_PLANES = np.empty((0, 0, 0), np.float32)


@kernel()
def draw_film(
    s: NDArray[np.float32], mix: NDArray[np.float32], veil: NDArray[np.float32], lie: Lie,
    paint: Paint,
) -> None:  # fmt: skip
    """Fill a walked block with all but its shares: `mix` and `veil` hold the fields."""
    for i in range(N):
        s[CX + i], s[CY + i] = s[POUR_X + i], s[POUR_Y + i]
    current(s, lie)
    float_wisps(s, paint, lie)
    lay_contours(s, lie)
    draw_silk(s, lie)
    draw_fine(s, lie)
    contend(s, mix, paint, lie)
    draw_vein(s, VEIN0, F(0.45), F(0.05), F(0.05), paint.veins * F(0.40), lie.salts[26])
    draw_vein(s, VEIN1, F(1.1), F(0.022), F(0.0), paint.veins * F(0.22), lie.salts[27])
    open_cells(s, paint, lie)
    build_film(s, paint)
    float_veil(s)
    contend_in_veil(s, veil, paint, lie)


@kernel()
def part_colours(
    s: NDArray[np.float32], mix: NDArray[np.float32], veil: NDArray[np.float32],
    paint: Paint,
) -> None:  # fmt: skip
    """Turn the fields of a drawn block into its shares, cells and all."""
    settle(s, mix, SHARP, paint)
    fill_cells(s, mix, paint)
    settle(s, veil, SHARP_VEIL, paint)


@kernel()
def take_places(
    s: NDArray[np.float32], x: NDArray[np.float32], y: NDArray[np.float32],
    foot: NDArray[np.float32], top: int, left: int, tile_height: int,
) -> None:  # fmt: skip
    """Fill a block with one tile of places; at the rim the last place stands in."""
    height, width = x.shape
    tile_width = N // tile_height
    for down in range(tile_height):
        row, lane = min(top + down, height - 1), down * tile_width
        for over in range(tile_width):
            column = min(left + over, width - 1)
            s[PX + lane + over] = x[row, column]
            s[PY + lane + over] = y[row, column]
            s[FOOT + lane + over] = foot[row, column]


@kernel()
def give_plane(
    row_of: NDArray[np.float32], plane: NDArray[np.float32], top: int, left: int,
    tile_height: int,
) -> None:  # fmt: skip
    """Write one quantity of a block, (N,), into its tile of a plane, (H, W)."""
    height, width = plane.shape
    tile_width = N // tile_height
    columns = min(tile_width, width - left)
    if columns == TILE:
        # a count known beforehand is a vector or two
        for down in range(min(tile_height, height - top)):
            for over in range(TILE):
                plane[top + down, left + over] = row_of[down * TILE + over]
        return
    for down in range(min(tile_height, height - top)):
        for over in range(columns):
            plane[top + down, left + over] = row_of[down * tile_width + over]


@kernel()
def give_film(
    s: NDArray[np.float32], mix: NDArray[np.float32], veil: NDArray[np.float32],
    planes: NDArray[np.float32], top: int, left: int, tile_height: int,
) -> None:  # fmt: skip
    """Write one tile into the planes."""
    colours = mix.shape[0]
    for k in range(colours):
        give_plane(mix[k], planes[k], top, left, tile_height)
        give_plane(veil[k], planes[colours + k], top, left, tile_height)
    for k in range(len(_GIVEN)):
        row = _GIVEN[k]
        give_plane(s[row : row + N], planes[2 * colours + k], top, left, tile_height)


@kernel()
def lay_nothing(
    s: NDArray[np.float32], mix: NDArray[np.float32], veil: NDArray[np.float32],
    paint: Paint,
) -> None:  # fmt: skip
    """Off the floor no film lies; its shares are the palette's, so that they sum to one."""
    for k in range(paint.share.size):
        for i in range(N):
            mix[k, i] = paint.share[k]
            veil[k, i] = paint.share[k]
    for i in range(N):
        s[THICK + i], s[VEIL + i], s[LEAN_X + i], s[LEAN_Y + i] = F(0), F(0), F(0), F(0)


@kernel()
def give_contest(
    s: NDArray[np.float32], mix: NDArray[np.float32], veil: NDArray[np.float32],
    fields: NDArray[np.float32],
) -> None:  # fmt: skip
    """Write the undecided fields of a block and the rows CONTEST, (2P + 5, N)."""
    colours = mix.shape[0]
    for k in range(colours):
        for i in range(N):
            fields[k, i], fields[colours + k, i] = mix[k, i], veil[k, i]
    for k in range(len(CONTEST)):
        for i in range(N):
            fields[2 * colours + k, i] = s[CONTEST[k] + i]


@kernel()
def heights(y: NDArray[np.float32], top: int) -> NDArray[np.float32]:
    """Heights of a tile's rows on the floor, from its `top` one; the last stands in."""
    north = np.empty(TILE, np.float32)
    for down in range(TILE):
        north[down] = y[min(top + down, y.shape[0] - 1), 0]
    return north


@kernel(parallel=True)
def fill_planes(
    x: NDArray[np.float32], y: NDArray[np.float32], foot: NDArray[np.float32],
    tile_height: int, mesh_ft: np.float32, laid: Laid, lie: Lie, paint: Paint,
    planes: NDArray[np.float32], fields: NDArray[np.float32],
) -> None:  # fmt: skip
    """Tell what lies at (H, W) places.

    Fills `planes` (2P + 4, H, W): shares, veil shares, thickness, veil, lean
    east and north. If `fields` (B, 2P + 5, N) has room for the blocks they are
    filled instead, see `give_contest`: both in one kernel, which compiles once.
    Places of a grid of square pixels have a mesh of width `mesh_ft`, see `mesh`.
    """
    height, width = x.shape
    tile_width = N // tile_height
    across = (width + tile_width - 1) // tile_width
    down = (height + tile_height - 1) // tile_height
    patch_down = TILES if tile_height == TILE else 1
    patches_across = (across + TILES - 1) // TILES
    patches = patches_across * ((down + patch_down - 1) // patch_down)
    colours = paint.share.size
    for patch in prange(patches):
        s = np.zeros(SIZE, np.float32)
        mix = np.empty((colours, N), np.float32)
        veil = np.empty((colours, N), np.float32)
        walls = room_for_lists(laid.walls.shape[0])
        here = np.empty(4, np.float32)
        first_row = patch // patches_across * patch_down
        first_column = patch % patches_across * TILES
        nodes, lines = room_for_nodes(), room_for_nodes()
        west, south = 0, 0
        if mesh_ft > F(0):
            last_row = min((first_row + TILES) * TILE, height) - 1
            west = cell_of(x[first_row * TILE, first_column * TILE], mesh_ft) - 1
            south = cell_of(y[last_row, first_column * TILE], mesh_ft) - 1
            walk_nodes(s, mesh_ft, west, south, laid, lie.salts, walls, here, nodes)
        for row in range(first_row, min(first_row + patch_down, down)):
            if mesh_ft > F(0):
                tell_lines(heights(y, row * TILE), nodes, mesh_ft, south, lines)
            for column in range(first_column, min(first_column + TILES, across)):
                top, left = row * tile_height, column * tile_width
                take_places(s, x, y, foot, top, left, tile_height)
                box(s, here)
                if is_off_floor(laid, here, s[FOOT], walls):
                    lay_nothing(s, mix, veil, paint)
                else:
                    if mesh_ft > F(0):
                        walk_on_mesh(s, lines, mesh_ft, west, laid, lie.salts, walls, here)
                    else:
                        walk(s, laid, lie.salts, walls, here)
                    draw_film(s, mix, veil, lie, paint)
                    if fields.shape[0] > 0:
                        give_contest(s, mix, veil, fields[row * across + column])
                        continue
                    part_colours(s, mix, veil, paint)
                give_film(s, mix, veil, planes, top, left, tile_height)


@kernel()
def fill_origins(
    x: NDArray[np.float32], y: NDArray[np.float32], tile_height: int, laid: Laid,
    salts: NDArray[np.uint32], origins: NDArray[np.float32],
) -> None:  # fmt: skip
    """Fill `origins` (2, H, W) with where (H, W) places were poured. [ft]"""
    height, width = x.shape
    tile_width = N // tile_height
    s = np.zeros(SIZE, np.float32)
    walls = room_for_lists(laid.walls.shape[0])
    here = np.empty(4, np.float32)
    for top in range(0, height, tile_height):
        for left in range(0, width, tile_width):
            take_places(s, x, y, x, top, left, tile_height)
            box(s, here)
            walk(s, laid, salts, walls, here)
            give_plane(s[POUR_X : POUR_X + N], origins[0], top, left, tile_height)
            give_plane(s[POUR_Y : POUR_Y + N], origins[1], top, left, tile_height)
