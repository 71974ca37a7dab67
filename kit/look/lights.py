"""Light on every face: straight from window and lamps, then bounced until it fades.

Irradiance is kept over pi, so a white face glows with its value. What the floor
sends back depends on its colours, so light is solved by how often it touched
the floor: E = E0 + a E1 + a² E2 / (1 - a q) for a floor of albedo a. A change
of palette then moves no ray. The floor is a film under a clear coat: it takes
in what the coat passes, sends it out through the coat, and the coat mirrors the
rest, whatever the film's colour.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray

from kit.look.compiled import Grid, loop, prange
from kit.look.direct import (
    COAT_INDEX,
    fill_points,
    globe_light,
    lamp_light,
    lamps_of,
    lamps_reach,
    pane_points,
    straight,
    turned_panes,
)
from kit.look.evened import evened, floor_known
from kit.look.faces import TURNS
from kit.look.flakes import finer_than_flakes
from kit.look.optics import fresnel
from kit.look.outdoors import outside
from kit.look.room import Room
from kit.look.skins import BEYOND, PANE, albedo, glass
from kit.look.texels import texel_of
from kit.look.trace import Solids, hit

Array = NDArray[np.float32]

USUAL = 0.2
"""Albedo of a usual floor."""
BEYOND_PART = 0.45
"""Light of a space beyond a doorway, by that on the room's walls."""
_SLOWEST = 0.9
"""Most that a bounce may leave of the one before."""
RAYS = 128
"""Directions a texel gathers bounced light from."""


@dataclass(frozen=True, eq=False)
class Bounces:
    """Rays of T texels.

    Parameters
    ----------
    meets : (T, RAYS) int32 array
        Texel each ray meets, -1 for none.
    beyond : (T, RAYS) int32 array
        Where the ray met the floor: the texel that the floor's coat mirrors to it.
    mirrored : (T, RAYS) float32 array
        Share of light that the coat mirrors there; 0 off the floor.
    passed : (RAYS,) float32 array
        Share that the coat lets through to a texel of the floor, 1 on average.
    """

    meets: NDArray[np.int32]
    beyond: NDArray[np.int32]
    mirrored: Array
    passed: Array
    floor: slice

    def gathered(self, sent: Array) -> Array:
        """Mean of what the rays of every texel bring, for light (T, 3) sent out."""
        out = np.empty_like(sent)
        _gather(
            sent, self.meets, self.beyond, self.mirrored, self.passed, self.floor.start,
            self.floor.stop, out,
        )  # fmt: skip
        return out


@dataclass(frozen=True, eq=False)
class Light:
    """Light of one mood.

    Parameters
    ----------
    orders : (3, T, 3) array
        Irradiance over pi that touched the floor's film never, once, twice; on the
        floor what its coat passes, over what it passes of an even sky.
    kept : (3,) array
        Share of light, per unit of floor albedo, that a further touch leaves.
    colour : (T, 3) array
        Albedo of each texel; zero on the floor.
    glow : (T, 3) array
        Light that a texel sends out by itself: the window's panes.
    lamps : (L, 8) array
        From `direct.lamps_of`.
    finer : (T, 1 + L) array
        On the floor: light over what the flakes' coarse places tell, and the part of
        each lamp that is seen; else 0.
    """

    orders: Array
    kept: Array
    colour: Array
    glow: Array
    lamps: NDArray[np.float64]
    finer: Array

    def weights(self, floor_albedo: NDArray[np.float64]) -> Array:
        """Weight of each order by colour, (3, 3), for a floor of this albedo (3,)."""
        a = np.clip(floor_albedo, 0.0, 0.95).astype(np.float32)
        return np.stack(
            [np.ones_like(a), a, a * a / (1.0 - a * np.minimum(self.kept, 0.9))]
        )

    def on(self, floor_albedo: NDArray[np.float64]) -> Array:
        """Irradiance over pi, (T, 3), for a floor of this albedo (3,)."""
        total: Array = np.einsum("otc,oc->tc", self.orders, self.weights(floor_albedo))
        return total

    def touched(self, floor_albedo: NDArray[np.float64]) -> Array:
        """Weight by colour (3,) of light that ever touched the floor, see `sides`."""
        weights = self.weights(floor_albedo)
        total: Array = weights[1] + weights[2] * np.minimum(self.kept, 0.9)
        return total

    @cached_property
    def sides(self) -> Array:
        """Light that never and that ever touched the floor's film, side by side, (T, 6).

        Exact for a floor of `USUAL` albedo; for others the light that touched twice
        is taken to lie as it does there. `touched` weighs it.
        """
        usual = np.full(3, USUAL)
        weights = self.weights(usual)
        ever = self.orders[1] * weights[1] + self.orders[2] * weights[2]
        return np.hstack([self.orders[0], ever / self.touched(usual)])


def joined(sides: Array, touched: Array) -> Array:
    """Weigh rows of both sides (N, 6) into light (N, 3)."""
    total: Array = sides[:, 0:3] + sides[:, 3:6] * touched
    return total


def traced_bounces(room: Room) -> Bounces:
    """Follow the gathering rays of every texel once; good for all moods and colours."""
    faces = room.faces
    size = (len(faces.place), RAYS)
    meets, beyond = np.empty(size, dtype=np.int32), np.empty(size, dtype=np.int32)
    mirrored = np.empty(size, dtype=np.float32)
    k = np.arange(RAYS)
    bits = RAYS.bit_length() - 1
    radical = np.array([int(f"{i:0{bits}b}"[::-1], 2) / RAYS for i in range(RAYS)])
    sines = np.sqrt((k + 0.5) / RAYS)
    turns = 2.0 * np.pi * radical
    ways = np.stack(
        [sines * np.cos(turns), sines * np.sin(turns), np.sqrt(1 - sines**2)], axis=1
    )
    _gather_rays(
        faces.place, faces.normal, faces.turn, ways, room.solids, faces.table, meets,
        beyond, mirrored,
    )  # fmt: skip
    passed = np.array([1.0 - fresnel(float(w), COAT_INDEX) for w in ways[:, 2]])
    passed = (passed / passed.mean()).astype(np.float32)
    return Bounces(meets, beyond, mirrored, passed, faces.floor)


def lit_room(room: Room, bounces: Bounces, mood: str) -> Light:
    """Solve the light of a mood."""
    evening = mood == "evening"
    faces = room.faces
    count = len(faces.place)
    colour = np.zeros((count, 3), dtype=np.float32)
    glow = np.zeros((count, 3), dtype=np.float32)
    _texel_look(
        faces.table, faces.face, room.skins, room.doors, room.solids, evening, colour, glow
    )
    floor = faces.floor
    colour[floor] = 0.0
    direct = np.zeros((count, 3), dtype=np.float32)
    fill = fill_points(room, evening)
    lamps = room.lamps_lit(evening)
    coated = faces.face == faces.floor_face
    straight(
        faces.place, faces.normal, faces.turn, coated, turned_panes(room, evening),
        pane_points(room, evening, 5, 3), fill, lamps, lamp_light(evening),
        room.globes_lit(evening), globe_light(), room.solids, direct,
    )  # fmt: skip
    known = floor_known(room)
    direct = evened(direct, faces, known)
    _light_beyond(room, direct)
    orders = np.zeros((3, count, 3), dtype=np.float32)
    source = direct
    for order, passes in enumerate((5, 4, 3)):
        orders[order] = evened(_settled(source, colour, bounces, passes), faces, known)
        touched = np.zeros_like(source)
        touched[floor] = orders[order][floor]
        source = bounces.gathered(touched)
    for face in range(len(faces.table) - len(room.solids.globes), len(faces.table)):
        # opal glass spreads half of what falls on it all through a globe
        own = orders[:, faces.of(face)]
        orders[:, faces.of(face)] = 0.5 * (own + own.mean(axis=1, keepdims=True))
    once, twice = orders[1][floor].mean(axis=0), orders[2][floor].mean(axis=0)
    kept = np.where(once > 1e-9, twice / np.maximum(once, 1e-9), 0.0).astype(np.float32)
    shown = lamps_of(room, evening)
    finer = np.zeros((count, 1 + len(shown)), dtype=np.float32)
    finer[floor, :1] = finer_than_flakes(room, orders[0])[:, None]
    reach = np.empty((floor.stop - floor.start, len(shown)), dtype=np.float32)
    lamps_reach(faces.place[floor], shown, room.solids, reach)
    finer[floor, 1:] = reach
    return Light(orders, kept, colour, glow, shown, evened(finer, faces, known))


def _light_beyond(room: Room, direct: Array) -> None:
    """Give the spaces beyond doorways light of their own, even and less than the room's."""
    faces, solids = room.faces, room.solids
    walls = faces.face < len(solids.walls)
    own = BEYOND_PART * direct[walls].mean(axis=0)
    direct[room.skins[faces.face, 0] == BEYOND] += own
    floor = faces.place[faces.floor]
    outside = ~shapely.contains_xy(room.outline.buffer(0.1), floor[:, 0], floor[:, 1])
    direct[faces.floor][outside] += own


def _settled(source: Array, colour: Array, bounces: Bounces, passes: int) -> Array:
    """Bounce light among all faces but the floor: `passes` times, then on in proportion.

    After a few bounces light lies as it did a bounce before, only fainter: the rest is a
    geometric series.
    """
    total, last, before = source, source, source
    for _ in range(passes):
        bounced = source + bounces.gathered(total * colour)
        total, last, before = bounced, bounced - total, last
    fades = last.mean(axis=0) / np.maximum(before.mean(axis=0), 1e-9)
    fades = np.clip(fades, 0.0, _SLOWEST)
    rest: Array = total + last * (fades / (1.0 - fades))
    return rest


@loop
def _texel_look(
    table: Grid, owner: Grid, skins: Grid, doors: Grid, solids: Solids, evening: bool,
    colour: Grid, glow: Grid,
) -> None:  # fmt: skip
    """Fill albedo and glow of every texel from what its middle looks like."""
    for t in prange(len(owner)):
        face = owner[t]
        along, up = int(table[face, 1]), int(table[face, 2])
        k = t - int(table[face, 0])
        u, v = (k % along + 0.5) / along, (k // along + 0.5) / up
        if skins[face, 0] == PANE:
            if glass(u, v, skins[face, 4], skins[face, 5]) > 0.5:
                r, g, b = outside(u, v, skins[face, 4], skins[face, 5], evening)
                glow[t, 0], glow[t, 1], glow[t, 2] = r, g, b
            continue
        r, g, b = albedo(face, u, v, skins, doors, solids.windows)
        colour[t, 0], colour[t, 1], colour[t, 2] = r, g, b


@loop
def _gather_rays(
    place: Grid, normal: Grid, turn: Grid, ways: Grid, solids: Solids, table: Grid,
    meets: Grid, beyond: Grid, mirrored: Grid,
) -> None:  # fmt: skip
    """Fill `meets`, `beyond`, `mirrored` (T, RAYS), see `Bounces`."""
    floor = len(solids.walls)
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
        aside = turn[t] * (0.5 * math.pi / TURNS)
        cos, sin = math.cos(aside), math.sin(aside)
        for k in range(len(ways)):
            p, q, w = ways[k]
            p, q = cos * p - sin * q, sin * p + cos * q
            dx, dy = p * ax + q * bx + w * nx, p * ay + q * by + w * ny
            dz = p * az + q * bz + w * nz
            _, face, u, v = hit(x, y, z, dx, dy, dz, solids)
            meets[t, k] = texel_of(face, u, v, table) if face >= 0 else -1
            beyond[t, k], mirrored[t, k] = -1, 0.0
            if face == floor:
                mirrored[t, k] = fresnel(min(1.0, -dz), COAT_INDEX)
                _, face, u, v = hit(u, v, 1e-4, dx, dy, -dz, solids)
                beyond[t, k] = texel_of(face, u, v, table) if face >= 0 else -1


@loop
def _gather(
    sent: Grid, meets: Grid, beyond: Grid, mirrored: Grid, passed: Grid, floor_from: int,
    floor_to: int, out: Grid,
) -> None:  # fmt: skip
    """Fill `out` (T, 3) with the mean of what a texel's cosine-weighted rays meet."""
    count, rays = meets.shape
    for t in prange(count):
        r, g, b = np.float32(0.0), np.float32(0.0), np.float32(0.0)
        under = floor_from <= t < floor_to
        for k in range(rays):
            m = meets[t, k]
            if m < 0:
                continue
            share = mirrored[t, k]
            w = passed[k] if under else np.float32(1.0) - share
            r += w * sent[m, 0]
            g += w * sent[m, 1]
            b += w * sent[m, 2]
            m = beyond[t, k]
            if m >= 0:
                r += share * sent[m, 0]
                g += share * sent[m, 1]
                b += share * sent[m, 2]
        out[t, 0], out[t, 1], out[t, 2] = r / rays, g / rays, b / rays
