"""Light that rays of the eye bring from walls, window, lamps and things."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from kit.look.compiled import Grid, formula, loop, prange
from kit.look.eye import Hits
from kit.look.outdoors import outside
from kit.look.room import Room
from kit.look.skins import GLOBE, PANE, glass
from kit.look.texels import sent
from kit.look.trace import Solids

Array = NDArray[np.float32]

RING_M = 0.022
"""Width of the pale ring about a ceiling lamp."""


def brought(hits: tuple[Hits, Hits], room: Room, sides: Array, evening: bool,
            panes: float, lamp: NDArray[np.float64], globe: NDArray[np.float64],
            out: Array) -> None:  # fmt: skip
    """Write the mean light of each pixel's rays into its row of `out` (H * W, 6).

    Parameters
    ----------
    sides : (T, 6) array
        From `lights.Light.sides`; panes and lamps are on its first side.
    panes : float
        What the view through the window is multiplied by.
    lamp : (3,) array
        Radiance of a ceiling lamp's face when lit.
    globe : (3,) array
        Radiance of a globe when lit.
    """
    for some in hits:
        _bring(
            some, room.faces.table, sides, room.skins, room.doors, room.solids, room.lamps,
            lamp if len(room.lamps_lit(evening)) else 0.0 * lamp,
            globe if len(room.globes_lit(evening)) else 0.0 * globe, evening, panes, out,
        )  # fmt: skip


@loop
def _bring(
    hits: Hits, faces: Grid, sides: Grid, skins: Grid, doors: Grid, solids: Solids,
    lamps: Grid, lamp: Grid, globe: Grid, evening: bool, panes: float, out: Grid,
) -> None:  # fmt: skip
    """Fill rows of `out`, see `brought`."""
    ceiling = len(solids.walls) + 1
    rays = hits.face.shape[1]
    for i in prange(len(hits.pixel)):
        light, total = np.empty(6), np.zeros(6)
        for k in range(rays):
            f, u, v = hits.face[i, k], hits.uv[i, k, 0], hits.uv[i, k, 1]
            if f < 0:
                continue
            if skins[f, 0] == PANE and glass(u, v, skins[f, 4], skins[f, 5]) > 0.5:
                r, g, b = outside(u, v, skins[f, 4], skins[f, 5], evening)
                total[0] += panes * r
                total[1] += panes * g
                total[2] += panes * b
                continue
            if skins[f, 0] == GLOBE and globe[0] > 0.0:
                for c in range(3):
                    total[c] += globe[c]
                continue
            sent(f, u, v, faces, sides, skins, doors, solids, light)
            if f == ceiling:
                _draw_lamp(lamp_at(u, v, lamps), lamp, light)
            for c in range(6):
                total[c] += light[c]
        for c in range(6):
            out[hits.pixel[i], c] = total[c] / rays


@formula
def lamp_at(x: float, y: float, lamps: Grid) -> float:
    """Tell a place of the ceiling: 2 on a lamp's face, 1 on its ring, 0 elsewhere."""
    for n in range(len(lamps)):
        away = math.sqrt((x - lamps[n, 0]) ** 2 + (y - lamps[n, 1]) ** 2)
        if away <= lamps[n, 3]:
            return 2.0
        if away <= lamps[n, 3] + RING_M:
            return 1.0
    return 0.0


@formula
def _draw_lamp(part: float, lamp: Grid, light: Grid) -> None:
    """Draw a ceiling lamp: a face, bright when lit, in a pale ring."""
    if part == 0.0:
        return
    ring = 0.5 if part == 2.0 else 0.72
    for c in range(6):
        light[c] *= ring
    if part == 2.0 and lamp[0] > 0.0:
        for c in range(3):
            light[c] = lamp[c]
