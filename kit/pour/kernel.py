"""The one loop over blocks: walk back, let colours compete, dress the film."""

from __future__ import annotations

import numpy as np
from numba import njit, prange
from numpy.typing import NDArray

from kit.pour.block import CX, CY, FOOT, HOLE, LEAN_X, LEAN_Y, MID_X, POUR_X, POUR_Y, PX, PY, SIZE, THICK, VEIL, VEIN0, VEIN1, N
from kit.pour.colours import VEINS, compete, lay_contours
from kit.pour.composition import current
from kit.pour.dress import build_film, draw_silk, draw_vein, fill_cells, float_veil, float_wisps, open_cells
from kit.pour.noise import COMPILE, F, I
from kit.pour.walk import walk

CHUNK = 8
"""Blocks a thread takes at a time."""
COLOURS = 6


@njit(**COMPILE)
def lay_film(
    s: NDArray[np.float32], mix: NDArray[np.float32], veil: NDArray[np.float32],
    lie: NDArray[np.float32], salts: NDArray[np.uint32], table: NDArray[np.float32],
    knobs: NDArray[np.float32],
) -> None:  # fmt: skip
    """Fill a walked block with its film: rows THICK, VEIL, LEAN and both mixes."""
    for i in range(N):
        s[CX + i], s[CY + i] = s[POUR_X + i], s[POUR_Y + i]
    current(s, lie, salts)
    float_wisps(s, knobs, salts)
    lay_contours(s, lie, salts)
    draw_silk(s, lie, salts)
    compete(s, mix, table, knobs, lie, salts)
    draw_vein(s, VEIN0, F(0.45), F(0.05), F(0.05), knobs[VEINS] * F(0.65), salts[26])
    draw_vein(s, VEIN1, F(1.1), F(0.022), F(0.0), knobs[VEINS] * F(0.55), salts[27])
    open_cells(s, knobs, salts)
    build_film(s, knobs)
    fill_cells(s, mix, table)
    float_veil(s, salts)
    current(s, lie, salts)
    lay_contours(s, lie, salts)
    compete(s, veil, table, knobs, lie, salts)


@njit(parallel=True, **COMPILE)
def film_of(
    x: NDArray[np.float32], y: NDArray[np.float32], foot: NDArray[np.float32], tile_height: int,
    records: NDArray[np.float32], starts: NDArray[np.int32], level_ints: NDArray[np.int32],
    level_feet: NDArray[np.float32], ripples: NDArray[np.float32], walls: NDArray[np.float32],
    drift_ft: float, lie: NDArray[np.float32], salts: NDArray[np.uint32],
    table: NDArray[np.float32], knobs: NDArray[np.float32], planes: NDArray[np.float32],
) -> None:  # fmt: skip
    """Fill `planes` (2P + 4, H, W): shares, veil shares, thickness, veil, lean east and north."""
    height, width = x.shape
    tile_width = N // tile_height
    across = (width + tile_width - 1) // tile_width
    tiles = across * ((height + tile_height - 1) // tile_height)
    colours = table.shape[1]
    for chunk in prange((tiles + CHUNK - 1) // CHUNK):
        s = np.zeros(SIZE, np.float32)
        mix = np.empty((COLOURS, N), np.float32)
        veil = np.empty((COLOURS, N), np.float32)
        near = np.empty(walls.shape[0], np.int32)
        here = np.empty(4, np.float32)
        for tile in range(chunk * CHUNK, min((chunk + 1) * CHUNK, tiles)):
            top, left = (tile // across) * tile_height, (tile % across) * tile_width
            for i in range(N):
                row, column = min(top + i // tile_width, height - 1), min(left + i % tile_width, width - 1)
                s[PX + i], s[PY + i], s[FOOT + i] = x[row, column], y[row, column], foot[row, column]
            walk(s, records, starts, level_ints, level_feet, ripples, walls, salts, drift_ft, near, here)
            lay_film(s, mix, veil, lie, salts, table, knobs)
            for i in range(N):
                row, column = top + i // tile_width, left + i % tile_width
                if row < height and column < width:
                    for k in range(colours):
                        planes[k, row, column] = mix[k, i]
                        planes[colours + k, row, column] = veil[k, i]
                    planes[2 * colours, row, column] = s[THICK + i]
                    planes[2 * colours + 1, row, column] = s[VEIL + i]
                    planes[2 * colours + 2, row, column] = s[LEAN_X + i]
                    planes[2 * colours + 3, row, column] = s[LEAN_Y + i]


@njit(parallel=True, **COMPILE)
def poured_from(
    x: NDArray[np.float32], y: NDArray[np.float32], tile_height: int,
    records: NDArray[np.float32], starts: NDArray[np.int32], level_ints: NDArray[np.int32],
    level_feet: NDArray[np.float32], ripples: NDArray[np.float32], walls: NDArray[np.float32],
    drift_ft: float, salts: NDArray[np.uint32], out: NDArray[np.float32],
) -> None:  # fmt: skip
    """Fill `out` (2, H, W) with where each place was poured. [ft]"""
    height, width = x.shape
    tile_width = N // tile_height
    across = (width + tile_width - 1) // tile_width
    tiles = across * ((height + tile_height - 1) // tile_height)
    for tile in prange(tiles):
        s = np.zeros(SIZE, np.float32)
        near = np.empty(walls.shape[0], np.int32)
        here = np.empty(4, np.float32)
        top, left = (tile // across) * tile_height, (tile % across) * tile_width
        for i in range(N):
            row, column = min(top + i // tile_width, height - 1), min(left + i % tile_width, width - 1)
            s[PX + i], s[PY + i] = x[row, column], y[row, column]
        walk(s, records, starts, level_ints, level_feet, ripples, walls, salts, drift_ft, near, here)
        for i in range(N):
            row, column = top + i // tile_width, left + i % tile_width
            if row < height and column < width:
                out[0, row, column] = s[POUR_X + i]
                out[1, row, column] = s[POUR_Y + i]
