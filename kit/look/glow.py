"""What a rough wear coat mirrors: walls by lobes, window and lamps in closed form.

Worked out on a coarse grid of picture places and blended, because a rough coat
shows nothing fine. The window is cut into cells; each is a box of facet slopes
whose share of the coat's facets is exact, so there is no grain and no ghost.
"""

from __future__ import annotations

import math

import numpy as np
from numba import prange

from kit.look.aim import place_seen
from kit.look.compiled import Grid, formula, loop
from kit.look.direct import LAMP_RADIUS_M, clear
from kit.look.grain import hashed
from kit.look.optics import fresnel, ggx_g1, ggx_g2, ggx_visible_normal, slope_box
from kit.look.texels import texel_of
from kit.look.trace import Solids, hit


@loop
def rough(
    nodes: Grid, camera: Grid, alpha: float, index: float, numbers: Grid, faces: Grid,
    sent_out: Grid, solids: Solids, windows_cut: Grid, panes: Grid, lamps: Grid,
    glow: Grid, out: Grid,
) -> None:  # fmt: skip
    """Fill `out` (M, 9) at coarse picture places for a coat too rough to mirror.

    `panes` is the light of each window's `windows_cut` cells, see `direct.pane_light`.
    """
    for i in prange(len(nodes)):
        x, y, _, dx, dy, dz = place_seen(nodes[i, 0], nodes[i, 1], camera)
        vx, vy, vz = -dx, -dy, -dz
        total = np.zeros(9)
        turn_u, turn_v = hashed(i, 1, 51), hashed(i, 2, 51)
        for k in range(len(numbers)):
            p, q = numbers[k, 0] + turn_u, numbers[k, 1] + turn_v
            hx, hy, hz = ggx_visible_normal(
                vx, vy, vz, alpha, p - math.floor(p), q - math.floor(q)
            )
            cos_h = vx * hx + vy * hy + vz * hz
            lx, ly, lz = 2 * cos_h * hx - vx, 2 * cos_h * hy - vy, 2 * cos_h * hz - vz
            if lz <= 1e-3 or cos_h <= 0.0:
                continue
            weight = fresnel(cos_h, index) * ggx_g2(vz, lz, alpha) / ggx_g1(vz, alpha)
            _, face, u, v = hit(x, y, 1e-4, lx, ly, lz, solids)
            if face < 0:
                continue
            m = texel_of(face, u, v, faces)
            for c in range(9):
                total[c] += weight * sent_out[m, c]
        for c in range(9):
            out[i, c] = total[c] / len(numbers)
        _windows_glow(i, x, y, vx, vy, vz, alpha, index, solids, windows_cut, panes, out)
        if len(lamps) > 0:
            _lamps_glow(i, x, y, vx, vy, vz, alpha, index, solids, lamps, glow, out)


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


@formula
def _windows_glow(
    i: int, x: float, y: float, vx: float, vy: float, vz: float, alpha: float,
    index: float, solids: Solids, cut: Grid, panes: Grid, out: Grid,
) -> None:  # fmt: skip
    """Add windows, cell by cell: each is a box of facet slopes, integrated exactly."""
    for n in range(len(solids.windows)):
        window = solids.windows[n]
        wall = solids.walls[int(window[0])]
        wide, high = window[2] - window[1], window[4] - window[3]
        back_x, back_y = window[5] * wall[5], window[5] * wall[6]
        ds, dz = wide / cut[0], high / cut[1]
        for j in range(cut[0] * cut[1]):
            s, z = window[1] + (j % cut[0] + 0.5) * ds, window[3] + (j // cut[0] + 0.5) * dz
            px = wall[0] + s * wall[2] - back_x
            py = wall[1] + s * wall[3] - back_y
            sx, sy, cos_h, lz, hz = _facet(x, y, vx, vy, vz, px, py, z)
            ex, ey = 0.5 * ds * wall[2], 0.5 * ds * wall[3]
            ax, ay, _, _, _ = _facet(x, y, vx, vy, vz, px + ex, py + ey, z)
            bx, by, _, _, _ = _facet(x, y, vx, vy, vz, px - ex, py - ey, z)
            cx, cy, _, _, _ = _facet(x, y, vx, vy, vz, px, py, z + 0.5 * dz)
            fx, fy, _, _, _ = _facet(x, y, vx, vy, vz, px, py, z - 0.5 * dz)
            ux, uy, wx, wy = ax - bx, ay - by, cx - fx, cy - fy
            size = math.sqrt(ux * ux + uy * uy)
            ux, uy = ux / size, uy / size
            tall = abs(ux * wy - uy * wx)
            a, b = (sx * ux + sy * uy) / alpha, (sy * ux - sx * uy) / alpha
            p, q = 0.5 * size / alpha, 0.5 * tall / alpha
            share = slope_box(a - p, a + p, b - q, b + q)
            share *= fresnel(cos_h, index) * ggx_g2(vz, lz, alpha) * cos_h / (vz * hz)
            if share < 2e-5:
                continue
            if not clear(x, y, 1e-3, px + 0.9 * back_x, py + 0.9 * back_y, z, solids):
                continue
            for c in range(3):
                out[i, c] += share * panes[n, j, c]


@formula
def _lamps_glow(
    i: int, x: float, y: float, vx: float, vy: float, vz: float, alpha: float,
    index: float, solids: Solids, lamps: Grid, glow: Grid, out: Grid,
) -> None:  # fmt: skip
    """Add ceiling lamps: the lobe widened by the lamp's own size."""
    for n in range(len(lamps)):
        height = solids.height - 0.005
        sx, sy, cos_h, lz, hz = _facet(x, y, vx, vy, vz, lamps[n, 0], lamps[n, 1], height)
        d2 = (lamps[n, 0] - x) ** 2 + (lamps[n, 1] - y) ** 2 + height * height
        solid = math.pi * LAMP_RADIUS_M**2 * lz / d2
        wide = 0.25 * solid / math.pi / max(0.2, cos_h)
        a2 = alpha * alpha + 0.35 * wide
        bracket = 1.0 + (sx * sx + sy * sy) / a2
        density = 1.0 / (math.pi * a2 * bracket * bracket)
        share = (
            fresnel(cos_h, index)
            * ggx_g2(vz, lz, alpha)
            * density
            * solid
            / (4.0 * vz * hz**4)
        )
        if share < 1e-6 or not clear(x, y, 1e-3, lamps[n, 0], lamps[n, 1], height, solids):
            continue
        for c in range(3):
            out[i, c] += share * glow[c]


@loop
def spread(
    pixels: Grid, width: int, step: int, across: int, top_row: int, nodes_light: Grid,
    texture: float, places: Grid, out: Grid,
) -> None:  # fmt: skip
    """Fill `out` (N, 9) from coarse nodes; a grained coat catches light unevenly."""
    for i in prange(len(pixels)):
        x = (pixels[i] % width) / step
        y = (pixels[i] // width - top_row) / step
        j, k = int(x), int(y)
        p, q = x - j, y - k
        first = k * across + j
        grain = 1.0
        if texture > 0.0:
            far = places[i, 2]
            grain += (
                0.9 * (hashed(pixels[i], 5, 61) - 0.5) * min(1.0, 3.2 / far) * texture * 5e3
            )
        for c in range(9):
            low = nodes_light[first, c] * (1 - p) + nodes_light[first + 1, c] * p
            top = (
                nodes_light[first + across, c] * (1 - p)
                + nodes_light[first + across + 1, c] * p
            )
            out[i, c] = (low * (1 - q) + top * q) * grain
