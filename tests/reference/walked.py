"""A rough coat over film and flakes that loses no light, walked facet by facet.

Nothing of the kit is used here. Light that meets a facet of the coat goes on, by chance
after Fresnel, up or down, and meets further facets until it leaves them: the random walk
of Heitz, Hanika, d'Eon and Dachsbacher, "Multiple-Scattering Microfacet BSDFs with the
Smith Model", ACM Transactions on Graphics 35(4), 2016 (from memory). Path tracers that
stop at the first facet lose what meets a second one, and a film below loses it again at
every turn. What leaves is counted by direction and handed to Mitsuba as a measured
surface, so that its lamps and windows are found directly and not by chance.
"""

# ruff: noqa: NPY002  (numba draws numbers in no other way)
from __future__ import annotations

import math
import struct

import numpy as np
from numba import njit, prange

ELEVATIONS, HEIGHTS, TURNS = 44, 24, 24
"""Directions of the eye, and bins of what leaves: by sine of elevation, by half turns."""
MOST_FACETS, MOST_TURNS = 60, 80


@njit
def _facing(x, y, z, alpha):
    """Draw a GGX facet as often as it is met, Heitz 2018 listing 1, for any z."""
    hx, hy, hz = alpha * x, alpha * y, z
    size = 1.0 / math.sqrt(hx * hx + hy * hy + hz * hz)
    hx, hy, hz = hx * size, hy * size, hz * size
    flat = hx * hx + hy * hy
    tx, ty = 1.0, 0.0
    if flat > 1e-14:
        tx, ty = -hy / math.sqrt(flat), hx / math.sqrt(flat)
    bx, by, bz = -hz * ty, hz * tx, hx * ty - hy * tx
    r, phi = math.sqrt(np.random.random()), 2.0 * math.pi * np.random.random()
    p, q = r * math.cos(phi), r * math.sin(phi)
    s = 0.5 * (1.0 + hz)
    q = (1.0 - s) * math.sqrt(max(0.0, 1.0 - p * p)) + s * q
    w = math.sqrt(max(0.0, 1.0 - p * p - q * q))
    nx, ny = alpha * (p * tx + q * bx + w * hx), alpha * (p * ty + q * by + w * hy)
    nz = max(1e-7, q * bz + w * hz)
    size = 1.0 / math.sqrt(nx * nx + ny * ny + nz * nz)
    return nx * size, ny * size, nz * size


@njit
def _mirrored(cos_in, index):
    """Fresnel's two equations, halved."""
    sin2 = (1.0 - cos_in * cos_in) / (index * index)
    if sin2 >= 1.0:
        return 1.0
    cos_out = math.sqrt(1.0 - sin2)
    s = (cos_in - index * cos_out) / (cos_in + index * cos_out)
    p = (index * cos_in - cos_out) / (index * cos_in + cos_out)
    return 0.5 * (s * s + p * p)


@njit
def _shadow(z, alpha):
    """Smith's Lambda of a GGX surface, for rays that climb (z > 0) or fall."""
    slope = alpha * math.sqrt(max(0.0, 1.0 - z * z)) / max(abs(z), 1e-9)
    root = math.sqrt(1.0 + slope * slope)
    return 0.5 * (root - 1.0) if z > 0.0 else -0.5 * (root + 1.0)


@njit
def _height(z, above, alpha):
    """Share of heights below the next facet on a ray at share `above`; 2 if it leaves."""
    u = np.random.random()
    if z > 0.99999:
        return 2.0
    if z < -0.99999:
        return u * above
    if abs(z) < 1e-5:
        return above
    shadow = _shadow(z, alpha)
    if z > 0.0 and u > 1.0 - above**shadow:
        return 2.0
    return min(above / (1.0 - u) ** (1.0 / shadow), 1.0)


@njit
def _cross(dx, dy, dz, index, alpha):
    """Send a ray at the coat until it leaves: its way, and how many facets it met.

    `index` is that of the far side over that of the side from which the ray comes, which
    is always from above here: turn the coat over for a ray from below. What has gone
    through has z < 0.
    """
    if alpha == 0.0:
        if np.random.random() < _mirrored(-dz, index):
            return dx, dy, -dz, 1
        return dx / index, dy / index, -math.sqrt(1.0 - (dx * dx + dy * dy) / index**2), 1
    height, outside, facets = 1.0, True, 0
    while facets < MOST_FACETS:
        side = 1.0 if outside else -1.0
        met = _height(side * dz, height if outside else 1.0 - height, alpha)
        if met > 1.5:
            return dx, dy, dz, facets
        height = met if outside else 1.0 - met
        facets += 1
        nx, ny, nz = _facing(-side * dx, -side * dy, -side * dz, alpha)
        nx, ny, nz = side * nx, side * ny, side * nz
        cos_in = -(dx * nx + dy * ny + dz * nz)
        eta = index if outside else 1.0 / index
        if np.random.random() < _mirrored(cos_in, eta):
            dx, dy, dz = dx + 2 * cos_in * nx, dy + 2 * cos_in * ny, dz + 2 * cos_in * nz
        else:
            turn = cos_in / eta - math.sqrt(1.0 - (1.0 - cos_in * cos_in) / (eta * eta))
            dx, dy, dz = dx / eta + turn * nx, dy / eta + turn * ny, dz / eta + turn * nz
            outside = not outside
        size = 1.0 / math.sqrt(dx * dx + dy * dy + dz * dz)
        dx, dy, dz = dx * size, dy * size, dz * size
    return dx, dy, dz, -1


@njit
def _off_film(dx, dy, dz, film, flakes, cover, spread, weight):
    """Turn a falling ray at the film; `weight` 0 where a flake mirrors it down."""
    if np.random.random() >= cover:
        for c in range(3):
            weight[c] *= film[c]
        r, phi = math.sqrt(np.random.random()), 2.0 * math.pi * np.random.random()
        return r * math.cos(phi), r * math.sin(phi), math.sqrt(1.0 - r * r)
    nx, ny, nz = _facing(-dx, -dy, -dz, spread)
    along = -(dx * nx + dy * ny + dz * nz)
    dx, dy, dz = dx + 2 * along * nx, dy + 2 * along * ny, dz + 2 * along * nz
    seen = 1.0 / (1.0 + _shadow(dz, spread)) if dz > 0.0 else 0.0
    for c in range(3):
        weight[c] *= flakes[c] * seen
    return dx, dy, max(dz, 1e-6)


@njit
def _walk(rise, index, alpha, film, flakes, cover, spread, weight):
    """Follow a look down at the floor until it leaves: its way, and whether it was
    mirrored by one facet of the coat and no more."""
    weight[:] = 1.0
    dx, dy, dz, facets = _cross(math.sqrt(1.0 - rise * rise), 0.0, -rise, index, alpha)
    if dz > 0.0:
        return dx, dy, dz, facets == 1
    for _ in range(MOST_TURNS):
        dx, dy, dz = _off_film(dx, dy, dz, film, flakes, cover, spread, weight)
        most = weight.max()
        if most < 0.05:
            if np.random.random() >= 10.0 * most:
                break
            weight /= 10.0 * most
        dx, dy, dz, _ = _cross(dx, dy, -dz, 1.0 / index, alpha)
        dz = -dz
        if dz > 0.0:
            return dx, dy, dz, False
    weight[:] = 0.0
    return 0.0, 0.0, 1.0, False


@njit(parallel=True)
def _count(rises, looks, index, alpha, film, flakes, cover, spread, once, rest):
    """Fill what one facet mirrors (E, 3) and what else leaves (E, HEIGHTS, TURNS, 3)."""
    for e in prange(len(rises)):
        np.random.seed(100 + e)
        weight = np.ones(3)
        for _ in range(looks):
            dx, dy, dz, by_one = _walk(
                rises[e], index, alpha, film, flakes, cover, spread, weight
            )
            turn = abs(math.atan2(dy, dx)) / math.pi
            i = min(int(dz * HEIGHTS), HEIGHTS - 1)
            j = min(int(turn * TURNS), TURNS - 1)
            for c in range(3):
                if by_one:
                    once[e, c] += weight[c] / looks
                else:
                    rest[e, i, j, c] += weight[c] / looks


def counted(rises, looks, index, alpha, film, flakes, cover, spread):
    """What leaves a floor for looks of `rises`: mirrored by one facet, and else by bins."""
    once = np.zeros((len(rises), 3))
    rest = np.zeros((len(rises), HEIGHTS, TURNS, 3))
    _count(
        np.asarray(rises, dtype=float), looks, float(index), float(alpha),
        np.asarray(film, dtype=float), np.asarray(flakes, dtype=float), float(cover),
        float(spread), once, rest,
    )  # fmt: skip
    return once, rest


def returned(rises, looks, *floor):
    """Share of an even sky that a floor sends back, (E, 3)."""
    once, rest = counted(rises, looks, *floor)
    return once + rest.sum(axis=(1, 2))


def _per_projected(rest):
    """Reflection per projected steradian at middles of bins."""
    edge = np.arange(HEIGHTS + 1) / HEIGHTS
    size = 0.5 * (edge[1:] ** 2 - edge[:-1] ** 2) * 2.0 * math.pi / TURNS
    return rest / size[None, :, None, None]


def _between(table, dz, turn):
    """Blend a table (HEIGHTS, TURNS, 3) at sines dz and turns in [0, 1]."""
    a = np.clip(dz * HEIGHTS - 0.5, 0, HEIGHTS - 1.001)
    b = np.clip(turn * TURNS - 0.5, 0, TURNS - 1.001)
    i, j = a.astype(int), b.astype(int)
    p, q = (a - i)[..., None], (b - j)[..., None]
    return ((1 - p) * (1 - q) * table[i, j] + p * (1 - q) * table[i + 1, j]
            + (1 - p) * q * table[i, j + 1] + p * q * table[i + 1, j + 1])  # fmt: skip


def _off_one_facet(ox, oz, cos_h, hz, lz, index, alpha):
    """Fresnel, GGX and height-correlated Smith over four cosines of the eye."""
    dense = alpha**2 / (math.pi * ((alpha**2 - 1.0) * hz**2 + 1.0) ** 2)

    def shadow(z):
        return 0.5 * (np.sqrt(1.0 + alpha**2 * (1.0 / z**2 - 1.0)) - 1.0)

    shown = 1.0 / (1.0 + shadow(oz) + shadow(np.maximum(lz, 1e-6)))
    fresnel = np.vectorize(_mirrored)(np.minimum(cos_h, 1.0), index)
    return fresnel * dense * shown / (4.0 * oz)


SHARPEST = 0.006
"""Smoother coats stand apart from what is walked: their mirror is finer than its table."""
LOOKS = 100_000


def surface(file, index, alpha, film, flakes, cover, spread):
    """A floor that Mitsuba loads; its table is written to `file`."""
    if alpha > SHARPEST:
        return table(file, LOOKS, index, alpha, film, flakes, cover, spread)
    # a blend weighs both by half, so both are doubled
    under = table(file, LOOKS, index, 0.0, film, flakes, cover, spread, times=2.0)
    mirror = {
        "type": "roughdielectric", "distribution": "ggx", "alpha": alpha,
        "int_ior": index, "ext_ior": 1.0, "specular_reflectance": 2.0,
        "specular_transmittance": 0.0,
    }  # fmt: skip
    return {"type": "blendbsdf", "weight": 0.5, "under": under, "mirror": mirror}


def table(file, looks, index, alpha, film, flakes, cover, spread, fine=128, times=1.0):
    """Write a floor as a measured surface, in Mitsuba's layout of half vectors.

    The axis of elevation goes as the square root of the half vector's angle, the other
    one as its turn about the normal from the eye. A smooth coat's mirror is left out.
    """
    part = np.linspace(0.0, 1.0, ELEVATIONS)
    theta = 0.5 * math.pi * (1.0 - (1.0 - part) ** 1.4)
    theta[-1] = 0.5 * math.pi - 0.01
    _, rest = counted(np.cos(theta), looks, index, alpha, film, flakes, cover, spread)
    dense = _per_projected(rest)
    u = np.linspace(0.0, 1.0, fine)
    theta_h, phi_h = np.meshgrid(0.5 * math.pi * u**2, (2.0 * u - 1.0) * math.pi)
    rgb = np.zeros((1, ELEVATIONS, 3, fine, fine), np.float32)
    lit = np.zeros((1, ELEVATIONS, fine, fine), np.float32)
    hx, hy, hz = (np.sin(theta_h) * np.cos(phi_h), np.sin(theta_h) * np.sin(phi_h),
                  np.cos(theta_h))  # fmt: skip
    for e, angle in enumerate(theta):
        ox, oz = math.sin(angle), math.cos(angle)
        cos_h = ox * hx + oz * hz
        lx, ly, lz = 2 * cos_h * hx - ox, 2 * cos_h * hy, 2 * cos_h * hz - oz
        # the eye stands at turn 0 and looks the other way
        turn = np.abs(np.arctan2(ly, -lx)) / math.pi
        up = np.maximum(lz, 0.0)
        sent = _between(dense[e], up, turn) * up[..., None]
        if alpha > 0.0:
            one = _off_one_facet(ox, oz, np.maximum(cos_h, 0.0), hz, lz, index, alpha)
            sent = sent + np.where((lz > 0.0) & (cos_h > 0.0), one, 0.0)[..., None]
        rgb[0, e] = times * np.moveaxis(sent, -1, 0)
        piece = 8.0 * math.pi**2 * u[None, :] * np.sin(theta_h) * np.maximum(cos_h, 0.0)
        seen = sent.mean(axis=-1) * piece
        lit[0, e] = seen + 1e-3 * seen.mean()
    flat = np.ones((2, 2), np.float32)
    _write_fields(file, {
        "description": np.frombuffer(b"walked", np.uint8),
        "phi_i": np.zeros(1, np.float32), "theta_i": theta.astype(np.float32),
        "ndf": flat, "sigma": flat,
        "vndf": np.ones((1, ELEVATIONS, 2, 2), np.float32), "luminance": lit, "rgb": rgb,
        "jacobian": np.zeros(1, np.uint8),
    })  # fmt: skip
    return {"type": "measured", "filename": str(file)}


def _write_fields(file, fields):
    """Mitsuba's container of named arrays."""
    kinds = {np.dtype(np.uint8): 1, np.dtype(np.float32): 10}
    head = 12 + 2 + 4 + sum(2 + len(n) + 2 + 1 + 8 + 8 * a.ndim for n, a in fields.items())
    table, body = b"", b""
    for name, array in fields.items():
        table += struct.pack("<H", len(name)) + name.encode()
        table += struct.pack("<HBQ", array.ndim, kinds[array.dtype], head + len(body))
        table += struct.pack(f"<{array.ndim}Q", *array.shape)
        body += np.ascontiguousarray(array).tobytes()
    start = b"tensor_file\0" + bytes([1, 0]) + struct.pack("<I", len(fields))
    file.write_bytes(start + table + body)
