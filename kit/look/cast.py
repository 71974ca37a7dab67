"""Shadows that lamps throw of things above a floor, finer than its texels tell them.

A lamp is small: the shadow of a seat has an edge a few centimetres wide, which runs out
in texels that are blended with their neighbours. The light that seats, table tops and
boards take is asked for at places four times as close, where it changes; what texels
tell of the same is taken out. Windows are broad, texels tell their shade. What stands on
the floor is told by `contact`, finer still.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from kit.look.compiled import Grid, formula, loop, prange
from kit.look.contact import FOOT_M, LUMINANCE, MOST
from kit.look.direct import COAT_INDEX, EVEN_SKY, clear, piece_of
from kit.look.evened import evened, floor_known
from kit.look.lights import USUAL, Light
from kit.look.optics import fresnel
from kit.look.room import Room
from kit.look.texels import between
from kit.look.trace import Rows, Solids, stopped

Array = NDArray[np.float32]

FINER = 4
"""Places a side in a texel."""
LEAST = 0.1
"""Least that a place has of the light that its texels tell."""
_CHANGES = 0.01
"""Change of light, of what a texel has, from which on it is asked for finely."""


class Cast(NamedTuple):
    """Shadows of one mood.

    Parameters
    ----------
    table : (1, 7) array
        As of a face in `faces.Faces`.
    left : (K, 1) array
        Light over what texels tell, 1 for no difference.
    """

    table: NDArray[np.float64]
    left: Array

    def at(self, places: NDArray[np.float64]) -> Array:
        """Light at floor places (N, 2+) over what texels tell of it, (N,)."""
        out = np.empty(len(places), dtype=np.float32)
        _read(places, self.table, self.left, out)
        return out


def cast_shadows(room: Room, light: Light) -> Cast:
    """Ask how much light of lamps things above the floor take of it."""
    faces = room.faces
    floor, row = faces.floor, faces.table[faces.floor_face]
    along, up = int(row[1]), int(row[2])
    table = np.array([[0, FINER * along, FINER * up, *row[3:]]], dtype=np.float64)
    left = np.ones((FINER * FINER * along * up, 1), dtype=np.float32)
    high, low = apart(room.solids)
    if not len(high.groups) or not len(light.lamps):
        return Cast(table, left)
    lamps = np.column_stack([light.lamps[:, :5], light.lamps[:, 5:] @ LUMINANCE])
    told = np.zeros((len(faces.place), 1), dtype=np.float32)
    taken = np.empty(floor.stop - floor.start, dtype=np.float32)
    places = np.ascontiguousarray(faces.place[floor, :2])
    _taken(places, lamps, high, low, taken)
    told[floor, 0] = taken
    known = floor_known(room)
    # straight light is evened as it comes, and once more with what is bounced
    once = evened(told, faces, known)
    told = evened(once, faces, known)
    lit = np.maximum(light.on(np.full(3, USUAL)) @ LUMINANCE, 1e-6).astype(np.float32)
    changes = np.abs(once - told)[floor, 0] > _CHANGES * lit[floor]
    whole = _grown(changes.reshape(up, along))
    ask = np.kron(_grown(whole), np.ones((FINER, FINER), np.bool_))
    j, i = np.nonzero(ask)
    x = row[3] + (i + 0.5) / (FINER * along) * row[5]
    y = row[4] + (j + 0.5) / (FINER * up) * row[6]
    fine = np.empty(len(x), dtype=np.float32)
    places = np.column_stack([x, y])
    _taken(places, lamps, high, low, fine)
    more = np.zeros(ask.shape, dtype=np.float32)
    part = np.zeros_like(told)
    part[floor, 0] = whole.ravel()
    more[ask] = (fine - _told(places, room, told)) * _told(places, room, part)
    # four pieces of a lamp make steps of a half-shadow
    more = _blended(more)
    light_there = _told(places, room, lit[:, None])
    left.reshape(ask.shape)[ask] = np.clip(1.0 - more[ask] / light_there, LEAST, MOST)
    return Cast(table, left)


def apart(solids: Solids) -> tuple[Solids, Solids]:
    """Take things apart into those above the floor, without walls, and all else."""
    boxes, drums = solids.boxes, solids.drums
    box_high = boxes[:, 2] - boxes[:, 5] >= FOOT_M
    drum_high = drums[:, 3] >= FOOT_M
    high = _of(solids, box_high, drum_high)
    nothing: Rows = np.zeros((0, 9))
    high = high._replace(
        walls=solids.walls[:0], windows=solids.windows[:0], doorways=nothing,
        globes=solids.globes[:0],
    )  # fmt: skip
    low = _of(solids, ~box_high, ~drum_high)
    return high, low._replace(globes=solids.globes[:0])


def _of(solids: Solids, boxes: NDArray[np.bool_], drums: NDArray[np.bool_]) -> Solids:
    """Keep some boxes and drums, in their groups."""
    before = [np.concatenate([[0], np.cumsum(kept)]) for kept in (boxes, drums)]
    groups = solids.groups.copy()
    for column, count in zip((4, 6), before, strict=True):
        groups[:, column : column + 2] = count[groups[:, column : column + 2].astype(int)]
    some = (groups[:, 5] > groups[:, 4]) | (groups[:, 7] > groups[:, 6])
    return solids._replace(
        boxes=solids.boxes[boxes], drums=solids.drums[drums], groups=groups[some]
    )


def _told(places: NDArray[np.float64], room: Room, values: Array) -> Array:
    """What texels tell at floor places, (N,), of values (T, 1)."""
    row = room.faces.table[room.faces.floor_face][None]
    out = np.empty(len(places), dtype=np.float32)
    _read(places, np.ascontiguousarray(row), values, out)
    return out


def _grown(grid: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Mark neighbours too."""
    edge = np.pad(grid, 1)
    rows = edge[:-2] | edge[1:-1] | edge[2:]
    return rows[:, :-2] | rows[:, 1:-1] | rows[:, 2:]


def _blended(grid: Array) -> Array:
    """Blend each with its neighbours, 1 2 1 each way."""
    edge = np.pad(grid, 1, mode="edge")
    rows = edge[:-2] + 2.0 * edge[1:-1] + edge[2:]
    blended: Array = (rows[:, :-2] + 2.0 * rows[:, 1:-1] + rows[:, 2:]) / 16.0
    return blended


@loop
def _read(places: Grid, table: Grid, values: Grid, out: Grid) -> None:
    """Fill `out` (N,) with the first row of `table` at places."""
    for i in prange(len(places)):
        out[i] = between(0, places[i, 0], places[i, 1], table, values, 0)


@loop
def _taken(places: Grid, lamps: Grid, high: Solids, low: Solids, out: Grid) -> None:
    """Fill `out` (N,) with irradiance over pi that things above the floor take of it.

    Parameters
    ----------
    lamps : (L, 6) array
        As in `direct.lamps_of`, their last column luminance.
    high, low : Solids
        From `apart`; what `low` hides, `high` cannot take.
    """
    for i in prange(len(places)):
        x, y, z = places[i, 0], places[i, 1], 2e-3
        out[i] = 0.0
        for n in range(len(lamps)):
            lamp, is_globe = lamps[n], lamps[n, 4] > 0.0
            taken = 0
            for k in range(4):
                px, py, pz = piece_of(x, y, z, lamp, is_globe, k)
                if stopped(x, y, z, px - x, py - y, pz - z, high):
                    taken += 1 if clear(x, y, z, px, py, pz, low) else 0
            if taken > 0:
                out[i] += 0.25 * taken * _falls(x, y, lamp, is_globe)


@formula
def _falls(x: float, y: float, lamp: Grid, is_globe: bool) -> float:
    """Irradiance over pi that a lamp in full sight lets fall under the floor's coat."""
    d2 = (lamp[0] - x) ** 2 + (lamp[1] - y) ** 2 + lamp[2] ** 2
    fall = lamp[2] / math.sqrt(d2)
    there = 1.0 if is_globe else fall
    passed = (1.0 - fresnel(fall, COAT_INDEX)) / EVEN_SKY
    return float(passed * lamp[5] * lamp[3] ** 2 * fall * there / d2)
