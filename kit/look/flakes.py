"""Light that metal flakes mirror: gathered once by place and tilt, read for every pixel.

Flakes lie under the coat as a rough mirror of their own: GGX slopes of one spread
about a lean. What they mirror too flat stays under the coat and comes out later.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from kit.look.compiled import Grid, formula, loop, prange
from kit.look.direct import clear, fill_points, pane_points
from kit.look.optics import fresnel, fresnel_inside
from kit.look.room import Room
from kit.look.texels import between, texel_of
from kit.look.trace import Solids, hit

Array = NDArray[np.float32]

FLAKE_ALPHA = 0.20
"""Spread of flake normals about their lean; judged by eye. [GGX]"""
FACE_SHARE, FLOP_SHARE = 0.90, 0.30
"""Weights of what flakes mirror and scatter; a white furnace stays below one."""
STRAIGHT, LATER = 0.697, 0.320
"""Of light that flakes mirror up to a smooth coat, shares that leave: first and later."""
PLACE_M = 0.55
WAYS_IN, WAYS_OUT = 18, 16
FINEST = 1.5
"""Most light of a spot over that of the places about it."""
REACH = 1.4
"""The table goes on past the looks that the coat lets in: tilted flakes mirror there."""


@dataclass(frozen=True, eq=False)
class Flakes:
    """Light that flakes meet, by place on the floor and direction outside the coat.

    Parameters
    ----------
    table : (Y, X, WAYS_OUT, WAYS_OUT, 6) array
        By place south to north, west to east, then direction y and x to which an
        even flake would mirror the eye, each within `REACH`; spread by the flakes'
        own disorder and passed by the coat.
    frame : (4,) array
        West, south of the first place, steps along x and y. [m]
    """

    table: Array
    frame: NDArray[np.float64]


def flake_light(room: Room, sent_out: Array, index: float, evening: bool) -> Flakes:
    """Gather the room's light at a coarse grid of places, spread over flake tilts.

    Parameters
    ----------
    sent_out : (T, 6) array
        What the room's texels send back of light that never touched the floor's film
        and of light that did; window and fill are added to the former.
    """
    places, _, frame = _places(room)
    ways, ways_out = _disc(WAYS_IN), REACH * _disc(WAYS_OUT)
    kernel = _spread(ways_out, ways, index).astype(np.float32)
    met = np.vstack([sent_out, np.zeros((1, 6), dtype=np.float32)])[_met(room)]
    table = np.einsum("ow,pwc->poc", kernel, met, optimize=True)
    table[..., :3] += _lights_on_flakes(room, index, evening)
    shape = (*places.shape[:2], WAYS_OUT, WAYS_OUT, 6)
    return Flakes(np.ascontiguousarray(table.reshape(shape)), frame)


def _places(room: Room) -> tuple[NDArray[np.float64], NDArray[np.float64], Any]:
    """Places (Y, X, 2) at which flakes are lit, the same in rows, and their frame."""
    west, south, east, north = room.outline.bounds
    nx, ny = (int(np.clip(round(w / PLACE_M), 3, 40)) for w in (east - west, north - south))
    x = west + (np.arange(nx) + 0.5) / nx * (east - west)
    y = south + (np.arange(ny) + 0.5) / ny * (north - south)
    places = np.stack(np.meshgrid(x, y), axis=-1)
    frame = np.array([x[0], y[0], (east - west) / nx, (north - south) / ny])
    return places, places.reshape(-1, 2), frame


@lru_cache(maxsize=4)
def _met(room: Room) -> NDArray[np.int32]:
    """Texel met from each place each way, (P, W); -1 for none."""
    _, rows, _ = _places(room)
    ways = _disc(WAYS_IN)
    met = np.empty((len(rows), len(ways)), dtype=np.int32)
    _meet(rows, ways, room.solids, room.faces.table, met)
    return met


@lru_cache(maxsize=4)
def _lights_on_flakes(room: Room, index: float, evening: bool) -> Array:
    """Light of window and fill, spread over flake tilts, (P, WAYS_OUT², 3)."""
    _, rows, _ = _places(room)
    points = np.vstack([pane_points(room, evening), fill_points(room, evening)])
    ways_out = REACH * _disc(WAYS_OUT)
    table = np.zeros((len(rows), len(ways_out), 3), dtype=np.float32)
    _shine_on_flakes(rows, points, ways_out, index, room.solids, table)
    return table


@loop
def _shine_on_flakes(
    places: Grid, points: Grid, ways_out: Grid, index: float, solids: Solids, table: Grid,
) -> None:  # fmt: skip
    """Add small flat lights (place, normal, radiance times area over pi), see `_spread`."""
    for i in prange(len(places)):
        for k in range(len(points)):
            p = points[k]
            lx, ly, lz = p[0] - places[i, 0], p[1] - places[i, 1], p[2]
            there = -(lx * p[3] + ly * p[4] + lz * p[5])
            if there <= 0.0 or not clear(
                places[i, 0], places[i, 1], 1e-3, p[0], p[1], p[2], solids
            ):
                continue
            d2 = lx * lx + ly * ly + lz * lz
            size = 1.0 / math.sqrt(d2)
            wx, wy, wz = lx * size, ly * size, lz * size
            weight = math.pi * (1.0 - fresnel(wz, index)) * lz * there / (d2 * d2)
            rise = math.sqrt(1.0 - (wx * wx + wy * wy) / (index * index))
            for o in range(len(ways_out)):
                ox, oy = ways_out[o]
                out = math.sqrt(max(1.0 - (ox * ox + oy * oy) / (index * index), 0.04))
                share = weight * turned((ox - wx) ** 2 + (oy - wy) ** 2, rise * out, index)
                for c in range(3):
                    table[i, o, c] += share * p[6 + c]


def _spread(
    ways_out: NDArray[np.float64], ways: NDArray[np.float64], index: float
) -> NDArray[np.float64]:
    """Share of light down each way that flakes about a mirrored way send up, (O, W).

    [Walter2007]_ eq. 20 within the coat, where a way outside is bent to w / n: a flake
    turns by the difference of two ways over n times the sum of their upward parts, and
    a piece of the disc is as large as its solid angle within times n² and its upward
    part. What tilted flakes mirror past the critical angle never came in.
    """
    apart = ((ways_out[:, None, :] - ways[None, :, :]) ** 2).sum(axis=-1)
    flat_out, flat = (ways_out**2).sum(axis=1), (ways**2).sum(axis=1)
    rise = np.sqrt(np.maximum(1.0 - flat_out / index**2, 0.04))[:, None]
    rise = rise * np.sqrt(np.maximum(1.0 - flat / index**2, 0.04))
    passed = np.array(
        [1.0 - fresnel(math.sqrt(1.0 - f), index) if f < 1.0 else 0.0 for f in flat]
    )
    return np.asarray(turned(apart, rise, index) * (2.0 / WAYS_IN) ** 2 * passed)


@formula
def turned(apart: Any, rise: Any, index: float) -> Any:
    """Light sent up, a piece of the disc of ways, by flakes about an even one.

    Parameters
    ----------
    apart : float or array
        Square of the distance between the way light comes from, outside the coat, and
        the one that an even flake would mirror.
    rise : float or array
        Product of the upward parts of both within the coat.

    Notes
    -----
    D / 4 n² rise with the slope of the half vector in D, see `_spread`; the sum of both
    upward parts is taken as twice their geometric mean.
    """
    wide = (2.0 * index * FLAKE_ALPHA) ** 2 * rise
    off = apart / wide
    share = (1.0 + FLAKE_ALPHA * FLAKE_ALPHA * off) / (1.0 + off)
    return share * share / (math.pi * wide)


def _disc(side: int) -> NDArray[np.float64]:
    axis = (np.arange(side) + 0.5) / side * 2.0 - 1.0
    return np.stack(np.meshgrid(axis, axis), axis=-1).reshape(-1, 2)


@loop
def _meet(
    places: Grid, ways: Grid, solids: Solids, faces: Grid, met: Grid,
) -> None:  # fmt: skip
    """Fill `met` (P, W) with the texel that each way from each place ends on."""
    for p in prange(len(places)):
        for w in range(len(ways)):
            flat = ways[w, 0] ** 2 + ways[w, 1] ** 2
            met[p, w] = -1
            if flat >= 1.0:
                continue
            up = math.sqrt(1.0 - flat)
            _, face, u, v = hit(
                places[p, 0], places[p, 1], 1e-3, ways[w, 0], ways[w, 1], up, solids
            )
            if face >= 0:
                met[p, w] = texel_of(face, u, v, faces)


def finer_than_flakes(room: Room, light: Array) -> Array:
    """Light on texels of the floor over what the places of `flake_light` tell of it.

    Flakes are lit at a few places; near the foot of a column their light is the place's
    times this. Light is (T, 3); (K,), 1 where both agree.
    """
    faces = room.faces
    shine = (light @ np.array([0.2126, 0.7152, 0.0722], dtype=np.float32))[:, None]
    places, rows, frame = _places(room)
    told, out = np.empty(len(rows)), np.empty(faces.floor.stop - faces.floor.start)
    _told_there(faces.floor_face, rows, faces.table, shine, told)
    _told_by_places(faces.place[faces.floor], told.reshape(places.shape[:2]), frame, out)
    fine = shine[faces.floor, 0]
    return np.clip(fine / np.maximum(out, 1e-6), 0.0, FINEST).astype(np.float32)


@loop
def _told_there(floor: int, rows: Grid, table: Grid, shine: Grid, told: Grid) -> None:
    """Fill `told` (P,) with the light at flakes' places."""
    for i in prange(len(rows)):
        told[i] = between(floor, rows[i, 0], rows[i, 1], table, shine, 0)


@loop
def _told_by_places(place: Grid, told: Grid, frame: Grid, out: Grid) -> None:
    """Fill `out` (K,) with light blended from the places about, as `from_table` does."""
    ny, nx = told.shape
    for k in prange(len(place)):
        px = min(max((place[k, 0] - frame[0]) / frame[2], 0.0), nx - 1.0)
        py = min(max((place[k, 1] - frame[1]) / frame[3], 0.0), ny - 1.0)
        i, j = min(int(px), nx - 2), min(int(py), ny - 2)
        a, b = px - i, py - j
        low = told[j, i] * (1.0 - a) + told[j, i + 1] * a
        top = told[j + 1, i] * (1.0 - a) + told[j + 1, i + 1] * a
        out[k] = low * (1.0 - b) + top * b


@formula
def sent_later(body: Any, mirrored: Any, cover: Any, inside: Any, straight: Any) -> Any:
    """Light that body and flakes send out, but for what flakes mirror straight out.

    Parameters
    ----------
    body : float
        What the body would send out through the coat by itself, by its share of the film.
    mirrored, cover : float
        What flakes mirror of the light that meets the film, and their share of it.
    inside : float
        Share of scattered light that the coat keeps in, `optics.fresnel_inside`.
    straight : float
        From `straight_out`.

    Notes
    -----
    Light that the coat keeps in meets film and flakes again, in the same shares, until it
    is out: a geometric series. Of light that flakes mirror `STRAIGHT` leaves at once and
    `LATER` at each further turn, for it goes on near the angles that the coat keeps in.
    Both fit floors walked facet by facet, coats of index 1.5 under an even sky, looks
    from 11 to 70° above the floor: within 4 % of all that comes from below the coat for
    most films, within 9 % for nothing but the brightest flakes.
    """
    one = np.float32(1.0)
    bare = one - cover
    leaves = one - inside
    some = max(bare * leaves + inside * body, np.float32(1e-6))
    back = inside * bare * body
    again = back + (one - np.float32(STRAIGHT) * straight) * mirrored * some
    rest = some - back - (one - np.float32(LATER)) * mirrored * some
    first = leaves * bare * body
    first *= one + (np.float32(LATER) - np.float32(STRAIGHT) * straight) * mirrored
    return (first + np.float32(LATER) * mirrored * again) / rest


def straight_out(alpha: float) -> float:
    """Of light that flakes mirror straight out of a smooth coat, what a rough one lets out.

    A rough coat turns it, so that more of it is kept in. A straight line through floors
    walked facet by facet with GGX roughness up to 0.19, within 0.005.

    >>> straight_out(0.1)
    0.919
    """
    return 1.0 - 0.81 * min(alpha, 0.4)


def floor_albedo(colours: Array, index: float, alpha: float) -> NDArray[np.float64]:
    """Mean share (3,) of the light its coat passes that a film sends back out.

    Parameters
    ----------
    colours : (N, 10) array
        From `shade.painted`.
    """
    total = later(colours, index, alpha) + FLOP_SHARE * colours[:, 6:9]
    total += STRAIGHT * straight_out(alpha) * FACE_SHARE * colours[:, 3:6]
    return np.asarray(np.clip(total.mean(axis=0, dtype=np.float64), 0.0, 0.95))


def later(colours: Array, index: float, alpha: float) -> Array:
    """`sent_later` of painted places, (N, 3)."""
    out = np.empty((len(colours), 3), dtype=np.float32)
    _later(colours, np.float32(fresnel_inside(index)), np.float32(straight_out(alpha)), out)
    return out


@loop
def _later(colours: Grid, inside: Any, straight: Any, out: Grid) -> None:
    """Fill `out` (N, 3)."""
    for i in prange(len(colours)):
        for c in range(3):
            mirrored = np.float32(FACE_SHARE) * colours[i, 3 + c]
            out[i, c] = sent_later(colours[i, c], mirrored, colours[i, 9], inside, straight)


@formula
def lamp_on_flakes(
    x: float, y: float, lamp: Grid, ix: float, iy: float, iz: float, mx: float, my: float,
    index: float,
) -> float:  # fmt: skip
    """Share of a lamp's glow, see `direct.lamps_of`, that leaning flakes mirror up."""
    px, py, pz = lamp[0] - x, lamp[1] - y, lamp[2]
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
    turned = 1.0 if lamp[4] > 0.0 else lz
    solid = math.pi * lamp[3] ** 2 * turned / d2 * lz / (index * index * jz)
    c2 = cos_h * cos_h
    return float((1.0 - fresnel(lz, index)) * density * solid / (4.0 * iz * c2 * c2))


@formula
def from_table(
    x: float, y: float, lx: float, ly: float, table: Grid, frame: Grid, met: Grid,
) -> None:  # fmt: skip
    """Blend the sixteen entries about a place and a direction."""
    ny, nx, side = table.shape[0], table.shape[1], table.shape[2]
    px = min(max((x - frame[0]) / frame[2], 0.0), nx - 1.0)
    py = min(max((y - frame[1]) / frame[3], 0.0), ny - 1.0)
    qx = min(max((lx / REACH + 1.0) * 0.5 * side - 0.5, 0.0), side - 1.0)
    qy = min(max((ly / REACH + 1.0) * 0.5 * side - 0.5, 0.0), side - 1.0)
    i, j, a, b = int(px), int(py), int(qx), int(qy)
    for c in range(6):
        met[c] = 0.0
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
                    for c in range(6):
                        met[c] += wa * table[j + dj, i + di, b + db, a + da, c]
