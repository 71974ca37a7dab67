"""Light on broad faces made even, and told where nothing can be lit.

Neighbours there are lit by other rays and lights, see `faces.Faces.turn`, so that the
mean of a few is as good as all of them and shows no bands. A texel of the floor under a
column, or beyond the walls, takes the light of those about it.
"""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from kit.look.faces import Faces
from kit.look.room import Room

Array = NDArray[np.float32]

_ON_M = 0.05
"""What stands lower than this over the floor covers it."""
_GROWN = 3
_LEAST = 1e-6
_ROWS, _PART = 3, 0.5
"""Texels that an edge's light is told from, and the least part of it that is left."""


def floor_known(room: Room) -> NDArray[np.bool_]:
    """Texels of the floor that light can fall on, (K,)."""
    x, y = room.faces.place[room.faces.floor, :2].T
    known = shapely.contains_xy(room.underfoot.buffer(0.01), x, y)
    for east, north, radius, foot, _ in room.solids.drums:
        if foot < _ON_M:
            known &= (x - east) ** 2 + (y - north) ** 2 > radius * radius
    for east, north, z, a, b, h, c, s in room.solids.boxes:
        if z - h < _ON_M:
            right, ahead = x - east, y - north
            inside = np.abs(c * right + s * ahead) < a
            known &= ~(inside & (np.abs(c * ahead - s * right) < b))
    return np.asarray(known)


def evened(light: Array, faces: Faces, known: NDArray[np.bool_]) -> Array:
    """Blend each texel of walls, floor and ceiling with its neighbours, 1 2 1 each way.

    Light that rises evenly towards an edge stays as it is there.

    Parameters
    ----------
    light : (T, C) array
    known : (K,) array
        From `floor_known`; texels of the floor that are not take their neighbours' light.
    """
    out = light.copy()
    for face in range(faces.floor_face + 2):
        where = faces.of(face)
        along, up = (int(n) for n in faces.table[face, 1:3])
        grid = light[where].reshape(up, along, -1)
        if face != faces.floor_face:
            even = _to_the_edges(_blurred(grid) / 16.0)
            out[where] = even.reshape(-1, light.shape[1])
            continue
        given = known.reshape(up, along, 1).astype(np.float32)
        value = grid * given
        total, weight = _blurred(value), _blurred(given)
        for _ in range(_GROWN):
            value = np.where(weight > _LEAST, total / np.maximum(weight, _LEAST), 0.0)
            if (weight > _LEAST).all():
                break
            given = (weight > _LEAST).astype(np.float32)
            more, there = _blurred(value), _blurred(given)
            bare = weight <= _LEAST
            total, weight = np.where(bare, more, total), np.where(bare, there, weight)
        out[where] = value.reshape(-1, light.shape[1])
    return out


def _to_the_edges(even: Array) -> Array:
    """Move the blend at each edge, which lies half a texel inwards, out to its texel.

    All turns still count alike in it, see `faces.Faces.turn`.
    """
    for axis in (0, 1):
        if even.shape[axis] < _ROWS:
            continue
        moved = np.moveaxis(even, axis, 0)
        for edge, inner in ((0, 1), (-1, -2)):
            moved[edge] = np.maximum(2.0 * moved[edge] - moved[inner], _PART * moved[edge])
    return even


def _blurred(grid: Array) -> Array:
    """Sum over 3 x 3 neighbours with weights 1 2 1; beyond an edge it is mirrored."""
    for axis in (0, 1):
        if grid.shape[axis] < 2:
            grid = 4.0 * grid
            continue
        moved = np.moveaxis(grid, axis, 0)
        padded = np.concatenate([moved[1:2], moved, moved[-2:-1]])
        moved = padded[:-2] + 2.0 * padded[1:-1] + padded[2:]
        grid = np.moveaxis(moved, 0, axis)
    return np.asarray(grid, dtype=np.float32)
