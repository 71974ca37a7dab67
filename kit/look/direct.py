"""Light that comes straight: from the window, from behind the eye, from ceiling lamps.

What the floor's coat mirrors of them comes straight too: each light has an image
below the floor, as bright as the coat's Fresnel share of it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from kit.look.compiled import Grid, formula, loop, prange
from kit.look.faces import TURNS
from kit.look.optics import fresnel
from kit.look.outdoors import outside
from kit.look.room import Room
from kit.look.skins import BAR_M, CROSSBAR, FRAME_M, LOW_WINDOW_M, PANE_M, glass
from kit.look.trace import Solids, hit

LAMP_RGB = (1.0, 0.865, 0.69)
BY_DAY_RGB = (1.0, 0.95, 0.87)
"""Colour of lamps in the evening, and of those on by day, as eyes set to them see it."""
LAMP_GLOW = 46.0
"""Radiance of a lamp's face, against the window's 5 by day."""
DIMMED = 0.5
"""Part of it that is left in the evening, so that a globe's own light is seen."""
GLOBE_GLOW = 12.0
"""Radiance of an opal globe in the evening: five dimmed ceiling lamps, one good bulb."""
FILL_DAY = (2.4, 2.43, 2.46)
FILL_EVENING = (0.05, 0.055, 0.08)

COAT_INDEX = 1.5
"""Of the coat as the room's light meets it; 1.6 would pass 1.6 % less of an even sky."""
EVEN_SKY = 0.908222
"""Share of an even sky that this coat passes, `optics.fresnel_outside`."""
_SHARDS = 6
"""Places a side at which a piece of window is asked whether it is glass."""
_TURNED = (18, 12)
"""Pieces of a window across and up, shared out among `faces.TURNS` sets."""
_PIECE = 0.6
"""How far along each axis a lamp's four pieces are from its middle, by its radius."""
_SIDE = 0.7
"""How far aside of its nearest place a globe is looked at, as a part of its radius."""
_SHARDS_ACROSS = np.arange(_SHARDS)


def lamp_light(evening: bool) -> NDArray[np.float64]:
    """Radiance of a lamp's face when it is lit, (3,)."""
    if evening:
        return np.array(LAMP_RGB) * LAMP_GLOW * DIMMED
    return np.array(BY_DAY_RGB) * LAMP_GLOW


def globe_light() -> NDArray[np.float64]:
    """Radiance of a lit globe, (3,)."""
    return np.array(LAMP_RGB) * GLOBE_GLOW


def lamps_of(room: Room, evening: bool) -> NDArray[np.float64]:
    """Lamps that are lit, as a floor sees them.

    Returns
    -------
    (L, 8) array
        Place and radius [m]; 1 for a globe, 0 for a face that looks down; radiance.
    """
    rows = [
        (x, y, z - 0.005, radius, 0.0, *lamp_light(evening))
        for x, y, z, radius in room.lamps_lit(evening)
    ]
    rows += [(*globe, 1.0, *globe_light()) for globe in room.globes_lit(evening)]
    return np.array(rows, dtype=np.float64).reshape(-1, 8)


def turned_panes(room: Room, evening: bool) -> NDArray[np.float64]:
    """Small lights as in `pane_points`, a lattice for each turn, (TURNS, K, 9)."""
    across, up = _TURNED
    points = pane_points(room, evening, across, up, _SHARDS // 2)
    points = points.reshape(-1, up, across, 9)
    sets = np.stack(
        [points[:, k // 2 :: 2, k % 2 :: 2].reshape(-1, 9) for k in range(TURNS)]
    )
    sets[..., 6:] *= TURNS
    return sets


def pane_points(
    room: Room, evening: bool, across: int = 9, up: int = 6, shards: int = _SHARDS
) -> NDArray[np.float64]:
    """Cut panes into small lights: place, inward normal, radiance times area over pi."""
    rows = []
    for window, shine in zip(
        room.solids.windows, pane_light(room, across, up, evening, shards), strict=True
    ):
        wall = room.solids.walls[int(window[0])]
        wide, high = window[2] - window[1], window[4] - window[3]
        share = wide * high / (across * up) / math.pi
        for k in range(across * up):
            along, rise = (
                (k % across + 0.5) / across * wide,
                (k // across + 0.5) / up * high,
            )
            ground = wall[:2] + (window[1] + along) * wall[2:4] - window[5] * wall[5:7]
            rows.append((*ground, window[3] + rise, *wall[5:7], 0.0, *(shine[k] * share)))
    return np.array(rows, dtype=np.float64).reshape(-1, 9)


def pane_light(
    room: Room, across: int, up: int, evening: bool, shards: int = _SHARDS
) -> NDArray[np.float64]:
    """Mean radiance of every window's cells, row by row, bars dark: (N, across * up, 3)."""
    windows = room.solids.windows
    light = np.zeros((len(windows), across * up, 3))
    for n, window in enumerate(windows):
        wide, high = window[2] - window[1], window[4] - window[3]
        for k in range(across * up):
            for shard in range(shards * shards):
                u = (k % across + (shard % shards + 0.5) / shards) / across
                v = (k // across + (shard // shards + 0.5) / shards) / up
                if glass(u, v, wide, high) > 0.5:
                    light[n, k] += outside(u, v, wide, high, evening)
    return light / shards**2


def glass_cells(room: Room, evening: bool) -> NDArray[np.float64]:
    """Cut the glass of every window into boxes, none across a bar.

    Returns
    -------
    (K, 11) array
        Middle; half its width along x and y, half its height; the way along x and
        y to where it stands in the wall's face; mean radiance. [m]
    """
    rows: list[tuple[float, ...]] = []
    for window in room.solids.windows:
        wall = room.solids.walls[int(window[0])]
        wide, high = window[2] - window[1], window[4] - window[3]
        back = window[5] * wall[5:7]
        corner = wall[:2] + window[1] * wall[2:4] - back
        for west, east, low, top in _glass(wide, high):
            middle = corner + 0.5 * (west + east) * wall[2:4]
            u = (west + (_SHARDS_ACROSS + 0.5) / _SHARDS * (east - west)) / wide
            v = (low + (_SHARDS_ACROSS + 0.5) / _SHARDS * (top - low)) / high
            light = np.mean(
                [outside(a, b, wide, high, evening) for a in u for b in v], axis=0
            )
            rows.append((
                *middle, window[3] + 0.5 * (low + top),
                *(0.5 * (east - west) * wall[2:4]), 0.5 * (top - low), *back, *light,
            ))  # fmt: skip
    return np.array(rows, dtype=np.float64).reshape(-1, 11)


def _glass(wide: float, high: float) -> Iterator[tuple[float, float, float, float]]:
    """Pieces of the glass that `skins.glass` draws: from and to, across and up. [m]"""
    lights = max(1, math.floor(wide / PANE_M + 0.5))
    bars = np.arange(1, lights) / lights * wide
    rise = CROSSBAR * high
    rows: tuple[tuple[float, float, int], ...] = (
        (FRAME_M, rise - BAR_M, 3),
        (rise + BAR_M, high - FRAME_M, 2),
    )
    if high <= LOW_WINDOW_M:
        rows = ((FRAME_M, high - FRAME_M, 2),)
    for west, east in zip(
        [FRAME_M, *(bars + BAR_M)], [*(bars - BAR_M), wide - FRAME_M], strict=True
    ):
        for low, top, parts in rows:
            for k in range(2 * parts):
                half, part = 0.5 * (east - west), (top - low) / parts
                left, foot = west + k % 2 * half, low + k // 2 * part
                yield left, left + half, foot, foot + part


def fill_points(room: Room, evening: bool) -> NDArray[np.float64]:
    """Cut the soft opening behind the eye into small lights, as `pane_points`."""
    rows = []
    shine = np.array(FILL_EVENING if evening else FILL_DAY)
    for corner, wide, high, inward in room.fill:
        area = np.linalg.norm(wide) * np.linalg.norm(high) / 20.0
        for i in range(5):
            for j in range(4):
                place = corner + (i + 0.5) / 5 * wide + (j + 0.5) / 4 * high
                rows.append((*place, *inward, *(shine * area / math.pi)))
    return np.array(rows, dtype=np.float64).reshape(-1, 9)


@loop
def straight(
    place: Grid, normal: Grid, turn: Grid, coated: Grid, panes: Grid, mirrored: Grid,
    fill: Grid, lamps: Grid, shine: Grid, globes: Grid, glow: Grid, solids: Solids,
    out: Grid,
) -> None:  # fmt: skip
    """Fill `out` (T, 3) with light straight from panes, fill and lamps, and their images.

    Where `coated` (T,) the texel lies under the floor's coat and gets what that passes.
    `panes` are as `turned_panes` has them, by the `turn` (T,) of the texel; `mirrored`
    again, in fewer pieces, for their images.
    """
    for t in prange(len(place)):
        here, facing = place[t], normal[t]
        for points in (panes[turn[t]], fill):
            for k in range(len(points)):
                weight = _arrives(here, facing, coated[t], points[k], 0.02, solids)
                for c in range(3):
                    out[t, c] += points[k, 6 + c] * weight
        for points in (mirrored, fill):
            for k in range(0 if coated[t] else len(points)):
                weight = _arrives_mirrored(here, facing, points[k], 0.02, solids)
                for c in range(3):
                    out[t, c] += points[k, 6 + c] * weight
        lamp, globe = _lamps_arrive(here, facing, coated[t], lamps, globes, solids)
        for c in range(3):
            out[t, c] += shine[c] * lamp + glow[c] * globe


@formula
def _lamps_arrive(
    place: Grid, normal: Grid, coated: bool, lamps: Grid, globes: Grid, solids: Solids,
) -> tuple[float, float]:  # fmt: skip
    """Irradiance over pi from ceiling lamps and from globes, each kind of radiance one."""
    lamp, globe = 0.0, 0.0
    for n in range(len(lamps)):
        lamp += _lamp_arrives(place, normal, coated, lamps[n], solids)
    for n in range(len(globes)):
        globe += _globe_arrives(place, normal, coated, globes[n], solids)
    return lamp, globe


@loop
def lamps_reach(place: Grid, lamps: Grid, solids: Solids, out: Grid) -> None:
    """Fill `out` (K, L) with the part of each of `lamps_of` that floor places see."""
    for i in prange(len(place)):
        x, y, z = place[i, 0], place[i, 1], place[i, 2] + 2e-3
        for n in range(len(lamps)):
            seen = 0
            for k in range(4):
                px, py, pz = piece_of(x, y, z, lamps[n], lamps[n, 4] > 0.0, k)
                seen += 1 if clear(x, y, z, px, py, pz, solids) else 0
            out[i, n] = 0.25 * seen


@formula
def piece_of(
    x: float, y: float, z: float, lamp: Grid, is_globe: bool, k: int,
) -> tuple[float, float, float]:  # fmt: skip
    """One of four places of a lamp that a place looks at; of a globe, on its near side."""
    way = 1.0 if k % 2 else -1.0
    if not is_globe:
        return (
            lamp[0] + _PIECE * lamp[3] * way,
            lamp[1] + _PIECE * lamp[3] * (1.0 if k // 2 else -1.0),
            lamp[2] - 0.005,
        )
    wx, wy, wz = x - lamp[0], y - lamp[1], z - lamp[2]
    size = 1.0 / math.sqrt(wx * wx + wy * wy + wz * wz)
    wx, wy, wz = wx * size, wy * size, wz * size
    level = math.sqrt(wx * wx + wy * wy)
    ax, ay = (-wy / level, wx / level) if level > 1e-6 else (1.0, 0.0)
    if k // 2:
        sx, sy, sz = ax, ay, 0.0
    else:
        sx, sy, sz = ay * wz, -ax * wz, ax * wy - ay * wx
    nx, ny, nz = wx + _SIDE * way * sx, wy + _SIDE * way * sy, wz + _SIDE * way * sz
    size = 1.03 * lamp[3] / math.sqrt(nx * nx + ny * ny + nz * nz)
    return lamp[0] + size * nx, lamp[1] + size * ny, lamp[2] + size * nz


@formula
def _globe_arrives(
    place: Grid, normal: Grid, coated: bool, globe: Grid, solids: Solids,
) -> float:  # fmt: skip
    """Irradiance over pi from a globe of radiance one, straight and off the floor."""
    total = 0.0
    part = np.empty(6)
    for k in range(4):
        for image in range(1 if coated else 2):
            z = -place[2] if image else place[2]
            px, py, pz = piece_of(place[0], place[1], z, globe, True, k)
            wx, wy, wz = place[0] - px, place[1] - py, z - pz
            near2 = wx * wx + wy * wy + wz * wz
            size = 1.0 / math.sqrt(near2)
            part[0], part[1], part[2] = px, py, pz
            part[3], part[4], part[5] = wx * size, wy * size, wz * size
            px, py, pz = place[0] - globe[0], place[1] - globe[1], z - globe[2]
            nearer = near2 / (px * px + py * py + pz * pz)
            if image:
                total += nearer * _arrives_mirrored(place, normal, part, 0.0, solids)
            else:
                total += nearer * _arrives(place, normal, coated, part, 0.0, solids)
    return float(0.25 * globe[3] * globe[3] * total)


@formula
def _lamp_arrives(
    place: Grid, normal: Grid, coated: bool, lamp: Grid, solids: Solids,
) -> float:  # fmt: skip
    """Irradiance over pi from a ceiling lamp in four pieces, straight and off the floor."""
    total = 0.0
    part = np.array([0.0, 0.0, lamp[2] - 0.01, 0.0, 0.0, -1.0])
    for k in range(4):
        part[0] = lamp[0] + _PIECE * lamp[3] * (1.0 if k % 2 else -1.0)
        part[1] = lamp[1] + _PIECE * lamp[3] * (1.0 if k // 2 else -1.0)
        total += _arrives(place, normal, coated, part, 0.0, solids)
        if not coated:
            total += _arrives_mirrored(place, normal, part, 0.0, solids)
    return float(0.25 * lamp[3] * lamp[3] * total)


@formula
def _arrives(
    place: Grid, normal: Grid, coated: bool, light: Grid, soft: float, solids: Solids,
) -> float:  # fmt: skip
    """Irradiance straight from a small flat light of one intensity."""
    nx, ny, nz = normal
    x, y, z = place[0] + 2e-3 * nx, place[1] + 2e-3 * ny, place[2] + 2e-3 * nz
    lx, ly, lz = light[0] - x, light[1] - y, light[2] - z
    here = lx * nx + ly * ny + lz * nz
    there = -(lx * light[3] + ly * light[4] + lz * light[5])
    if here <= 0.0 or there <= 0.0:
        return 0.0
    if not clear(x, y, z, light[0], light[1], light[2], solids):
        return 0.0
    d2 = lx * lx + ly * ly + lz * lz
    total = here * there / (d2 * (d2 + soft))
    if coated:
        total *= (1.0 - fresnel(here / math.sqrt(d2), COAT_INDEX)) / EVEN_SKY
    return float(total)


@formula
def _arrives_mirrored(
    place: Grid, normal: Grid, light: Grid, soft: float, solids: Solids,
) -> float:  # fmt: skip
    """Irradiance off the floor's coat from a small flat light of one intensity."""
    nx, ny, nz = normal
    x, y, z = place[0] + 2e-3 * nx, place[1] + 2e-3 * ny, place[2] + 2e-3 * nz
    lx, ly, lz = light[0] - x, light[1] - y, -light[2] - z
    here = lx * nx + ly * ny + lz * nz
    there = -(lx * light[3] + ly * light[4] - lz * light[5])
    if here <= 0.0 or there <= 0.0:
        return 0.0
    part = z / (z + light[2])
    fx, fy = x + part * lx, y + part * ly
    if not clear(x, y, z, fx, fy, 1e-4, solids):
        return 0.0
    if not clear(fx, fy, 1e-4, light[0], light[1], light[2], solids):
        return 0.0
    d2 = lx * lx + ly * ly + lz * lz
    share = fresnel(-lz / math.sqrt(d2), COAT_INDEX)
    return float(share * here * there / (d2 * (d2 + soft)))


@formula
def clear(
    x: float, y: float, z: float, tx: float, ty: float, tz: float, solids: Solids,
) -> bool:  # fmt: skip
    """Tell whether nothing stands between two places."""
    far, _, _, _ = hit(x, y, z, tx - x, ty - y, tz - z, solids)
    return far > 0.985
