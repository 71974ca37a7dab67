"""What the wear coat mirrors of the room: sharp by rays, rough by lobes and closed forms.

Walls and things are traced; window and lamps, which are small and bright, are
integrated in closed form over the facets' slopes, so that no roughness shows
grain, ghosts or sparkle.
"""

from __future__ import annotations

import math

import numpy as np
from numba import prange

from kit.look.compiled import formula, loop
from kit.look.grain import hashed, peel
from kit.look.lights import LAMP_RADIUS_M, between, clear, texel_of
from kit.look.optics import fresnel, ggx_g1, ggx_g2, ggx_visible_normal, slope_box
from kit.look.skins import BAR_M, albedo, glass, outside, smooth
from kit.look.trace import hit

ROUGH_FROM = 0.018
"""GGX roughness from which lobes are sampled and windows integrated over slopes."""


@formula
def place_seen(col, row, camera):  # type: ignore[no-untyped-def]
    """Floor place under a picture place, its distance and direction: x, y, far, unit dx, dy, dz."""
    dx, dy, dz = ray_at(col, row, camera)
    far = -camera[2] / min(dz, -1e-4)
    return camera[0] + far * dx, camera[1] + far * dy, far, dx, dy, dz


@formula
def ray_at(col, row, camera):  # type: ignore[no-untyped-def]
    """Unit direction through a place of the picture, in pixels from its top left."""
    across = (col - 0.5 * camera[6]) * camera[5]
    up = (0.5 * camera[7] - row - camera[8]) * camera[5]
    dx = camera[3] + across * camera[4]
    dy = camera[4] - across * camera[3]
    size = 1.0 / math.sqrt(dx * dx + dy * dy + up * up)
    return dx * size, dy * size, up * size


@loop
def places_seen(nodes, camera, out):  # type: ignore[no-untyped-def]
    """Fill `out` (M, 2) with the floor places under picture places."""
    for i in prange(len(nodes)):
        x, y, _, _, _, _ = place_seen(nodes[i, 0], nodes[i, 1], camera)
        out[i, 0], out[i, 1] = x, y


@formula
def sent(face, u, v, faces, orders, skins, doors, solids, out):  # type: ignore[no-untyped-def]
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


@formula
def _edge(x):  # type: ignore[no-untyped-def]
    """Share of GGX slopes below x (in alphas) along one axis: the margin of `slope_corner`."""
    return 0.5 * (1.0 + x / math.sqrt(1.0 + x * x))


@formula
def pane_share(s, z, wide, high, soft_s, soft_z):  # type: ignore[no-untyped-def]
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
def mirror(pixels, camera, alpha, index, faces, orders, skins, doors, solids, lamps, glow, evening, out):  # type: ignore[no-untyped-def]  # fmt: skip
    """Fill `out` (N, 9) for a smooth coat: four rays a pixel off its gently wavy surface."""
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
            hx, hy, hz = ggx_visible_normal(-dx, -dy, -dz, rough, 0.45 * (sub + jitter) / 4.0, hashed(pixels[i], sub, 42))
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
            kx, ky, kz = dx + 2 * cos_n * nx, dy + 2 * cos_n * ny, max(1e-3, dz + 2 * cos_n * nz)
            _windows_mirrored(x, y, kx, ky, kz, far, t, rough, cos_n, camera[5], solids, evening, colour)
            if evening:
                _lamps_mirrored(x, y, kx, ky, kz, far, t, rough, cos_n, camera[5], solids.height, lamps, glow, colour)
            for c in range(9):
                out[i, c] += 0.25 * share * colour[c]


@formula
def _windows_mirrored(x, y, kx, ky, kz, far, t, rough, cos_n, pixel, solids, evening, colour):  # type: ignore[no-untyped-def]  # fmt: skip
    """Add the panes a mirrored ray ends on, edges as soft as the coat and the pixel make them."""
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
        s = (x + reach * kx - wall[0]) * wall[2] + (y + reach * ky - wall[1]) * wall[3] - window[1]
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
def _lamps_mirrored(x, y, kx, ky, kz, far, t, rough, cos_n, pixel, height, lamps, glow, colour):  # type: ignore[no-untyped-def]  # fmt: skip
    """Add ceiling lamps as discs whose rims are as soft as the coat and the pixel make them."""
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
        if a * a / (1.0 + (soft_a / 0.06) ** 2) + b * b / (1.0 + (soft_b / 0.06) ** 2) > 4.0:
            continue
        radius = math.sqrt(a * a + b * b)
        soft = math.sqrt(soft_a * soft_b)
        disc = _edge((LAMP_RADIUS_M - radius) / soft)
        half = 0.886 * LAMP_RADIUS_M
        box = slope_box((a - half) / soft_a, (a + half) / soft_a, (b - half) / soft_b, (b + half) / soft_b)
        share = disc + (box - disc) * smooth(soft / LAMP_RADIUS_M, 0.25, 0.8)
        for c in range(3):
            colour[c] += share * glow[c]


@loop
def rough(nodes, camera, alpha, index, numbers, faces, sent_out, solids, windows_cut, lamps, glow, evening, out):  # type: ignore[no-untyped-def]  # fmt: skip
    """Fill `out` (M, 9) at coarse picture places for a coat too rough to mirror."""
    for i in prange(len(nodes)):
        x, y, far, dx, dy, dz = place_seen(nodes[i, 0], nodes[i, 1], camera)
        vx, vy, vz = -dx, -dy, -dz
        total = np.zeros(9)
        turn_u, turn_v = hashed(i, 1, 51), hashed(i, 2, 51)
        for k in range(len(numbers)):
            p, q = numbers[k, 0] + turn_u, numbers[k, 1] + turn_v
            hx, hy, hz = ggx_visible_normal(vx, vy, vz, alpha, p - math.floor(p), q - math.floor(q))
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
        _windows_glow(i, x, y, vx, vy, vz, alpha, index, solids, windows_cut, evening, out)
        if evening:
            _lamps_glow(i, x, y, vx, vy, vz, alpha, index, solids, lamps, glow, out)


@formula
def _facet(x, y, vx, vy, vz, px, py, pz):  # type: ignore[no-untyped-def]
    """Slope of the facet that mirrors a place to the eye, with cosines: sx, sy, cos_h, lz, hz."""
    lx, ly, lz = px - x, py - y, pz
    size = 1.0 / math.sqrt(lx * lx + ly * ly + lz * lz)
    lx, ly, lz = lx * size, ly * size, lz * size
    hx, hy, hz = vx + lx, vy + ly, vz + lz
    size = 1.0 / math.sqrt(hx * hx + hy * hy + hz * hz)
    cos_h = (vx * hx + vy * hy + vz * hz) * size
    return -hx / hz, -hy / hz, cos_h, lz, hz * size


@formula
def _windows_glow(i, x, y, vx, vy, vz, alpha, index, solids, cut, evening, out):  # type: ignore[no-untyped-def]  # fmt: skip
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
            r, g, b = outside((s - window[1]) / wide, (z - window[3]) / high, wide, evening)
            share *= 0.86  # what frame and bars leave
            out[i, 0] += share * r
            out[i, 1] += share * g
            out[i, 2] += share * b


@formula
def _lamps_glow(i, x, y, vx, vy, vz, alpha, index, solids, lamps, glow, out):  # type: ignore[no-untyped-def]  # fmt: skip
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
        share = fresnel(cos_h, index) * ggx_g2(vz, lz, alpha) * density * solid / (4.0 * vz * hz**4)
        if share < 1e-6 or not clear(x, y, 1e-3, lamps[n, 0], lamps[n, 1], height, solids):
            continue
        for c in range(3):
            out[i, c] += share * glow[c]


@loop
def spread(pixels, width, step, across, top_row, nodes_light, texture, places, out):  # type: ignore[no-untyped-def]  # fmt: skip
    """Fill `out` (N, 9) from coarse nodes, blended; a grained coat catches light unevenly."""
    for i in prange(len(pixels)):
        x = (pixels[i] % width) / step
        y = (pixels[i] // width - top_row) / step
        j, k = int(x), int(y)
        p, q = x - j, y - k
        first = k * across + j
        grain = 1.0
        if texture > 0.0:
            far = places[i, 2]
            grain += 0.9 * (hashed(pixels[i], 5, 61) - 0.5) * min(1.0, 3.2 / far) * texture * 1e4
        for c in range(9):
            low = nodes_light[first, c] * (1 - p) + nodes_light[first + 1, c] * p
            top = nodes_light[first + across, c] * (1 - p) + nodes_light[first + across + 1, c] * p
            out[i, c] = (low * (1 - q) + top * q) * grain
