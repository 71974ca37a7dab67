"""Every face of a room cut into texels that hold light.

One flat list of texels serves all faces; `Faces` says where a face's texels
start and how many there are along each side.
"""

from __future__ import annotations

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
    """

    table: Array
    place: Array
    normal: Array
    face: NDArray[np.int32]

    @property
    def floor(self) -> slice:
        """Texels of the floor."""
        return self.of(int(self.floor_face))

    def of(self, face: int) -> slice:
        """Texels of one face."""
        first, along, up = (int(n) for n in self.table[face, :3])
        return slice(first, first + along * up)

    floor_face: int = 0


def cut(solids: Solids, bounds_m: tuple[float, float, float, float]) -> Faces:
    """Cut all faces into texels of a size that fits the room's."""
    west, south, east, north = bounds_m
    coarser = max(1.0, ((east - west) * (north - south) / 50.0) ** 0.5)
    table, places, normals, owners = [], [], [], []
    first = 0
    for face, (origin, u, v, normal, texel_m, metric) in enumerate(
        _rectangles(solids, bounds_m)
    ):
        size_m = texel_m * (coarser if texel_m != THING_TEXEL_M else 1.0)
        along = int(np.clip(round(float(np.linalg.norm(u)) / size_m), 1, 400))
        up = int(np.clip(round(float(np.linalg.norm(v)) / size_m), 1, 400))
        p, q = np.meshgrid((np.arange(along) + 0.5) / along, (np.arange(up) + 0.5) / up)
        if callable(normal):
            place, facing = normal(p.ravel(), q.ravel())
        else:
            place = origin + p.reshape(-1, 1) * u + q.reshape(-1, 1) * v
            facing = np.broadcast_to(normal, place.shape)
        table.append((first, along, up, *metric))
        places.append(place)
        normals.append(facing)
        owners.append(np.full(len(place), face, dtype=np.int32))
        first += len(place)
    return Faces(
        np.array(table, dtype=np.float64),
        np.concatenate(places),
        np.concatenate(normals),
        np.concatenate(owners),
        floor_face=len(solids.walls),
    )


def _rectangles(
    solids: Solids, bounds_m: tuple[float, float, float, float]
) -> Iterator[tuple[Array, Array, Array, object, float, tuple[float, float, float, float]]]:
    """Yield origin, sides, normal, texel size and frame of every face, in face order."""
    west, south, east, north = bounds_m
    unit = (0.0, 0.0, 1.0, 1.0)
    up = np.array([0.0, 0.0, 1.0])
    for x, y, ux, uy, length, nx, ny in solids.walls:
        yield (np.array([x, y, 0.0]), np.array([ux, uy, 0.0]) * length, up * solids.height,
               np.array([nx, ny, 0.0]), WALL_TEXEL_M, unit)  # fmt: skip
    across, deep = np.array([east - west, 0.0, 0.0]), np.array([0.0, north - south, 0.0])
    frame = (west, south, east - west, north - south)
    yield np.array([west, south, 0.0]), across, deep, up, FLOOR_TEXEL_M, frame
    top = np.array([west, south, solids.height])
    yield top, across, deep, -up, CEILING_TEXEL_M, frame
    for box in solids.boxes:
        for origin, u, v, normal in _box_sides(box):
            yield origin, u, v, normal, THING_TEXEL_M, unit
    for drum in solids.drums:
        yield from _drum_sides(drum, unit)
    for leaf in solids.leaves:
        middle, long, short = leaf[:3], leaf[3:6], leaf[6:9]
        normal = np.cross(long, short)
        normal = normal / np.linalg.norm(normal)
        for way in (normal, -normal):
            yield middle - 0.5 * (long + short) + 0.004 * way, long, short, way, 10.0, unit
    for window in solids.windows:
        yield from _window_sides(solids.walls[int(window[0])], window, unit)


def _box_sides(box: Array) -> Iterator[tuple[Array, Array, Array, Array]]:
    centre, half = box[:3], box[3:6]
    ex, ey = np.array([box[6], box[7], 0.0]), np.array([-box[7], box[6], 0.0])
    ez = np.array([0.0, 0.0, 1.0])
    for normal, depth, u, v in (
        (ex, half[0], ey * half[1], ez * half[2]),
        (ey, half[1], ex * half[0], ez * half[2]),
        (ez, half[2], ex * half[0], ey * half[1]),
    ):
        for sign in (-1.0, 1.0):
            yield centre + sign * depth * normal - u - v, 2 * u, 2 * v, sign * normal


def _drum_sides(drum: Array, unit: tuple[float, float, float, float]):  # type: ignore[no-untyped-def]
    x, y, radius, foot, top = drum

    def around(p: Array, q: Array) -> tuple[Array, Array]:
        turn = (p - 0.5) * 2.0 * np.pi
        out = np.stack([np.cos(turn), np.sin(turn), np.zeros_like(turn)], axis=1)
        place = np.array([x, y, foot]) + radius * out
        place[:, 2] += q * (top - foot)
        return place, out

    girth = np.array([2.0 * np.pi * radius, 0.0, 0.0])
    zero, rise = np.zeros(3), np.array([0.0, 0.0, top - foot])
    yield zero, girth, rise, around, THING_TEXEL_M, unit
    for level, way in ((foot, -1.0), (top, 1.0)):
        corner = np.array([x - radius, y - radius, level])
        side = 2.0 * radius
        yield (corner, np.array([side, 0.0, 0.0]), np.array([0.0, side, 0.0]),
               np.array([0.0, 0.0, way]), THING_TEXEL_M, unit)  # fmt: skip


def _window_sides(wall: Array, window: Array, unit: tuple[float, float, float, float]):  # type: ignore[no-untyped-def]
    along, inward = np.array([*wall[2:4], 0.0]), np.array([*wall[5:7], 0.0])
    up = np.array([0.0, 0.0, 1.0])
    depth = window[5]
    face = np.array([wall[0], wall[1], 0.0]) + window[1] * along + window[3] * up
    wide, high = (window[2] - window[1]) * along, (window[4] - window[3]) * up
    back = -depth * inward
    yield face + back, wide, high, inward, 0.12, unit
    yield face, wide, back, up, THING_TEXEL_M, unit
    yield face + high, wide, back, -up, THING_TEXEL_M, unit
    yield face, back, high, along, THING_TEXEL_M, unit
    yield face + wide, back, high, -along, THING_TEXEL_M, unit
