"""Reading the light that texels hold, see `faces.Faces.table`."""

from __future__ import annotations

from kit.look.compiled import Grid, formula
from kit.look.skins import albedo
from kit.look.trace import Solids


@formula
def texel_of(face: int, u: float, v: float, table: Grid) -> int:
    """Index of the texel at a hit."""
    along, up = int(table[face, 1]), int(table[face, 2])
    i = int((u - table[face, 3]) / table[face, 5] * along)
    j = int((v - table[face, 4]) / table[face, 6] * up)
    i = min(max(i, 0), along - 1)
    j = min(max(j, 0), up - 1)
    return int(table[face, 0]) + j * along + i


@formula
def between(
    face: int, u: float, v: float, table: Grid, values: Grid, channel: int,
) -> float:  # fmt: skip
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
    low = (
        values[first + j * along + i, channel] * (1 - p)
        + values[first + j * along + i2, channel] * p
    )
    top = (
        values[first + j2 * along + i, channel] * (1 - p)
        + values[first + j2 * along + i2, channel] * p
    )
    return float(low * (1 - q) + top * q)


@formula
def sent(
    face: int, u: float, v: float, faces: Grid, orders: Grid, skins: Grid, doors: Grid,
    solids: Solids, out: Grid,
) -> None:  # fmt: skip
    """Write the light of all orders (9,) that a place of a face sends out, panes dark."""
    for c in range(9):
        out[c] = 0.0
    if face < 0:
        return
    r, g, b = albedo(face, u, v, skins, doors, solids.windows)
    for order in range(3):
        out[3 * order] = r * between(face, u, v, faces, orders, 3 * order)
        out[3 * order + 1] = g * between(face, u, v, faces, orders, 3 * order + 1)
        out[3 * order + 2] = b * between(face, u, v, faces, orders, 3 * order + 2)
