"""The room in new colours: light kept by pixel, weighed by what the floor returns.

Light that touched the floor twice is spread over a room much as light that touched
it once, so both are kept as one: what reaches a pixel is what never touched the
floor plus a weight a colour times what did. A palette then only turns the weights.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
from numpy.typing import NDArray

from kit.lanes import room_for
from kit.look.compiled import Grid, formula, loop, prange
from kit.look.flakes import (
    FACE_SHARE,
    FLOP_SHARE,
    REACH,
    Flakes,
    from_table,
    lamp_on_flakes,
    later,
    sent_later,
    straight_out,
)
from kit.look.kept import (
    Packed,
    Short,
    light_again,
    light_from_short,
    light_kept_short,
    strips_of,
    unpack,
)
from kit.look.mixture import Mixture
from kit.look.optics import fresnel
from kit.look.strip import CHUNK, COVER, FACE, OWN, RED, SIZE, N, paint
from kit.look.texels import between
from kit.look.tone import CODES, expose, write_codes

Array = NDArray[np.float32]

FLAKES, FLAT = 0, 6
"""Rows of kept light: on the flakes, then on the body; each never, then ever touched."""
ROWS = 12
_LIT = OWN
_F = np.float32
_N = np.uintp(N)
"""Unsigned, or numba looks for indices below zero and the loop stays narrow."""


def kept_floor_light(
    camera: NDArray[np.float64], film_xy: tuple[Any, Any], lean: Array, glints: Array,
    cover: Array, faces: Any, floor: int, sides: Array,
    flakes: Flakes, lamps: Any, finer: Array, index: float,
) -> Short:  # fmt: skip
    """Keep the light at every film place, (strips, S, 12, N), through the coat.

    Parameters
    ----------
    cover : (K,) array
        Share of each pixel that is floor.
    sides : (T, 6) array
        Irradiance over pi that never touched the floor's film, and that did.
    lamps : (L, 8) array
        From `direct.lamps_of`.
    finer : (T, 1 + L) array
        From `lights.Light`.
    """
    samples = len(film_xy[0]) // max(1, len(cover))
    out = np.zeros((strips_of(len(cover)), samples, ROWS * N), dtype=np.float32)
    _keep(
        camera, film_xy[0], film_xy[1], lean, glints, cover, faces, floor, sides,
        flakes.table, flakes.frame, lamps, finer, index, out,
    )  # fmt: skip
    return light_kept_short(out)


@loop
def _keep(
    camera: Grid, film_x: Grid, film_y: Grid, lean: Grid, glints: Grid, cover: Grid,
    faces: Grid, floor: int, sides: Grid, table: Grid, frame: Grid,
    lamps: Grid, finer: Grid, index: float, out: Grid,
) -> None:  # fmt: skip
    """Fill `out` with the light on film and flakes before it meets a colour."""
    samples = out.shape[1]
    for i in prange(len(cover)):
        met = np.empty(6)
        for sub in range(samples):
            k = i * samples + sub
            x, y = film_x[k], film_y[k]
            vx, vy, vz = camera[0] - x, camera[1] - y, camera[2]
            size = 1.0 / math.sqrt(vx * vx + vy * vy + vz * vz)
            vx, vy, vz = vx * size, vy * size, vz * size
            share = (1.0 - fresnel(vz, index)) * cover[i] / samples
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
            here = between(floor, x, y, faces, finer, 0)
            for c in range(6):
                met[c] *= here
            for n in range(len(lamps)):
                seen = between(floor, x, y, faces, finer, 1 + n)
                if seen > 0.0:
                    seen *= lamp_on_flakes(x, y, lamps[n], ix, iy, iz, mx, my, index)
                    for c in range(3):
                        met[c] += seen * lamps[n, 5 + c]
            row = out[i // N, sub]
            lane = i % N
            for c in range(3):
                flat = between(floor, x, y, faces, sides, c)
                more_flat = between(floor, x, y, faces, sides, 3 + c)
                row[(FLAKES + c) * N + lane] = share * met[c] * glints[k]
                row[(FLAKES + 3 + c) * N + lane] = share * met[3 + c] * glints[k]
                row[(FLAT + c) * N + lane] = share * flat
                row[(FLAT + 3 + c) * N + lane] = share * more_flat


def floor_light(
    kept: Short, colours: Array, touched: Array, index: float, alpha: float
) -> Array:
    """Light (K, 3) of body and flakes, in plain arrays.

    Parameters
    ----------
    kept : (strips, S, 12 * N) array
        From `kept_floor_light`.
    colours : (K * S, 10) array
        From `shade.painted`.
    touched : (3,) array
        Weight of light that touched the floor, by colour.
    """
    strips, samples, _ = kept.shape
    rows = light_from_short(kept).reshape(strips, samples, ROWS, N).transpose(0, 3, 1, 2)
    rows = rows.reshape(strips * N * samples, ROWS)[: len(colours)]
    met = rows[:, FLAKES : FLAKES + 3] + touched * rows[:, FLAKES + 3 : FLAT]
    flat = rows[:, FLAT : FLAT + 3] + touched * rows[:, FLAT + 3 :]
    sent = later(colours, index, alpha) + FLOP_SHARE * colours[:, 6:9]
    light = sent * flat + FACE_SHARE * straight_out(alpha) * colours[:, 3:6] * met
    total: Array = light.reshape(-1, samples, 3).sum(axis=1)
    return total


def shown_again(
    film: Packed, light: Short, rest: Short, pixels: NDArray[np.int32], beyond: Short,
    others: NDArray[np.int32], mix: Mixture, weights: Array, straight: float,
    exposure: float, power: float, soft: float, size_px: tuple[int, int],
) -> NDArray[np.uint8]:  # fmt: skip
    """Eight-bit sRGB (H, W, 3) of a room whose light is kept.

    Parameters
    ----------
    film, light : of (strips, S, ...)
        From `kept.packed_film` and `kept_floor_light`.
    rest : (strips, 7 * N) array
        All else at the floor's pixels, never, then ever touched; what the coat passes.
    beyond : (strips, 6 * N) array
        Light of all other pixels.
    pixels, others : (K,) arrays
        Which pixels those are.
    weights : (3,) array
        Weight of light that touched the floor, by colour.
    straight : float
        From `flakes.straight_out`.
    """
    width, height = size_px
    out = np.empty((height, width, 3), dtype=np.uint8)
    flat = out.reshape(-1)
    _show_floor(
        film, light, rest, pixels, mix, weights, _F(straight), exposure, power, soft,
        CODES, flat,
    )  # fmt: skip
    _show_others(beyond, others, weights, exposure, power, soft, CODES, flat)
    return out


@loop
def _show_floor(
    film: Packed, light: Grid, rest: Grid, pixels: Grid, mix: Mixture, weights: Grid,
    straight: Any, exposure: float, power: float, soft: float, codes: Grid, out: Grid,
) -> None:  # fmt: skip
    """Fill the floor's pixels of `out`."""
    strips, samples, rows = film.rows.shape[:3]
    for chunk in prange((strips + CHUNK - 1) // CHUNK):
        s, again = room_for(SIZE), room_for(rows * N)
        for strip in range(chunk * CHUNK, min((chunk + 1) * CHUNK, strips)):
            for i in range(3 * N):
                s[_LIT + i] = _F(0.0)
            for sub in range(samples):
                unpack(film.rows[strip, sub], film.step, again)
                paint(s, again, mix)
                for c in range(3):
                    _add_light(
                        s, light[strip, sub], c * N, weights[c], mix.inside, straight
                    )
            for c in range(3):
                _lay_over(s, _LIT + c * N, rest[strip], c * N, weights[c])
            expose(s, _LIT, exposure, power, soft)
            first = strip * N
            write_codes(s, _LIT, pixels, first, min(N, len(pixels) - first), codes, out)


@loop
def _show_others(
    beyond: Grid, others: Grid, weights: Grid, exposure: float, power: float, soft: float,
    codes: Grid, out: Grid,
) -> None:  # fmt: skip
    """Fill all other pixels of `out`."""
    for strip in prange(len(beyond)):
        s = room_for(3 * N)
        for c in range(3):
            _weigh(s, c * N, beyond[strip], c * N, weights[c])
        expose(s, 0, exposure, power, soft)
        first = strip * N
        write_codes(s, 0, others, first, min(N, len(others) - first), codes, out)


@formula
def _lay_over(s: Grid, at: int, rest: Grid, colour: int, weight: Any) -> None:
    """Pass one row of the film's light through the coat and add what that mirrors."""
    to, never, through = np.uintp(at), np.uintp(colour), np.uintp(6 * N)
    ever = np.uintp(colour + 3 * N)
    for i in range(_N):
        over = light_again(rest[never + i]) + weight * light_again(rest[ever + i])
        s[to + i] = s[to + i] * light_again(rest[through + i]) + over


@formula
def _weigh(s: Grid, at: int, rows: Grid, colour: int, weight: Any) -> None:
    """Fill one row with light that never and that ever touched the floor."""
    to, never, ever = np.uintp(at), np.uintp(colour), np.uintp(colour + 3 * N)
    for i in range(_N):
        s[to + i] = light_again(rows[never + i]) + weight * light_again(rows[ever + i])


@formula
def _add_light(
    s: Grid, light: Grid, colour: int, weight: Any, inside: Any, straight: Any
) -> None:
    """Add what film and flakes of one sample send up in one colour."""
    body, face = np.uintp(RED + colour), np.uintp(FACE + colour)
    flop, to = np.uintp(FACE + 3 * N + colour), np.uintp(_LIT + colour)
    flakes, flat = np.uintp(FLAKES * N + colour), np.uintp(FLAT * N + colour)
    ever, cover = np.uintp(3 * N), np.uintp(COVER)
    for i in range(_N):
        met = light_again(light[flakes + i]) + weight * light_again(
            light[flakes + ever + i]
        )
        even = light_again(light[flat + i]) + weight * light_again(light[flat + ever + i])
        mirrored = _F(FACE_SHARE) * s[face + i]
        sent = _F(FLOP_SHARE) * s[flop + i]
        sent += sent_later(s[body + i], mirrored, s[cover + i], inside, straight)
        s[to + i] += sent * even + straight * mirrored * met
