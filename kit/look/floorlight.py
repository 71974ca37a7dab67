"""Light of the film under its coat, and of all that stands on the floor."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numba import prange
from numpy.typing import NDArray

from kit.look.compiled import Grid, formula, loop
from kit.look.direct import LAMP_GLOW, LAMP_RADIUS_M, LAMP_RGB
from kit.look.eye import Seen
from kit.look.optics import fresnel
from kit.look.room import Room
from kit.look.skins import PANE, glass, outside
from kit.look.texels import between, sent, texel_of
from kit.look.trace import Solids, hit

Array = NDArray[np.float32]

FLAKE_ALPHA = 0.20
"""Spread of flake normals about their lean; judged by eye. [GGX]"""
FACE_SHARE, FLOP_SHARE = 0.90, 0.30
"""Weights of what flakes mirror and scatter; a white furnace stays below one."""
PLACE_M = 0.55
WAYS_IN, WAYS_OUT = 18, 12


@dataclass(frozen=True, eq=False)
class Flakes:
    """Light that flakes meet, by place on the floor and direction outside the coat.

    Parameters
    ----------
    table : (Y, X, WAYS_OUT, WAYS_OUT, 3) array
        By place south to north, west to east, then direction y and x in the
        unit disc, spread by the flakes' own disorder and passed by the coat.
    frame : (4,) array
        West, south of the first place, steps along x and y. [m]
    """

    table: Array
    frame: NDArray[np.float64]


def flake_light(room: Room, radiance: Array, index: float) -> Flakes:
    """Gather the room's light at a coarse grid of places, spread over flake tilts."""
    west, south, east, north = room.outline.bounds
    nx, ny = (int(np.clip(round(w / PLACE_M), 3, 40)) for w in (east - west, north - south))
    x = west + (np.arange(nx) + 0.5) / nx * (east - west)
    y = south + (np.arange(ny) + 0.5) / ny * (north - south)
    places = np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2)
    ways, ways_out = _disc(WAYS_IN), _disc(WAYS_OUT)
    met = np.zeros((len(places), len(ways), 3), dtype=np.float32)
    _meet(places, ways, room.solids, room.faces.table, radiance, met)
    apart = ((ways_out[:, None, :] - ways[None, :, :]) ** 2).sum(axis=-1)
    kernel = (1.0 + apart / (2.0 * index * FLAKE_ALPHA) ** 2) ** -2
    inside = (ways**2).sum(axis=1) < 1.0
    passed = np.array(
        [1.0 - fresnel(math.sqrt(max(0.0, 1.0 - w @ w)), index) for w in ways]
    )
    kernel = kernel * inside
    kernel = kernel / kernel.sum(axis=1, keepdims=True) * passed
    table = np.einsum("ow,pwc->poc", kernel.astype(np.float32), met, optimize=True)
    shape = (ny, nx, WAYS_OUT, WAYS_OUT, 3)
    frame = np.array([x[0], y[0], (east - west) / nx, (north - south) / ny])
    return Flakes(np.ascontiguousarray(table.reshape(shape)), frame)


def _disc(side: int) -> NDArray[np.float64]:
    axis = (np.arange(side) + 0.5) / side * 2.0 - 1.0
    return np.stack(np.meshgrid(axis, axis), axis=-1).reshape(-1, 2)


@loop
def _meet(
    places: Grid, ways: Grid, solids: Solids, faces: Grid, radiance: Grid, met: Grid,
) -> None:  # fmt: skip
    """Fill `met` (P, W, 3) with the light that comes down each way at each place."""
    for p in prange(len(places)):
        for w in range(len(ways)):
            flat = ways[w, 0] ** 2 + ways[w, 1] ** 2
            if flat >= 1.0:
                continue
            up = math.sqrt(1.0 - flat)
            _, face, u, v = hit(
                places[p, 0], places[p, 1], 1e-3, ways[w, 0], ways[w, 1], up, solids
            )
            if face >= 0:
                m = texel_of(face, u, v, faces)
                for c in range(3):
                    met[p, w, c] = radiance[m, c]


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
            if far > 0.97:
                lx, ly = lx * 0.97 / far, ly * 0.97 / far
            _from_table(x, y, lx, ly, table, frame, met)
            for n in range(len(lamps)):
                share = _lamp_on_flakes(
                    lamps[n, 0] - x, lamps[n, 1] - y, height, ix, iy, iz, mx, my, index
                )
                for c in range(3):
                    met[c] += share * glow[c]
            for c in range(3):
                flat = between(floor, x, y, faces, shine, c)
                body = (colours[k, c] + FLOP_SHARE * colours[k, 6 + c]) * flat
                total[c] += out_share * (
                    body + FACE_SHARE * colours[k, 3 + c] * met[c] * glints[k]
                )
        for c in range(3):
            out[i, c] = total[c] / samples


@formula
def _lamp_on_flakes(
    px: float, py: float, pz: float, ix: float, iy: float, iz: float, mx: float, my: float,
    index: float,
) -> float:  # fmt: skip
    """Share of a ceiling lamp's glow that leaning flakes mirror up to the coat."""
    d2 = px * px + py * py + pz * pz
    size = 1.0 / math.sqrt(d2)
    lz = pz * size
    jx, jy = px * size / index, py * size / index
    jz = math.sqrt(1.0 - jx * jx - jy * jy)
    hx, hy, hz = ix + jx, iy + jy, iz + jz
    sx, sy = -hx / hz - mx, -hy / hz - my
    cos_h = hz / math.sqrt(hx * hx + hy * hy + hz * hz)
    a2 = FLAKE_ALPHA * FLAKE_ALPHA
    bracket = 1.0 + (sx * sx + sy * sy) / a2
    density = 1.0 / (math.pi * a2 * bracket * bracket)
    solid = math.pi * LAMP_RADIUS_M**2 * lz / d2 * lz / (index * index * jz)
    c2 = cos_h * cos_h
    return (1.0 - fresnel(lz, index)) * density * solid / (4.0 * iz * c2 * c2)


@formula
def _from_table(
    x: float, y: float, lx: float, ly: float, table: Grid, frame: Grid, met: Grid,
) -> None:  # fmt: skip
    """Blend the sixteen entries about a place and a direction."""
    ny, nx, side = table.shape[0], table.shape[1], table.shape[2]
    px = min(max((x - frame[0]) / frame[2], 0.0), nx - 1.0)
    py = min(max((y - frame[1]) / frame[3], 0.0), ny - 1.0)
    qx = min(max((lx + 1.0) * 0.5 * side - 0.5, 0.0), side - 1.0)
    qy = min(max((ly + 1.0) * 0.5 * side - 0.5, 0.0), side - 1.0)
    i, j, a, b = int(px), int(py), int(qx), int(qy)
    met[0], met[1], met[2] = 0.0, 0.0, 0.0
    for dj in range(2):
        wy = (py - j) if dj else 1.0 - (py - j)
        for di in range(2):
            w = wy * ((px - i) if di else 1.0 - (px - i))
            if w == 0.0:
                continue
            for db in range(2):
                wb = w * ((qy - b) if db else 1.0 - (qy - b))
                for da in range(2):
                    wa = wb * ((qx - a) if da else 1.0 - (qx - a))
                    if wa == 0.0:
                        continue
                    for c in range(3):
                        met[c] += wa * table[j + dj, i + di, b + db, a + da, c]


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
