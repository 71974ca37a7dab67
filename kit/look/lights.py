"""Light on every face: straight from window and lamps, then bounced until it fades.

Irradiance is kept over pi, so a white face glows with its value. What the floor
sends back depends on its colours, so light is solved by how often it touched
the floor: E = E0 + a E1 + a² E2 / (1 - a q) for a floor of albedo a. A change
of palette then moves no ray.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numba import prange
from numpy.typing import NDArray

from kit.look.compiled import formula, loop
from kit.look.room import Room
from kit.look.skins import albedo, glass, outside
from kit.look.trace import hit

Array = NDArray[np.float32]

RAYS = 256
"""Directions a texel gathers bounced light from."""
LAMP_RADIUS_M = 0.075
LAMP_RGB = (1.0, 0.835, 0.625)
LAMP_GLOW = 46.0
"""Radiance of a lamp's face in the evening, against the window's 5 by day."""
FILL_DAY = (3.3, 3.35, 3.4)


@dataclass(frozen=True, eq=False)
class Bounces:
    """Which texel each ray of each texel meets, (T, RAYS) int32, -1 for none."""

    meets: NDArray[np.int32]


@dataclass(frozen=True, eq=False)
class Light:
    """Light of one mood.

    Parameters
    ----------
    orders : (3, T, 3) array
        Irradiance over pi that touched the floor never, once, twice.
    kept : (3,) array
        Share of light, per unit of floor albedo, that a further touch leaves.
    colour : (T, 3) array
        Albedo of each texel; zero on the floor.
    glow : (T, 3) array
        Light that a texel sends out by itself: the window's panes.
    """

    orders: Array
    kept: Array
    colour: Array
    glow: Array

    def weights(self, floor_albedo: NDArray[np.float64]) -> Array:
        """How much each order counts, (3, 3) by order and colour, for a floor of this albedo (3,)."""
        a = np.clip(floor_albedo, 0.0, 0.95).astype(np.float32)
        return np.stack([np.ones_like(a), a, a * a / (1.0 - a * np.minimum(self.kept, 0.9))])

    def on(self, floor_albedo: NDArray[np.float64]) -> Array:
        """Irradiance over pi, (T, 3), for a floor of this albedo (3,)."""
        return joined(self.side_by_side, self.weights(floor_albedo))

    @cached_property
    def side_by_side(self) -> Array:
        """Orders of a texel in one row, (T, 9)."""
        return np.ascontiguousarray(self.orders.transpose(1, 0, 2).reshape(-1, 9))


def joined(orders: Array, weights: Array) -> Array:
    """Weigh rows of three orders (N, 9) into light (N, 3)."""
    total: Array = orders[:, 0:3] * weights[0]
    total += orders[:, 3:6] * weights[1]
    total += orders[:, 6:9] * weights[2]
    return total


def traced_bounces(room: Room) -> Bounces:
    """Follow the gathering rays of every texel once; good for all moods and colours."""
    faces = room.faces
    meets = np.empty((len(faces.place), RAYS), dtype=np.int32)
    k = np.arange(RAYS)
    radical = np.array([int(f"{i:08b}"[::-1], 2) / 256.0 for i in range(256)])
    sines = np.sqrt((k + 0.5) / RAYS)
    turns = 2.0 * np.pi * radical[k % 256]
    ways = np.stack([sines * np.cos(turns), sines * np.sin(turns), np.sqrt(1 - sines**2)], axis=1)
    _gather_rays(faces.place, faces.normal, ways, room.solids, faces.table, meets)
    return Bounces(meets)


def lit_room(room: Room, bounces: Bounces, mood: str) -> Light:
    """Solve the light of a mood."""
    evening = mood == "evening"
    faces = room.faces
    count = len(faces.place)
    colour = np.zeros((count, 3), dtype=np.float32)
    glow = np.zeros((count, 3), dtype=np.float32)
    _texel_look(faces.table, faces.face, room.skins, room.doors, room.solids, evening, colour, glow)
    floor = faces.floor
    colour[floor] = 0.0
    direct = np.zeros((count, 3), dtype=np.float32)
    panes = _pane_points(room, evening)
    fill = _fill_points(room, evening)
    lamps = room.lamps if evening else np.zeros((0, 3))
    power = np.array(LAMP_RGB) * LAMP_GLOW * math.pi * LAMP_RADIUS_M**2
    power *= (room.lamp_spacing_m / 1.9) ** 2
    _direct(faces.place, faces.normal, panes, fill, lamps, power, room.solids, direct)
    orders = np.zeros((3, count, 3), dtype=np.float32)
    source = direct
    for order, passes in enumerate((5, 4, 3)):
        orders[order] = _settled(source, colour, bounces.meets, passes)
        touched = np.zeros_like(source)
        touched[floor] = orders[order][floor]
        source = np.empty_like(source)
        _gather(touched, bounces.meets, source)
    once, twice = orders[1][floor].mean(axis=0), orders[2][floor].mean(axis=0)
    kept = np.where(once > 1e-9, twice / np.maximum(once, 1e-9), 0.0).astype(np.float32)
    return Light(orders, kept, colour, glow)


def _settled(source: Array, colour: Array, meets: NDArray[np.int32], passes: int) -> Array:
    """Bounce light among all faces but the floor until `passes` bounces are in."""
    total = source.copy()
    bounced = np.empty_like(source)
    for _ in range(passes):
        _gather(total * colour, meets, bounced)
        total = source + bounced
    return total


def _pane_points(room: Room, evening: bool) -> NDArray[np.float64]:
    """Cut panes into small lights, rows of place, inward normal, radiance times area over pi."""
    rows = []
    for window in room.solids.windows:
        wall = room.solids.walls[int(window[0])]
        wide, high = window[2] - window[1], window[4] - window[3]
        across, up = 9, 6
        for i in range(across):
            for j in range(up):
                u, v = (i + 0.5) / across, (j + 0.5) / up
                ground = wall[:2] + (window[1] + u * wide) * wall[2:4] - window[5] * wall[5:7]
                shine = np.array(outside(u, v, wide, evening)) * 0.86
                shine *= wide * high / (across * up) / math.pi
                rows.append((*ground, window[3] + v * high, *wall[5:7], 0.0, *shine))
    return np.array(rows, dtype=np.float64).reshape(-1, 9)


def _fill_points(room: Room, evening: bool) -> NDArray[np.float64]:
    """Cut the soft opening behind the eye into small lights, as `_pane_points`."""
    rows = []
    shine = np.array(FILL_DAY) if not evening else np.array((0.05, 0.055, 0.08))
    for corner, wide, high, inward in room.fill:
        area = np.linalg.norm(wide) * np.linalg.norm(high) / 20.0
        for i in range(5):
            for j in range(4):
                place = corner + (i + 0.5) / 5 * wide + (j + 0.5) / 4 * high
                rows.append((*place, *inward, *(shine * area / math.pi)))
    return np.array(rows, dtype=np.float64).reshape(-1, 9)


@formula
def texel_of(face, u, v, table):  # type: ignore[no-untyped-def]
    """Index of the texel at a hit."""
    along, up = int(table[face, 1]), int(table[face, 2])
    i = int((u - table[face, 3]) / table[face, 5] * along)
    j = int((v - table[face, 4]) / table[face, 6] * up)
    i = min(max(i, 0), along - 1)
    j = min(max(j, 0), up - 1)
    return int(table[face, 0]) + j * along + i


@formula
def between(face, u, v, table, values, channel):  # type: ignore[no-untyped-def]
    """Value of a texel list at a hit, blended from the four texels around it."""
    along, up = int(table[face, 1]), int(table[face, 2])
    x = (u - table[face, 3]) / table[face, 5] * along - 0.5
    y = (v - table[face, 4]) / table[face, 6] * up - 0.5
    x = min(max(x, 0.0), along - 1.0)
    y = min(max(y, 0.0), up - 1.0)
    i, j = int(x), int(y)
    p, q = x - i, y - j
    i2, j2 = min(i + 1, along - 1), min(j + 1, up - 1)
    first = int(table[face, 0])
    low = values[first + j * along + i, channel] * (1 - p) + values[first + j * along + i2, channel] * p
    top = values[first + j2 * along + i, channel] * (1 - p) + values[first + j2 * along + i2, channel] * p
    return low * (1 - q) + top * q


@loop
def _texel_look(table, owner, skins, doors, solids, evening, colour, glow):  # type: ignore[no-untyped-def]
    """Fill albedo and glow of every texel from what its middle looks like."""
    for t in prange(len(owner)):
        face = owner[t]
        along, up = int(table[face, 1]), int(table[face, 2])
        k = t - int(table[face, 0])
        u, v = (k % along + 0.5) / along, (k // along + 0.5) / up
        if skins[face, 0] == 4:
            if glass(u, v, skins[face, 4], skins[face, 5]) > 0.5:
                r, g, b = outside(u, v, skins[face, 4], evening)
                glow[t, 0], glow[t, 1], glow[t, 2] = r, g, b
            continue
        r, g, b = albedo(face, u, v, skins, doors, solids.windows)
        colour[t, 0], colour[t, 1], colour[t, 2] = r, g, b


@loop
def _gather_rays(place, normal, ways, solids, table, meets):  # type: ignore[no-untyped-def]
    """Fill `meets` (T, RAYS) with the texel each ray ends on."""
    for t in prange(len(place)):
        nx, ny, nz = normal[t]
        if abs(nz) > 0.9:
            ax, ay, az = 1.0, 0.0, 0.0
        else:
            ax, ay, az = ny, -nx, 0.0
        size = 1.0 / math.sqrt(ax * ax + ay * ay + az * az)
        ax, ay, az = ax * size, ay * size, az * size
        bx, by, bz = ny * az - nz * ay, nz * ax - nx * az, nx * ay - ny * ax
        x, y, z = place[t, 0] + 2e-3 * nx, place[t, 1] + 2e-3 * ny, place[t, 2] + 2e-3 * nz
        for k in range(len(ways)):
            p, q, w = ways[k]
            far, face, u, v = hit(
                x, y, z, p * ax + q * bx + w * nx, p * ay + q * by + w * ny,
                p * az + q * bz + w * nz, solids,
            )  # fmt: skip
            meets[t, k] = texel_of(face, u, v, table) if face >= 0 else -1


@loop
def _gather(sent, meets, out):  # type: ignore[no-untyped-def]
    """Fill `out` (T, 3) with the mean of what a texel's rays meet: rays are cosine weighted."""
    count, rays = meets.shape
    for t in prange(count):
        r, g, b = np.float32(0.0), np.float32(0.0), np.float32(0.0)
        for k in range(rays):
            m = meets[t, k]
            if m >= 0:
                r += sent[m, 0]
                g += sent[m, 1]
                b += sent[m, 2]
        out[t, 0], out[t, 1], out[t, 2] = r / rays, g / rays, b / rays


@formula
def clear(x, y, z, tx, ty, tz, solids):  # type: ignore[no-untyped-def]
    """Tell whether nothing stands between two places."""
    far, _, _, _ = hit(x, y, z, tx - x, ty - y, tz - z, solids)
    return far > 0.985


@loop
def _direct(place, normal, panes, fill, lamps, power, solids, out):  # type: ignore[no-untyped-def]
    """Fill `out` (T, 3) with light straight from panes, fill and lamps."""
    for t in prange(len(place)):
        nx, ny, nz = normal[t]
        x, y, z = place[t, 0] + 2e-3 * nx, place[t, 1] + 2e-3 * ny, place[t, 2] + 2e-3 * nz
        for lights in range(2):
            points = panes if lights == 0 else fill
            for k in range(len(points)):
                p = points[k]
                lx, ly, lz = p[0] - x, p[1] - y, p[2] - z
                d2 = lx * lx + ly * ly + lz * lz
                here = lx * nx + ly * ny + lz * nz
                there = -(lx * p[3] + ly * p[4] + lz * p[5])
                if here <= 0.0 or there <= 0.0:
                    continue
                if clear(x, y, z, p[0], p[1], p[2], solids):
                    w = here * there / (d2 * (d2 + 0.02))
                    for c in range(3):
                        out[t, c] += p[6 + c] * w
        for k in range(len(lamps)):
            for sub in range(4):
                px = lamps[k, 0] + (0.045 if sub % 2 else -0.045)
                py = lamps[k, 1] + (0.045 if sub // 2 else -0.045)
                lx, ly, lz = px - x, py - y, lamps[k, 2] - 0.01 - z
                d2 = lx * lx + ly * ly + lz * lz
                here = lx * nx + ly * ny + lz * nz
                if here <= 0.0 or lz <= 0.0:
                    continue
                if clear(x, y, z, px, py, lamps[k, 2] - 0.01, solids):
                    down = lz / math.sqrt(d2)
                    w = here * down * down / (d2 * math.sqrt(d2)) / math.pi * 0.25
                    for c in range(3):
                        out[t, c] += power[c] * w
