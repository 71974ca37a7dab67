"""Light of the film under its coat, and of all that stands on the floor."""

from __future__ import annotations

import math

import numpy as np
from numba import prange
from numpy.typing import NDArray

from kit.look.compiled import Grid, formula, loop
from kit.look.direct import LAMP_GLOW, LAMP_RADIUS_M, LAMP_RGB
from kit.look.eye import Seen
from kit.look.flakes import (
    FACE_SHARE,
    FLOP_SHARE,
    REACH,
    Flakes,
    from_table,
    kept_in,
    lamp_on_flakes,
)
from kit.look.optics import fresnel
from kit.look.room import Room
from kit.look.skins import PANE, glass, outside
from kit.look.texels import between, sent
from kit.look.trace import Solids

Array = NDArray[np.float32]


def floor_light(seen: Seen, camera: NDArray[np.float64], room: Room, colours: Array,
                lean: Array, glints: Array, shine: Array, flakes: Flakes, index: float,
                evening: bool) -> Array:  # fmt: skip
    """Light of body and flakes through the coat, (N, 3), samples averaged.

    Parameters
    ----------
    colours : (N * samples², 9) array
        From `shade.painted`.
    lean : (2, N * samples²) array
    shine : (T, 3) array
        Irradiance over pi of the room's texels.
    """
    out = np.empty((len(seen.pixels), 3), dtype=np.float32)
    lamps = room.lamps if evening else np.zeros((0, 3))
    _floor(
        camera, seen.film_x, seen.film_y, len(seen.film_x) // max(1, len(seen.pixels)),
        colours, lean, glints, room.faces.table, len(room.solids.walls), shine,
        flakes.table, flakes.frame, lamps, np.array(LAMP_RGB) * LAMP_GLOW,
        room.solids.height, index, out,
    )  # fmt: skip
    return out


@loop
def _floor(
    camera: Grid, film_x: Grid, film_y: Grid, samples: int, colours: Grid, lean: Grid,
    glints: Grid, faces: Grid, floor: int, shine: Grid, table: Grid, frame: Grid,
    lamps: Grid, glow: Grid, height: float, index: float, out: Grid,
) -> None:  # fmt: skip
    """Fill `out` (N, 3)."""
    for i in prange(len(out)):
        total = np.zeros(3)
        met = np.empty(3)
        for sub in range(samples):
            k = i * samples + sub
            x, y = film_x[k], film_y[k]
            vx, vy, vz = camera[0] - x, camera[1] - y, camera[2]
            size = 1.0 / math.sqrt(vx * vx + vy * vy + vz * vz)
            vx, vy, vz = vx * size, vy * size, vz * size
            out_share = 1.0 - fresnel(vz, index)
            ix, iy = vx / index, vy / index
            iz = math.sqrt(1.0 - ix * ix - iy * iy)
            mx, my = lean[0, k], lean[1, k]
            n2 = 1.0 / (1.0 + mx * mx + my * my)
            along = 2.0 * (iz - ix * mx - iy * my) * n2
            lx, ly = index * (-along * mx - ix), index * (-along * my - iy)
            far = math.sqrt(lx * lx + ly * ly)
            if far > REACH:
                lx, ly = lx * REACH / far, ly * REACH / far
            from_table(x, y, lx, ly, table, frame, met)
            for n in range(len(lamps)):
                share = lamp_on_flakes(
                    lamps[n, 0] - x, lamps[n, 1] - y, height, ix, iy, iz, mx, my, index
                )
                for c in range(3):
                    met[c] += share * glow[c]
            for c in range(3):
                flat = between(floor, x, y, faces, shine, c)
                body = colours[k, c] + FLOP_SHARE * colours[k, 6 + c]
                body += kept_in(FACE_SHARE * colours[k, 3 + c], colours[k, c])
                body *= flat
                total[c] += out_share * (
                    body + FACE_SHARE * colours[k, 3 + c] * met[c] * glints[k]
                )
        for c in range(3):
            out[i, c] = total[c] / samples


def surround_light(
    seen: Seen, room: Room, orders: Array, evening: bool, held_back: float
) -> Array:
    """Light of walls, window and things in all orders, (H * W, 9), zero on the floor.

    The view outside is shown times `held_back`, as a photographer prints it.
    """
    width, height = seen.size_px
    each = np.empty((len(seen.other_pixel), 9), dtype=np.float32)
    _others(
        seen.other_face, seen.other_uv, seen.other_share, room.faces.table, orders,
        room.skins, room.doors, room.solids, room.lamps, LAMP_GLOW, evening,
        held_back, each,
    )  # fmt: skip
    picture = np.zeros((height * width, 9), dtype=np.float32)
    for c in range(9):
        picture[:, c] = np.bincount(seen.other_pixel, each[:, c], height * width)
    return picture


@loop
def _others(
    face: Grid, uv: Grid, share: Grid, faces: Grid, orders: Grid, skins: Grid, doors: Grid,
    solids: Solids, lamps: Grid, glow: float, evening: bool, dim: float,
    out: Grid,
) -> None:  # fmt: skip
    """Fill `out` (K, 9) with the light of each hit on wall, window, thing, by its share."""
    ceiling = len(solids.walls) + 1
    for i in prange(len(face)):
        f, u, v = face[i], uv[i, 0], uv[i, 1]
        light = out[i]
        if f >= 0 and skins[f, 0] == PANE and glass(u, v, skins[f, 4], skins[f, 5]) > 0.5:
            r, g, b = outside(u, v, skins[f, 4], evening)
            for c in range(9):
                light[c] = 0.0
            light[0], light[1], light[2] = dim * r, dim * g, dim * b
        else:
            sent(f, u, v, faces, orders, skins, doors, solids, light)
        if f == ceiling:
            _draw_lamp(u, v, lamps, glow, evening, light)
        for c in range(9):
            light[c] *= share[i]


@formula
def _draw_lamp(
    x: float, y: float, lamps: Grid, glow: float, evening: bool, light: Grid,
) -> None:  # fmt: skip
    """Draw a ceiling lamp: a bright face in a pale ring."""
    for n in range(len(lamps)):
        away = math.sqrt((x - lamps[n, 0]) ** 2 + (y - lamps[n, 1]) ** 2)
        if away > LAMP_RADIUS_M + 0.022:
            continue
        ring = 0.72 if away > LAMP_RADIUS_M else 0.5
        for c in range(9):
            light[c] *= ring
        if away <= LAMP_RADIUS_M and evening:
            light[0], light[1], light[2] = 0.2 * glow, 0.165 * glow, 0.12 * glow
