"""What softer and softer coats mirror: walls by rays, window and lamps in closed form.

Worked out on a coarse grid of picture places, because soft mirrors show nothing fine.
The window is cut into cells; each is a box of facet slopes whose share of normally
spread facets is exact, so there is no grain and no ghost.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from kit.look.aim import place_seen, places_seen
from kit.look.compiled import Grid, formula, loop, prange
from kit.look.direct import clear, glass_cells, lamps_of, piece_of
from kit.look.lobes import SHARP, SOFT, SPOTS, SPREADS, sent_by, spots
from kit.look.room import Room
from kit.look.texels import texel_of
from kit.look.trace import Solids, hit

Array = NDArray[np.float32]

ACROSS = 160
"""Nodes across a picture, about; a small one has every other pixel."""
_SPREADS = SPREADS[SHARP:]
_RAYS = SPOTS // 4
_FAR = 3.2
"""Standard deviations beyond which a box of slopes gets nothing."""


@dataclass(frozen=True, eq=False)
class Nodes:
    """Coarse picture places over the floor and where their rays go.

    Parameters
    ----------
    picture : (M, 2) array
        Column and row, row by row from `top`, `across` in a row, `step` pixels apart.
    inside : (M,) array
        Whether the place seen lies within the walls.
    meets : (M, SOFT * SPOTS / 4) int32 array
        Texel each ray ends on, -1 for none.
    weight : (M, SOFT * SPOTS / 4) float32 array
        Share of its light that the coat sends to the eye.
    """

    picture: NDArray[np.float64]
    inside: NDArray[np.bool_]
    meets: NDArray[np.int32]
    weight: Array
    across: int
    top: int
    step: int


def nodes_of(
    room: Room, camera: NDArray[np.float64], index: float, pixels: NDArray[np.int64]
) -> Nodes:
    """Lay the grid over the floor's rows and follow its rays."""
    import shapely

    width, height = int(camera[6]), int(camera[7])
    top = int(pixels.min()) // width if len(pixels) else 0
    step = max(2, round(width / ACROSS))
    across, down = width // step + 2, (height - top) // step + 2
    col, row = np.meshgrid(
        np.arange(across) * step + 0.5, top + np.arange(down) * step + 0.5
    )
    picture = np.stack([col.ravel(), row.ravel()], axis=1)
    places = np.empty_like(picture)
    places_seen(picture, camera, places)
    inside = shapely.contains_xy(room.underfoot, places[:, 0], places[:, 1])
    size = (len(picture), SOFT * _RAYS)
    meets, weight = np.empty(size, dtype=np.int32), np.empty(size, dtype=np.float32)
    _follow(
        picture, inside, across, camera, index, spots(), _SPREADS, room.solids,
        room.faces.table, meets, weight,
    )  # fmt: skip
    return Nodes(picture, inside, meets, weight, across, top, step)


def glowing(nodes: Nodes, room: Room, camera: NDArray[np.float64], index: float,
            sides: Array, colour: Array, evening: bool) -> Array:  # fmt: skip
    """Light off soft coats, (SOFT, M, 6), spread by `lobes.SPREADS`.

    Parameters
    ----------
    sides : (T, 6) array
        From `lights.Light.sides`.
    colour : (T, 3) array
        Albedo of each texel.
    """
    out = np.zeros((SOFT, len(nodes.picture), 6), dtype=np.float32)
    _gather(nodes.meets, nodes.weight, sides * np.tile(colour, 2), out)
    _bright(
        nodes.picture, nodes.inside, nodes.across, camera, index, _SPREADS, room.solids,
        glass_cells(room, evening), lamps_of(room, evening), out,
    )  # fmt: skip
    return settled(out, nodes)


@loop
def _follow(
    picture: Grid, inside: Grid, across: int, camera: Grid, index: float, spots: Grid,
    spreads: Grid, solids: Solids, table: Grid, meets: Grid, weight: Grid,
) -> None:  # fmt: skip
    """Fill `meets` and `weight`; four neighbours share the spots among them."""
    rays = len(spots) // 4
    for i in prange(len(picture)):
        for k in range(meets.shape[1]):
            meets[i, k], weight[i, k] = -1, 0.0
        if not inside[i]:
            continue
        x, y, _, dx, dy, dz = place_seen(picture[i, 0], picture[i, 1], camera)
        vx, vy, vz = -dx, -dy, -dz
        turn = 2 * (i // across % 2) + i % across % 2
        for k in range(meets.shape[1]):
            spread = spreads[k // rays]
            spot = spots[k % rays * 4 + turn]
            sx, sy = spread * spot[0], spread * spot[1]
            hz = 1.0 / math.sqrt(1.0 + sx * sx + sy * sy)
            hx, hy = -sx * hz, -sy * hz
            cos_h = vx * hx + vy * hy + vz * hz
            lx, ly, lz = 2 * cos_h * hx - vx, 2 * cos_h * hy - vy, 2 * cos_h * hz - vz
            if lz <= 1e-3 or cos_h <= 0.0:
                continue
            _, face, u, v = hit(x, y, 1e-4, lx, ly, lz, solids)
            if face < 0:
                continue
            meets[i, k] = texel_of(face, u, v, table)
            weight[i, k] = sent_by(cos_h, vz, lz, hz, spread, index) / rays


@loop
def _gather(meets: Grid, weight: Grid, sent_out: Grid, out: Grid) -> None:
    """Add to `out` (SOFT, M, 6) what the rays of each node bring."""
    layers = len(out)
    rays = meets.shape[1] // layers
    for i in prange(len(meets)):
        for layer in range(layers):
            for k in range(layer * rays, (layer + 1) * rays):
                m = meets[i, k]
                if m >= 0:
                    for c in range(6):
                        out[layer, i, c] += weight[i, k] * sent_out[m, c]


@formula
def _facet(
    x: float, y: float, vx: float, vy: float, vz: float, px: float, py: float, pz: float,
) -> tuple[float, float, float, float, float]:  # fmt: skip
    """Facet that mirrors a place to the eye, slopes and cosines: sx, sy, cos_h, lz, hz."""
    lx, ly, lz = px - x, py - y, pz
    size = 1.0 / math.sqrt(lx * lx + ly * ly + lz * lz)
    lx, ly, lz = lx * size, ly * size, lz * size
    hx, hy, hz = vx + lx, vy + ly, vz + lz
    size = 1.0 / math.sqrt(hx * hx + hy * hy + hz * hz)
    cos_h = (vx * hx + vy * hy + vz * hz) * size
    return -hx / hz, -hy / hz, cos_h, lz, hz * size


@loop
def _bright(
    picture: Grid, inside: Grid, across: int, camera: Grid, index: float, spreads: Grid,
    solids: Solids, cells: Grid, lamps: Grid, out: Grid,
) -> None:  # fmt: skip
    """Add windows and lamps to `out` (SOFT, M, 6)."""
    for i in prange(len(picture)):
        if inside[i]:
            x, y, _, dx, dy, dz = place_seen(picture[i, 0], picture[i, 1], camera)
            # neighbours ask at other places of a cell, so that shadows are soft
            aside = 0.5 if i % across % 2 else -0.5
            up = 0.5 if i // across % 2 else -0.5
            for n in range(len(cells)):
                _cell(i, x, y, -dx, -dy, -dz, index, spreads, solids, cells[n], aside, up,
                      out)  # fmt: skip
            for n in range(len(lamps)):
                _lamp(i, x, y, -dx, -dy, -dz, index, spreads, solids, lamps[n], out)


@formula
def _cell(
    i: int, x: float, y: float, vx: float, vy: float, vz: float, index: float,
    spreads: Grid, solids: Solids, cell: Grid, aside: float, up: float, out: Grid,
) -> None:  # fmt: skip
    """Add a piece of window, see `direct.glass_cells`: a box of facet slopes."""
    px, py, z, ex, ey, ez = cell[0], cell[1], cell[2], cell[3], cell[4], cell[5]
    sx, sy, cos_h, lz, hz = _facet(x, y, vx, vy, vz, px, py, z)
    if cos_h <= 0.0 or sx * sx + sy * sy > (_FAR * spreads[-1]) ** 2:
        return
    if not clear(
        x, y, 1e-3, px + aside * ex + 0.9 * cell[6], py + aside * ey + 0.9 * cell[7],
        z + up * ez, solids,
    ):  # fmt: skip
        return
    ax, ay, _, _, _ = _facet(x, y, vx, vy, vz, px + ex, py + ey, z)
    bx, by, _, _, _ = _facet(x, y, vx, vy, vz, px - ex, py - ey, z)
    cx, cy, _, _, _ = _facet(x, y, vx, vy, vz, px, py, z + ez)
    fx, fy, _, _, _ = _facet(x, y, vx, vy, vz, px, py, z - ez)
    ux, uy, wx, wy = ax - bx, ay - by, cx - fx, cy - fy
    size = math.sqrt(ux * ux + uy * uy)
    ux, uy = ux / size, uy / size
    p, q = 0.5 * size, 0.5 * abs(ux * wy - uy * wx)
    a, b = abs(sx * ux + sy * uy), abs(sy * ux - sx * uy)
    for layer in range(len(spreads)):
        spread = spreads[layer]
        if a - p > _FAR * spread or b - q > _FAR * spread:
            continue
        per = 0.7071067811865476 / spread
        share = 0.25 * (math.erf((a + p) * per) - math.erf((a - p) * per))
        share *= math.erf((b + q) * per) - math.erf((b - q) * per)
        share *= sent_by(cos_h, vz, lz, hz, spread, index)
        for c in range(3):
            out[layer, i, c] += share * cell[8 + c]


@formula
def _lamp(
    i: int, x: float, y: float, vx: float, vy: float, vz: float, index: float,
    spreads: Grid, solids: Solids, lamp: Grid, out: Grid,
) -> None:  # fmt: skip
    """Add one of `direct.lamps_of`: the spread widened by the lamp's own size."""
    sx, sy, cos_h, lz, hz = _facet(x, y, vx, vy, vz, lamp[0], lamp[1], lamp[2])
    far2 = sx * sx + sy * sy
    if cos_h <= 0.0 or far2 > (_FAR * spreads[-1]) ** 2:
        return
    seen = 0.0
    for k in range(4):
        px, py, pz = piece_of(x, y, 1e-3, lamp, lamp[4] > 0.0, k)
        if clear(x, y, 1e-3, px, py, pz, solids):
            seen += 0.25
    if seen == 0.0:
        return
    d2 = (lamp[0] - x) ** 2 + (lamp[1] - y) ** 2 + lamp[2] * lamp[2]
    turned = 1.0 if lamp[4] > 0.0 else lz
    piece = math.pi * lamp[3] ** 2 * turned / d2 / (4.0 * cos_h * hz**3)
    for layer in range(len(spreads)):
        variance = spreads[layer] ** 2 + 0.25 * piece / math.pi
        if far2 > _FAR * _FAR * variance:
            continue
        share = piece * math.exp(-0.5 * far2 / variance) / (2.0 * math.pi * variance)
        share *= seen * sent_by(cos_h, vz, lz, hz, spreads[layer], index)
        for c in range(3):
            out[layer, i, c] += share * lamp[5 + c]


def settled(light: Array, nodes: Nodes) -> Array:
    """Fill nodes beyond the walls from their neighbours and average over neighbours."""
    grid = light.reshape(len(light), -1, nodes.across, light.shape[-1])
    known = nodes.inside.reshape(1, -1, nodes.across, 1).astype(np.float32)
    value = grid * known
    for _ in range(3):
        total, weight = _boxed(value), _boxed(known)
        grown = np.where(weight > 0, total / np.maximum(weight, 1e-6), 0.0)
        value = np.where(known > 0, value, grown)
        known = np.maximum(known, (weight > 0).astype(np.float32))
    smoothed = _boxed(value * known) / np.maximum(_boxed(known), 1e-6)
    return np.ascontiguousarray(smoothed.reshape(light.shape).astype(np.float32))


def _boxed(grid: Array) -> Array:
    """Sum over 3 x 3 neighbours with weights 1 2 1."""
    padded = np.pad(grid, ((0, 0), (1, 1), (1, 1), (0, 0)), mode="edge")
    rows = padded[:, :-2] + 2 * padded[:, 1:-1] + padded[:, 2:]
    summed: Array = rows[:, :, :-2] + 2 * rows[:, :, 1:-1] + rows[:, :, 2:]
    return summed
