"""Every face of a room cut into texels that hold light.

One flat list of texels serves all faces; `Faces` says where a face's texels
start and how many there are along each side.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from kit.look.trace import Solids

Array = NDArray[np.float64]

FLOOR_TEXEL_M = 0.08
WALL_TEXEL_M = 0.16
CEILING_TEXEL_M = 0.30
THING_TEXEL_M = 0.12
STOUT_M, ROUND = 0.1, 24
"""Drums thicker than this are lit at so many places about them, to look round."""
TURNS = 4


@dataclass(frozen=True, eq=False)
class Faces:
    """Texels of F faces.

    Parameters
    ----------
    table : (F, 7) float64 array
        First texel, count along u and v; for floor and ceiling, whose hits are
        in metres, also west, south and the extent along x and y; else 0, 0, 1, 1.
    place, normal : (T, 3) arrays
        Middle of a texel and the way it faces.
    face : (T,) int32 array
    turn : (T,) int8 array
        Which of `TURNS` sets of rays and lights a texel is lit by; on broad faces no two
        neighbours by the same, so that `smoothed` light is that of all.
    floor_face : int
    """

    table: Array
    place: Array
    normal: Array
    face: NDArray[np.int32]
    turn: NDArray[np.int8]
    floor_face: int

    @property
    def floor(self) -> slice:
        """Texels of the floor."""
        return self.of(self.floor_face)

    def of(self, face: int) -> slice:
        """Texels of one face."""
        first, along, up = (int(n) for n in self.table[face, :3])
        return slice(first, first + along * up)


@dataclass(frozen=True, eq=False)
class Side:
    """A flat rectangle, or with a `radius` one rolled into the side of a drum.

    Parameters
    ----------
    corner, along, up, normal : (3,) arrays
        Corner, both sides, facing; of a drum its foot, girth, rise, nothing.
    texel_m : float
    frame : (float, float, float, float)
        Origin and extent of the numbers a hit on it carries.
    """

    corner: Array
    along: Array
    up: Array
    normal: Array
    texel_m: float = THING_TEXEL_M
    frame: tuple[float, float, float, float] = (0.0, 0.0, 1.0, 1.0)
    radius: float = 0.0

    def counts(self, coarser: float) -> tuple[int, int]:
        """Texels along and up, in a room that asks for coarser ones."""
        size_m = self.texel_m * (coarser if self.texel_m != THING_TEXEL_M else 1.0)
        sides = (float(np.linalg.norm(self.along)), float(np.linalg.norm(self.up)))
        along, up = (int(np.clip(round(side / size_m), 1, 400)) for side in sides)
        if self.radius > STOUT_M:
            along = max(along, ROUND)
        return along, up

    def texels(self, along: int, up: int) -> tuple[Array, Array]:
        """Middles (K, 3) and normals (K, 3)."""
        p, q = np.meshgrid((np.arange(along) + 0.5) / along, (np.arange(up) + 0.5) / up)
        p, q = p.reshape(-1, 1), q.reshape(-1, 1)
        if self.radius:
            turn = (p - 0.5) * 2.0 * np.pi
            out = np.hstack([np.cos(turn), np.sin(turn), np.zeros_like(turn)])
            return self.corner + self.radius * out + q * self.up, out
        place = self.corner + p * self.along + q * self.up
        return place, np.broadcast_to(self.normal, place.shape)


def cut(solids: Solids, bounds_m: tuple[float, float, float, float]) -> Faces:
    """Cut all faces into texels of a size that fits the room's."""
    west, south, east, north = bounds_m
    coarser = max(1.0, math.sqrt((east - west) * (north - south) / 50.0))
    table, places, normals, owners, turns = [], [], [], [], []
    walls = len(solids.walls)
    first = 0
    for face, side in enumerate(_sides(solids, bounds_m)):
        along, up = side.counts(coarser)
        place, normal = side.texels(along, up)
        table.append((first, along, up, *side.frame))
        places.append(place)
        normals.append(normal)
        owners.append(np.full(len(place), face, dtype=np.int32))
        column, row = np.meshgrid(np.arange(along), np.arange(up))
        turn = (column % 2 + 2 * (row % 2)).ravel() if face < walls + 2 else 0 * owners[-1]
        turns.append(turn.astype(np.int8))
        first += len(place)
    return Faces(
        np.array(table, dtype=np.float64),
        np.concatenate(places),
        np.concatenate(normals),
        np.concatenate(owners),
        np.concatenate(turns),
        floor_face=walls,
    )


_UP = np.array([0.0, 0.0, 1.0])


def _sides(solids: Solids, bounds_m: tuple[float, float, float, float]) -> Iterator[Side]:
    """Yield every face, in the order of `trace.Solids`."""
    west, south, east, north = bounds_m
    for x, y, ux, uy, length, nx, ny in solids.walls:
        along, inward = np.array([ux, uy, 0.0]) * length, np.array([nx, ny, 0.0])
        yield Side(np.array([x, y, 0.0]), along, _UP * solids.height, inward, WALL_TEXEL_M)
    across, deep = np.array([east - west, 0.0, 0.0]), np.array([0.0, north - south, 0.0])
    frame = (west, south, east - west, north - south)
    yield Side(np.array([west, south, 0.0]), across, deep, _UP, FLOOR_TEXEL_M, frame)
    top = np.array([west, south, solids.height])
    yield Side(top, across, deep, -_UP, CEILING_TEXEL_M, frame)
    for box in solids.boxes:
        yield from _box_sides(box)
    for drum in solids.drums:
        yield from _drum_sides(drum)
    for window in solids.windows:
        yield from _recess_sides(solids.walls[int(window[0])], window)
    for doorway in solids.doorways:
        yield from _doorway_sides(solids.walls[int(doorway[0])], doorway, solids.height)
    for x, y, z, radius in solids.globes:
        girth = np.array([2.0 * np.pi * radius, 0.0, 0.0])
        low = np.array([x, y, z - 0.5 * radius])
        yield Side(low, girth, radius * _UP, np.zeros(3), radius=float(radius) + 0.01)


def _box_sides(box: Array) -> Iterator[Side]:
    centre, half = box[:3], box[3:6]
    ex, ey = np.array([box[6], box[7], 0.0]), np.array([-box[7], box[6], 0.0])
    for normal, depth, u, v in (
        (ex, half[0], ey * half[1], _UP * half[2]),
        (ey, half[1], ex * half[0], _UP * half[2]),
        (_UP, half[2], ex * half[0], ey * half[1]),
    ):
        for way in (-normal, normal):
            yield Side(centre + depth * way - u - v, 2 * u, 2 * v, way)


def _drum_sides(drum: Array) -> Iterator[Side]:
    x, y, radius, foot, top = drum
    girth = np.array([2.0 * np.pi * radius, 0.0, 0.0])
    low = np.array([x, y, foot])
    yield Side(low, girth, _UP * (top - foot), np.zeros(3), radius=float(radius))
    across, deep = np.array([2.0 * radius, 0.0, 0.0]), np.array([0.0, 2.0 * radius, 0.0])
    for level, way in ((foot, -_UP), (top, _UP)):
        yield Side(np.array([x - radius, y - radius, level]), across, deep, way)


def _recess_sides(wall: Array, window: Array) -> Iterator[Side]:
    along, inward = np.array([*wall[2:4], 0.0]), np.array([*wall[5:7], 0.0])
    face = np.array([wall[0], wall[1], 0.0]) + window[1] * along + window[3] * _UP
    wide, high = (window[2] - window[1]) * along, (window[4] - window[3]) * _UP
    back = -window[5] * inward
    yield Side(face + back, wide, high, inward)
    yield Side(face, wide, back, _UP)
    yield Side(face + high, wide, back, -_UP)
    yield Side(face, back, high, along)
    yield Side(face + wide, back, high, -along)


def _doorway_sides(wall: Array, doorway: Array, height_m: float) -> Iterator[Side]:
    """As of a window; but the back of a space beyond is that space's far wall."""
    sides = _recess_sides(wall, doorway)
    back = next(sides)
    if doorway[6] > 0.0:
        along, inward = np.array([*wall[2:4], 0.0]), np.array([*wall[5:7], 0.0])
        start = np.array([wall[0], wall[1], 0.0]) - doorway[6] * inward
        start = start + (doorway[1] - doorway[7]) * along
        wide = doorway[2] - doorway[1] + doorway[7] + doorway[8]
        back = Side(start, wide * along, height_m * _UP, inward, WALL_TEXEL_M)
    yield back
    yield from sides
