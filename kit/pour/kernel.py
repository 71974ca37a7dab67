"""The one loop over blocks: walk back, dress the film, let colours compete."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from kit.kernels import kernel, prange
from kit.lanes import room_for
from kit.pour.apart import (
    Grid,
    room_apart,
    set_apart,
    take_places,
    tell_tile,
)
from kit.pour.beside import room_for_lists
from kit.pour.block import (
    HOLE,
    LEAN_X,
    LEAN_Y,
    POUR_X,
    POUR_Y,
    SHARP,
    SHARP_VEIL,
    SIZE,
    THICK,
    VEIL,
    VEIN,
    N,
)  # fmt: skip
from kit.pour.broad import Floor, draw_tile
from kit.pour.colours import Paint, contend, find_strongest, settle, thin_veil
from kit.pour.composition import Lie
from kit.pour.dress import build_film
from kit.pour.fine import draw_fine
from kit.pour.lace import fill_cells, open_cells
from kit.pour.laid import Laid
from kit.pour.mesh import corner_of, draw_nodes, room_for_nodes, tell_lines, told_by
from kit.pour.noise import F
from kit.pour.places import TILE, Mesh
from kit.pour.silk import draw_fine_silk, draw_vein
from kit.pour.walk import box, walk
from kit.pour.wisps import float_wisps

_GIVEN = (THICK, VEIL, LEAN_X, LEAN_Y)
CONTEST = (SHARP, SHARP_VEIL, THICK, VEIL, HOLE)
"""Rows that tell how a contest of the colours ends, besides their fields."""
TURNS = 32
"""Turns in which the patches of a picture are drawn, at least."""
NO_FIELDS = np.empty((0, 0, N), np.float32)
NO_PLANES = np.empty((0, 0, 0), np.float32)


@kernel()
def draw_film(
    s: NDArray[np.float32], mix: NDArray[np.float32], veil: NDArray[np.float32], lie: Lie,
    paint: Paint,
) -> None:  # fmt: skip
    """Draw what is fine over what is broad; `mix` and `veil` get the colours' fields."""
    float_wisps(s, lie)
    draw_fine_silk(s, lie)
    draw_fine(s, lie)
    draw_vein(s, VEIN, F(0.45), F(0.05), F(0.05), paint.veins * F(0.34), lie.salts[26])
    open_cells(s, paint, lie)
    build_film(s, paint)
    contend(s, mix, veil, paint)


@kernel()
def part_colours(
    s: NDArray[np.float32], mix: NDArray[np.float32], veil: NDArray[np.float32],
    paint: Paint,
) -> None:  # fmt: skip
    """Turn the fields of a drawn block into its shares, cells and all."""
    find_strongest(s, mix, paint)
    settle(s, mix, SHARP, paint)
    fill_cells(s, mix, paint)
    thin_veil(s, veil, paint)
    settle(s, veil, SHARP_VEIL, paint)


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
    """Write one tile into planes, or into a strip of them."""
    colours = mix.shape[0]
    for k in range(colours):
        give_plane(mix[k], planes[k], top, left, tile_height)
        give_plane(veil[k], planes[colours + k], top, left, tile_height)
    for k in range(len(_GIVEN)):
        row = _GIVEN[k]
        give_plane(s[row : row + N], planes[2 * colours + k], top, left, tile_height)


@kernel()
def give_strip(
    strip: NDArray[np.float32], planes: NDArray[np.float32], top: int, left: int
) -> None:
    """Write a strip of tiles, (2P + 4, tile height, W), into the planes.

    Rows as long as a strip are written faster than those of a tile: each begins a line
    of the memory far from the last one.
    """
    height, width = planes.shape[1], planes.shape[2]
    rows, columns = min(strip.shape[1], height - top), min(strip.shape[2], width - left)
    for k in range(planes.shape[0]):
        for down in range(rows):
            for over in range(columns):
                planes[k, top + down, left + over] = strip[k, down, over]


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
def draw_colours(
    s: NDArray[np.float32], mix: NDArray[np.float32], veil: NDArray[np.float32],
    floor: Floor, is_floor: bool, is_contest: bool,
) -> None:  # fmt: skip
    """Draw a block over what is broad, its contest decided or not; none off the floor."""
    if not is_floor:
        lay_nothing(s, mix, veil, floor.paint)
        return
    draw_film(s, mix, veil, floor.lie, floor.paint)
    if not is_contest:
        part_colours(s, mix, veil, floor.paint)


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


@kernel(parallel=True)
def fill_planes(
    x: NDArray[np.float32], y: NDArray[np.float32], foot: NDArray[np.float32],
    tile_height: int, mesh: Mesh, laid: Laid, lie: Lie, paint: Paint,
    planes: NDArray[np.float32], fields: NDArray[np.float32],
) -> None:  # fmt: skip
    """Tell what lies at (H, W) places.

    Fills `planes` (2P + 4, H, W): shares, veil shares, thickness, veil, lean
    east and north. If `fields` (B, 2P + 5, N) has room for the blocks they are
    filled instead, see `give_contest`: both in one kernel, which compiles once.
    """
    height, width = y.shape[0], x.shape[1]
    tile_width = N // tile_height
    across = (width + tile_width - 1) // tile_width
    down = (height + tile_height - 1) // tile_height
    patch_down = mesh.tiles if tile_height == TILE else 1
    patches_across = (across + mesh.tiles - 1) // mesh.tiles
    patches = patches_across * ((down + patch_down - 1) // patch_down)
    is_told, is_contest = mesh.width_ft > F(0), fields.shape[0] > 0
    colours = paint.share.size
    # room is made once for a few patches, and there are turns enough for all threads
    together = 1 + patches // TURNS
    for turn in prange((patches + together - 1) // together):
        grid, floor = Grid(x, y, foot), Floor(laid, lie, paint)
        s = room_for(SIZE)
        mix = np.empty((colours, N), np.float32)
        veil = np.empty((colours, N), np.float32)
        wide = mesh.tiles * tile_width
        strip = np.empty((planes.shape[0], tile_height, wide), np.float32)
        walls = room_for_lists(laid.walls.shape[0])
        here = np.empty(4, np.float32)
        told = told_by(mesh.width_ft, colours)
        nodes, lines = room_for_nodes(told.rows), room_for_nodes(told.rows)
        apart = room_apart(mesh.tiles, told)
        for patch in range(turn * together, min((turn + 1) * together, patches)):
            first_row = patch // patches_across * patch_down
            first_column = patch % patches_across * mesh.tiles
            west, south = 0, 0
            if is_told:
                first = (first_row * TILE, first_column * TILE)
                west, south = corner_of(x[0, first[1]], y[first[0], 0], mesh.width_ft)
                corner = (mesh.width_ft, west, south)
                kind = draw_nodes(s, corner, foot[0, 0], floor, walls, here, told, nodes)
                set_apart(s, grid, first, kind, mesh.width_ft, floor, walls, here, apart)
            for row in range(first_row, min(first_row + patch_down, down)):
                if is_told:
                    tell_lines(y, row * TILE, nodes, mesh.width_ft, south, lines)
                for column in range(first_column, min(first_column + mesh.tiles, across)):
                    top, left = row * tile_height, column * tile_width
                    take_places(s, grid, top, left, tile_height)
                    if is_told:
                        tile = (row - first_row, column - first_column)
                        along = (mesh.width_ft, west)
                        is_floor = tell_tile(s, floor, apart, tile, lines, along)
                    else:
                        is_floor = draw_tile(s, floor, walls, here)
                    draw_colours(s, mix, veil, floor, is_floor, is_contest)
                    if is_contest:
                        give_contest(s, mix, veil, fields[row * across + column])
                    else:
                        over = (column - first_column) * tile_width
                        give_film(s, mix, veil, strip, 0, over, tile_height)
                give_strip(strip, planes, row * tile_height, first_column * tile_width)


@kernel()
def fill_origins(
    x: NDArray[np.float32], y: NDArray[np.float32], tile_height: int, laid: Laid,
    salts: NDArray[np.uint32], origins: NDArray[np.float32],
) -> None:  # fmt: skip
    """Fill `origins` (2, H, W) with where (H, W) places were poured. [ft]"""
    height, width = x.shape
    tile_width = N // tile_height
    s = room_for(SIZE)
    walls = room_for_lists(laid.walls.shape[0])
    here = np.empty(4, np.float32)
    grid = Grid(x, y, x)
    for top in range(0, height, tile_height):
        for left in range(0, width, tile_width):
            take_places(s, grid, top, left, tile_height)
            box(s, here)
            walk(s, laid, salts, walls, here)
            give_plane(s[POUR_X : POUR_X + N], origins[0], top, left, tile_height)
            give_plane(s[POUR_Y : POUR_Y + N], origins[1], top, left, tile_height)
