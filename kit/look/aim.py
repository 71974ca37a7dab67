"""From a place of the picture to a ray, and to the floor it falls on."""

from __future__ import annotations

import math

from kit.look.compiled import Grid, formula, loop, prange


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
