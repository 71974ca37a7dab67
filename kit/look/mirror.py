"""What a smooth wear coat mirrors, at every pixel, and the same a little softer.

One ray a pixel off the coat's wavy surface, many where an edge runs through the
mirrored picture; its softer copies are spread from it as far as a facet of some
slope throws a ray aside, so that what stands on the floor stays sharp at its foot.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from kit.look.aim import FINE, place_seen, ray_at, spot_in
from kit.look.compiled import Grid, formula, loop, prange
from kit.look.eye import THIN_BARS_PX, Hits, edges
from kit.look.floorlight import lamp_at
from kit.look.grain import peel
from kit.look.lobes import SHARP, SPREADS
from kit.look.room import Room
from kit.look.skins import PANE, albedo
from kit.look.trace import MISS, Solids, hit

Array = NDArray[np.float32]

_OFF = -9
_CHUNK = 256


@dataclass(frozen=True, eq=False)
class Mirrored:
    """Where rays go off a floor.

    Parameters
    ----------
    hits : (Hits, Hits)
        One ray a pixel, and many along edges.
    thrown : (N, 2) float32 array
        Pixels, up and aside, that a facet of slope one throws the mirrored picture.
    unseen : (N,) float32 array
        Standard deviation of the waviness too fine for the pixel.
    """

    pixels: NDArray[np.int64]
    hits: tuple[Hits, Hits]
    thrown: Array
    unseen: Array


def mirrored_from(
    room: Room, camera: NDArray[np.float64], pixels: NDArray[np.int64], cover: Array
) -> Mirrored:
    """Follow one ray off the floor at each pixel, and sixteen where an edge is mirrored.

    Small pictures take sixteen all over a pane, whose bars pass between single rays.
    So do pixels that are floor in part, each ray from floor that the eye sees: behind a
    wall's foot a ray would meet the ceiling from outside.

    Parameters
    ----------
    cover : (N,) array
        Share of each pixel that is floor.
    """
    width, height = int(camera[6]), int(camera[7])
    count = len(pixels)
    face = np.empty((count, 1), dtype=np.int32)
    uv = np.empty((count, 1, 2))
    tone = np.empty(count, dtype=np.float32)
    thrown = np.empty((count, 2), dtype=np.float32)
    unseen = np.empty(count, dtype=np.float32)
    _throw(
        pixels, camera, room.solids, room.skins, room.doors, room.lamps, face, uv, tone,
        thrown, unseen,
    )  # fmt: skip
    faces = np.full(height * width, _OFF, dtype=np.int32)
    faces[pixels] = face[:, 0]
    tones = np.zeros(height * width, dtype=np.float32)
    tones[pixels] = tone
    size = (height, width)
    edge = edges(faces.reshape(size), tones.reshape(size)).ravel()[pixels]
    if width < THIN_BARS_PX:
        edge |= (face[:, 0] >= 0) & (room.skins[face[:, 0], 0] == PANE)
    partly = cover < 1.0
    edge |= partly
    fine = np.flatnonzero(edge)
    fine_face = np.empty((len(fine), FINE * FINE), dtype=np.int32)
    fine_uv = np.empty((len(fine), FINE * FINE, 2))
    fine_thrown = thrown[fine]
    _throw_again(
        pixels[fine], partly[fine], camera, room.solids, fine_face, fine_uv, fine_thrown
    )
    thrown[fine] = fine_thrown
    plain = np.flatnonzero(~edge)
    hits = (
        Hits(pixels[plain], face[plain], uv[plain]),
        Hits(pixels[fine], fine_face, fine_uv),
    )
    return Mirrored(pixels, hits, thrown, unseen)


@loop
def _throw(
    pixels: Grid, camera: Grid, solids: Solids, skins: Grid, doors: Grid, lamps: Grid,
    face: Grid, uv: Grid, tone: Grid, thrown: Grid, unseen: Grid,
) -> None:  # fmt: skip
    """Fill the hit of each pixel's ray, its tone, and how far facets throw it."""
    width = int(camera[6])
    ceiling = len(solids.walls) + 1
    for i in prange(len(pixels)):
        col, row = pixels[i] % width + 0.5, pixels[i] // width + 0.5
        t, f, u, v, far, dz, lost = _off_the_floor(col, row, camera, solids)
        face[i, 0], uv[i, 0, 0], uv[i, 0, 1] = f, u, v
        tone[i] = 0.0
        if f >= 0:
            tone[i] = albedo(f, u, v, skins, doors, solids.windows)[1]
        if f == ceiling:
            tone[i] += lamp_at(u, v, lamps)
        unseen[i] = math.sqrt(lost)
        thrown[i, 0], thrown[i, 1] = _aside(col, row, t, far, dz, camera)


@loop
def _throw_again(
    pixels: Grid, partly: Grid, camera: Grid, solids: Solids, face: Grid, uv: Grid,
    thrown: Grid,
) -> None:  # fmt: skip
    """Fill face (K, FINE²) and place for the rays in each of K pixels.

    Of pixels that are floor in part: for the rays that meet floor, again and again, and
    how far facets throw the first of them.
    """
    width = int(camera[6])
    floor = len(solids.walls)
    for i in prange(len(pixels)):
        count = 0
        for k in range(FINE * FINE):
            across, down = spot_in(k)
            col, row = pixels[i] % width + across, pixels[i] // width + down
            if partly[i]:
                dx, dy, dz = ray_at(col, row, camera)
                _, met, _, _ = hit(camera[0], camera[1], camera[2], dx, dy, dz, solids)
                if met != floor:
                    continue
            t, f, u, v, far, dz, _ = _off_the_floor(col, row, camera, solids)
            face[i, count], uv[i, count, 0], uv[i, count, 1] = f, u, v
            if partly[i] and count == 0:
                thrown[i, 0], thrown[i, 1] = _aside(col, row, t, far, dz, camera)
            count += 1
        for k in range(count, FINE * FINE):
            face[i, k] = face[i, k % count] if count else MISS
            if count:
                uv[i, k, 0], uv[i, k, 1] = uv[i, k % count, 0], uv[i, k % count, 1]


@formula
def _aside(
    col: float, row: float, t: float, far: float, dz: float, camera: Grid,
) -> tuple[float, float]:  # fmt: skip
    """Pixels, up and aside, that a facet of slope one throws what is mirrored t away."""
    across = (col - 0.5 * camera[6]) * camera[5]
    up = (0.5 * camera[7] - row - camera[8]) * camera[5]
    level2 = 1.0 + across * across
    size2 = level2 + up * up
    turn = 2.0 * t / (far + t) / camera[5]
    return turn * size2 / math.sqrt(level2), turn * -dz * math.sqrt(size2 * level2)


@formula
def _off_the_floor(
    col: float, row: float, camera: Grid, solids: Solids,
) -> tuple[float, int, float, float, float, float, float]:  # fmt: skip
    """Follow a ray off the floor: way on, face, place; way here, its fall, waviness."""
    x, y, far, dx, dy, dz = place_seen(col, row, camera)
    px, py, lost = peel(x, y, camera[5] * far)
    size = 1.0 / math.sqrt(1.0 + px * px + py * py)
    nx, ny, nz = -px * size, -py * size, size
    turn = -2.0 * min(dx * nx + dy * ny + dz * nz, -1e-3)
    lz = max(dz + turn * nz, 1e-3)
    t, face, u, v = hit(x, y, 1e-4, dx + turn * nx, dy + turn * ny, lz, solids)
    return t, face, u, v, far, dz, lost


def softened(mirrored: Mirrored, camera: NDArray[np.float64], picture: Array) -> Array:
    """Mirror ever more softly: (SHARP, N, 6), spread by `lobes.SPREADS`.

    Parameters
    ----------
    picture : (H * W, 6) array
        Light that the rays of `mirrored` bring.
    """
    width, height = int(camera[6]), int(camera[7])
    pixels = mirrored.pixels
    sharp = np.zeros((height * width, 8), dtype=np.float32)
    sharp[pixels, :6] = picture[pixels]
    sharp[pixels, 7] = 1.0
    other = np.zeros_like(sharp)
    out = np.empty((SHARP, len(pixels), 6), dtype=np.float32)
    before = 0.0
    for k, spread in enumerate(SPREADS[:SHARP]):
        more = math.sqrt(spread * spread - before * before)
        unseen = mirrored.unseen if k == 0 else np.zeros_like(mirrored.unseen)
        _soften(pixels, width, mirrored.thrown, more, unseen, 0, sharp, other)
        _soften(pixels, width, mirrored.thrown, more, unseen, 1, other, sharp)
        out[k] = sharp[pixels, :6]
        before = spread
    return out


@loop
def _soften(
    pixels: Grid, width: int, thrown: Grid, spread: float, unseen: Grid, axis: int,
    picture: Grid, out: Grid,
) -> None:  # fmt: skip
    """Spread `picture` (H * W, 8) up (axis 0) or aside (1); column 7 marks the floor."""
    step = width if axis == 0 else 1
    last = len(picture) // width - 1.0 if axis == 0 else width - 1.0
    for chunk in prange((len(pixels) + _CHUNK - 1) // _CHUNK):
        total = np.empty(8, dtype=np.float32)
        for i in range(chunk * _CHUNK, min((chunk + 1) * _CHUNK, len(pixels))):
            at = pixels[i]
            place = at // width if axis == 0 else at % width
            sigma = thrown[i, axis] * math.sqrt(spread * spread + unseen[i] * unseen[i])
            for c in range(8):
                total[c] = picture[at, c]
            for tap in range(1, 5 if sigma > 0.05 else 0):
                away = 0.6 * tap * sigma
                weight = np.float32(math.exp(-0.18 * tap * tap))
                _tap(total, picture, at, -step, away, float(place), weight)
                _tap(total, picture, at, step, away, last - place, weight)
            for c in range(8):
                out[at, c] = total[c] / total[7]


@formula
def _tap(
    total: Grid, picture: Grid, at: int, step: int, away: float, room: float, weight: Any,
) -> None:  # fmt: skip
    """Add what stands `away` pixels off, blended from two; past `room` the edge stands."""
    away = min(away, room)
    near = at + int(away) * step
    part = weight * np.float32(away - int(away))
    for c in range(8):
        total[c] += (weight - part) * picture[near, c]
    if part > 0.0:
        for c in range(8):
            total[c] += part * picture[near + step, c]
