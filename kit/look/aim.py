"""From a place of the picture to a ray, and to the floor it falls on."""

from __future__ import annotations

import math

import numpy as np

from kit.look.compiled import Grid, formula, loop, prange

FINE = 4
"""Rays a side in pixels where an edge runs through."""
_ROOKS = np.array([9, 2, 14, 5, 8, 12, 1, 6, 15, 10, 4, 0, 7, 13, 11, 3])
"""Row of each column's ray; of all such boards one that is fair to edges of any slope,
found by swapping rows at random."""


@formula
def ray_at(col: float, row: float, camera: Grid) -> tuple[float, float, float]:
    """Unit direction through a place of the picture, in pixels from its top left."""
    across = (col - 0.5 * camera[6]) * camera[5]
    up = (0.5 * camera[7] - row - camera[8]) * camera[5]
    dx = camera[3] + across * camera[4]
    dy = camera[4] - across * camera[3]
    size = 1.0 / math.sqrt(dx * dx + dy * dy + up * up)
    return dx * size, dy * size, up * size


@formula
def spot_in(k: int) -> tuple[float, float]:
    """Place across and down a pixel, in [0, 1], of the k-th of its `FINE` squared rays.

    No two share a row or a column, as [Shirley1991] puts rooks on a board: an edge that
    runs nearly level or upright fades in sixteen steps, where a square lattice has four.
    """
    return (k + 0.5) / FINE**2, (_ROOKS[k] + 0.5) / FINE**2


@formula
def place_seen(
    col: float, row: float, camera: Grid,
) -> tuple[float, float, float, float, float, float]:  # fmt: skip
    """Floor place under a picture place, distance and unit way: x, y, far, dx, dy, dz."""
    dx, dy, dz = ray_at(col, row, camera)
    far = -camera[2] / min(dz, -1e-4)
    return camera[0] + far * dx, camera[1] + far * dy, far, dx, dy, dz


@loop
def places_seen(nodes: Grid, camera: Grid, out: Grid) -> None:
    """Fill `out` (M, 2) with the floor places under picture places."""
    for i in prange(len(nodes)):
        x, y, _, _, _, _ = place_seen(nodes[i, 0], nodes[i, 1], camera)
        out[i, 0], out[i, 1] = x, y
