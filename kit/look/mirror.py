"""What a smooth wear coat mirrors: walls by rays, bright things with soft edges.

Window and lamps are far brighter than walls; their edges are softened in
closed form by the coat's roughness and the pixel, so that they neither sparkle
nor step.
"""

from __future__ import annotations

import math

import numpy as np
from numba import prange

from kit.look.aim import place_seen
from kit.look.compiled import Grid, formula, loop
from kit.look.direct import LAMP_RADIUS_M
from kit.look.grain import hashed, peel
from kit.look.optics import fresnel, ggx_visible_normal, slope_box
from kit.look.skins import BAR_M, outside, smooth
from kit.look.texels import sent
from kit.look.trace import Solids, hit

ROUGH_FROM = 0.018
"""GGX roughness from which `glow` takes over."""


@formula
def _edge(x: float) -> float:
    """Share of GGX slopes below x (in alphas) along one axis, margin of `slope_corner`."""
    return 0.5 * (1.0 + x / math.sqrt(1.0 + x * x))


@formula
def pane_share(
    s: float, z: float, wide: float, high: float, soft_s: float, soft_z: float,
) -> float:  # fmt: skip
    """Share of a narrow lobe, centred at (s, z) on a window, that falls on glass."""
    lights = max(1.0, math.floor(wide / 0.75 + 0.5))
    each = wide / lights
    across = 0.0
    for k in range(int(lights)):
        a = 0.05 if k == 0 else k * each + BAR_M
        e = wide - 0.05 if k == lights - 1 else (k + 1) * each - BAR_M
        across += _edge((s - a) / soft_s) - _edge((s - e) / soft_s)
    bar = 0.68 * high
    up = _edge((z - 0.05) / soft_z) - _edge((z - bar + BAR_M) / soft_z)
    up += _edge((z - bar - BAR_M) / soft_z) - _edge((z - high + 0.05) / soft_z)
    return across * up


@loop
def mirror(
    pixels: Grid, camera: Grid, alpha: float, index: float, faces: Grid, orders: Grid,
    skins: Grid, doors: Grid, solids: Solids, lamps: Grid, glow: Grid, evening: bool,
    out: Grid,
) -> None:  # fmt: skip
    """Fill `out` (N, 9) for a smooth coat: four rays a pixel off its wavy surface."""
    width = int(camera[6])
    for i in prange(len(pixels)):
        colour = np.empty(9)
        for c in range(9):
            out[i, c] = 0.0
        for sub in range(4):
            jitter = hashed(pixels[i], sub, 41)
            col = pixels[i] % width + 0.25 + 0.5 * (sub % 2)
            row = pixels[i] // width + 0.25 + 0.5 * (sub // 2)
            x, y, far, dx, dy, dz = place_seen(col, row, camera)
            foot = camera[5] * far
            px, py, lost = peel(x, y, foot)
            rough = math.sqrt(alpha * alpha + 2.0 * lost)
            hx, hy, hz = ggx_visible_normal(
                -dx,
                -dy,
                -dz,
                rough,
                0.28 * (sub + jitter) / 4.0,
                hashed(pixels[i], sub, 42),
            )
            hx, hy = hx - px * hz, hy - py * hz
            size = 1.0 / math.sqrt(hx * hx + hy * hy + hz * hz)
            hx, hy, hz = hx * size, hy * size, hz * size
            cos_h = max(1e-3, -(dx * hx + dy * hy + dz * hz))
            share = fresnel(cos_h, index)
            lx, ly, lz = dx + 2 * cos_h * hx, dy + 2 * cos_h * hy, dz + 2 * cos_h * hz
            t, face, u, v = hit(x, y, 1e-4, lx, ly, max(lz, 1e-3), solids)
            sent(face, u, v, faces, orders, skins, doors, solids, colour)
            # bright things: about the mean facet, spread in closed form
            mx, my = -px, -py
            size = 1.0 / math.sqrt(1.0 + mx * mx + my * my)
            nx, ny, nz = mx * size, my * size, size
            cos_n = max(1e-3, -(dx * nx + dy * ny + dz * nz))
            kx, ky, kz = (
                dx + 2 * cos_n * nx,
                dy + 2 * cos_n * ny,
                max(1e-3, dz + 2 * cos_n * nz),
            )
            _windows_mirrored(
                x, y, kx, ky, kz, far, t, rough, cos_n, camera[5], solids, evening, colour
            )
            if evening:
                _lamps_mirrored(
                    x,
                    y,
                    kx,
                    ky,
                    kz,
                    far,
                    t,
                    rough,
                    cos_n,
                    camera[5],
                    solids.height,
                    lamps,
                    glow,
                    colour,
                )
            for c in range(9):
                out[i, c] += 0.25 * share * colour[c]


@formula
def _windows_mirrored(
    x: float, y: float, kx: float, ky: float, kz: float, far: float, t: float,
    rough: float, cos_n: float, pixel: float, solids: Solids, evening: bool, colour: Grid,
) -> None:  # fmt: skip
    """Add the panes a mirrored ray ends on, edges as soft as coat and pixel make them."""
    for n in range(len(solids.windows)):
        window = solids.windows[n]
        wall = solids.walls[int(window[0])]
        facing = -(kx * wall[5] + ky * wall[6])
        if facing < 0.02:
            continue
        reach = ((x - wall[0]) * wall[5] + (y - wall[1]) * wall[6] + window[5]) / facing
        if t < reach - 1.5 * window[5] / facing:
            continue
        wide, high = window[2] - window[1], window[4] - window[3]
        s = (
            (x + reach * kx - wall[0]) * wall[2]
            + (y + reach * ky - wall[1]) * wall[3]
            - window[1]
        )
        z = reach * kz - window[3]
        level = math.sqrt(kx * kx + ky * ky)
        blur = 0.5 * pixel * (far + reach)
        soft_s = math.sqrt((2 * rough * cos_n * reach) ** 2 + blur * blur) / facing
        soft_z = math.sqrt((2 * rough * reach) ** 2 + blur * blur) / level
        share = pane_share(s, z, wide, high, soft_s, soft_z)
        if share < 1e-4:
            continue
        u, v = min(max(s / wide, 0.0), 1.0), min(max(z / high, 0.0), 1.0)
        r, g, b = outside(u, v, wide, evening)
        colour[0] += share * r
        colour[1] += share * g
        colour[2] += share * b


@formula
def _lamps_mirrored(
    x: float, y: float, kx: float, ky: float, kz: float, far: float, t: float,
    rough: float, cos_n: float, pixel: float, height: float, lamps: Grid, glow: Grid,
    colour: Grid,
) -> None:  # fmt: skip
    """Add ceiling lamps as discs, rims as soft as coat and pixel make them."""
    reach = height / kz
    if t < reach - 0.05:
        return
    level = max(1e-4, math.sqrt(kx * kx + ky * ky))
    ax, ay = kx / level, ky / level
    blur = 0.5 * pixel * (far + reach)
    soft_a = math.sqrt((2 * rough * reach) ** 2 + blur * blur) / kz
    soft_b = math.sqrt((2 * rough * cos_n * reach) ** 2 + blur * blur)
    for n in range(len(lamps)):
        px, py = x + reach * kx - lamps[n, 0], y + reach * ky - lamps[n, 1]
        a, b = px * ax + py * ay, py * ax - px * ay
        if (
            a * a / (1.0 + (soft_a / 0.06) ** 2) + b * b / (1.0 + (soft_b / 0.06) ** 2)
            > 4.0
        ):
            continue
        radius = math.sqrt(a * a + b * b)
        soft = math.sqrt(soft_a * soft_b)
        disc = _edge((LAMP_RADIUS_M - radius) / soft)
        half = 0.886 * LAMP_RADIUS_M
        box = slope_box(
            (a - half) / soft_a,
            (a + half) / soft_a,
            (b - half) / soft_b,
            (b + half) / soft_b,
        )
        share = disc + (box - disc) * smooth(soft / LAMP_RADIUS_M, 0.25, 0.8)
        for c in range(3):
            colour[c] += share * glow[c]
