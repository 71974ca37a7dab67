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
    near, east, north, across, p, q = _four(face, u, v, table)
    low = values[near, channel] * (1 - p) + values[near + east, channel] * p
    top = values[near + north, channel] * (1 - p) + values[across, channel] * p
    return float(low * (1 - q) + top * q)


@formula
def _four(
    face: int, u: float, v: float, table: Grid,
) -> tuple[int, int, int, int, float, float]:  # fmt: skip
    """Four texels around a hit (first, steps to its neighbours, last) and both weights."""
    along, up = int(table[face, 1]), int(table[face, 2])
    x = (u - table[face, 3]) / table[face, 5] * along - 0.5
    y = (v - table[face, 4]) / table[face, 6] * up - 0.5
    x = min(max(x, 0.0), along - 1.0)
    y = min(max(y, 0.0), up - 1.0)
    i, j = int(x), int(y)
    east = 1 if i + 1 < along else 0
    north = along if j + 1 < up else 0
    near = int(table[face, 0]) + j * along + i
    return near, east, north, near + east + north, x - i, y - j


@formula
def sent(
    face: int, u: float, v: float, faces: Grid, sides: Grid, skins: Grid, doors: Grid,
    solids: Solids, out: Grid,
) -> None:  # fmt: skip
    """Write the light of both sides (6,) that a place of a face sends out, panes dark."""
    for c in range(6):
        out[c] = 0.0
    if face < 0:
        return
    colour = albedo(face, u, v, skins, doors, solids.windows)
    near, east, north, across, p, q = _four(face, u, v, faces)
    for c in range(6):
        low = sides[near, c] * (1 - p) + sides[near + east, c] * p
        top = sides[near + north, c] * (1 - p) + sides[across, c] * p
        out[c] = colour[c % 3] * (low * (1 - q) + top * q)
