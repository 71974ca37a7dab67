"""Where a ray meets the room: walls, floor, ceiling, boxes, drums, leaves, windows.

Faces are numbered in that order, see `Solids`; a hit is the distance, the face
and the place on it, both coordinates in [0, 1].
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from kit.look.compiled import Grid, Hit, formula

Rows = NDArray[np.float64]

FAR = 1e9
MISS = -1


class Solids(NamedTuple):
    """All that a ray can meet, as rows of float64; a named tuple because numba takes those.

    Faces: wall w is face w; then floor, ceiling; six a box (west, east, south,
    north, under, top in its own frame); three a drum (side, under, top); two a
    leaf (upper, lower); five a window (pane, sill, head, left, right).
    """

    walls: Rows
    """(W, 7): x, y of the start, unit direction, length, inward normal. [m]"""
    height: float
    boxes: Rows
    """(B, 8): centre, half sizes, cosine and sine of its turn. [m]"""
    drums: Rows
    """(D, 5): x, y, radius, foot, top of upright cylinders. [m]"""
    leaves: Rows
    """(L, 9): centre, long half axis, short half axis. [m]"""
    groups: Rows
    """(G, 10): bounding sphere, then first and last box, drum, leaf."""
    windows: Rows
    """(N, 6): wall, from, to along it, sill, head, depth of the reveal. [m]"""


@formula
def hit(
    ox: float, oy: float, oz: float, dx: float, dy: float, dz: float, solids: Solids,
) -> Hit:  # fmt: skip
    """First meeting of a ray: (distance, face, u, v); direction of any length."""
    best, face, u, v = _shell(ox, oy, oz, dx, dy, dz, solids)
    walls = len(solids.walls)
    first_drum = walls + 2 + 6 * len(solids.boxes)
    first_leaf = first_drum + 3 * len(solids.drums)
    norm2 = dx * dx + dy * dy + dz * dz
    for g in range(len(solids.groups)):
        group = solids.groups[g]
        px, py, pz = group[0] - ox, group[1] - oy, group[2] - oz
        along = px * dx + py * dy + pz * dz
        off2 = px * px + py * py + pz * pz - along * along / norm2
        if off2 > group[3] * group[3]:
            continue
        for b in range(int(group[4]), int(group[5])):
            t, side, p, q = _box(ox, oy, oz, dx, dy, dz, solids.boxes[b])
            if t < best:
                best, face, u, v = t, walls + 2 + 6 * b + side, p, q
        for d in range(int(group[6]), int(group[7])):
            t, side, p, q = _drum(ox, oy, oz, dx, dy, dz, solids.drums[d])
            if t < best:
                best, face, u, v = t, first_drum + 3 * d + side, p, q
        for n in range(int(group[8]), int(group[9])):
            t, side, p, q = _leaf(ox, oy, oz, dx, dy, dz, solids.leaves[n])
            if t < best:
                best, face, u, v = t, first_leaf + 2 * n + side, p, q
    if 0 <= face < walls and len(solids.windows) > 0:
        return _through(dx, dy, dz, best, face, u, v, solids)
    return best, face, u, v


@formula
def _shell(
    ox: float, oy: float, oz: float, dx: float, dy: float, dz: float, solids: Solids,
) -> Hit:  # fmt: skip
    """Meet walls, floor and ceiling; walls are met from inside only."""
    best, face, u, v = FAR, MISS, 0.0, 0.0
    walls, height = solids.walls, solids.height
    for w in range(len(walls)):
        facing = dx * walls[w, 5] + dy * walls[w, 6]
        if facing >= 0.0:
            continue
        t = ((walls[w, 0] - ox) * walls[w, 5] + (walls[w, 1] - oy) * walls[w, 6]) / facing
        if t <= 1e-6 or t >= best:
            continue
        s = (ox + t * dx - walls[w, 0]) * walls[w, 2] + (oy + t * dy - walls[w, 1]) * walls[
            w, 3
        ]
        z = oz + t * dz
        if -1e-6 <= s <= walls[w, 4] + 1e-6 and -1e-6 <= z <= height + 1e-6:
            best, face, u, v = t, w, s / walls[w, 4], z / height
    if dz < 0.0 and oz > 0.0:
        t = -oz / dz
        if t < best:
            best, face = t, len(walls)
            u, v = ox + t * dx, oy + t * dy
    elif dz > 0.0:
        t = (height - oz) / dz
        if 1e-6 < t < best:
            best, face = t, len(walls) + 1
            u, v = ox + t * dx, oy + t * dy
    return best, face, u, v


@formula
def _box(
    ox: float, oy: float, oz: float, dx: float, dy: float, dz: float, box: Grid,
) -> Hit:  # fmt: skip
    """Meet a box turned about the upright, from outside."""
    rx, ry, rz = ox - box[0], oy - box[1], oz - box[2]
    c, s = box[6], box[7]
    rx, ry = c * rx + s * ry, c * ry - s * rx
    ex, ey = c * dx + s * dy, c * dy - s * dx
    ix = 1.0 / ex if abs(ex) > 1e-12 else 1e12
    iy = 1.0 / ey if abs(ey) > 1e-12 else 1e12
    iz = 1.0 / dz if abs(dz) > 1e-12 else 1e12
    nx, ny, nz = (
        -rx * ix - abs(ix) * box[3],
        -ry * iy - abs(iy) * box[4],
        -rz * iz - abs(iz) * box[5],
    )
    fx, fy, fz = (
        -rx * ix + abs(ix) * box[3],
        -ry * iy + abs(iy) * box[4],
        -rz * iz + abs(iz) * box[5],
    )
    near = max(nx, ny, nz)
    far = min(fx, fy, fz)
    if near > far or near <= 1e-6:
        return FAR, 0, 0.0, 0.0
    px, py, pz = rx + near * ex, ry + near * ey, rz + near * dz
    a, b, h = 0.5 + 0.5 * px / box[3], 0.5 + 0.5 * py / box[4], 0.5 + 0.5 * pz / box[5]
    if near == nx:
        return near, (0 if ex > 0.0 else 1), b, h
    if near == ny:
        return near, (2 if ey > 0.0 else 3), a, h
    return near, (4 if dz > 0.0 else 5), a, b


@formula
def _drum(
    ox: float, oy: float, oz: float, dx: float, dy: float, dz: float, drum: Grid,
) -> Hit:  # fmt: skip
    """Meet an upright cylinder with its caps, from outside."""
    rx, ry = ox - drum[0], oy - drum[1]
    radius = drum[2]
    best, side, u, v = FAR, 0, 0.0, 0.0
    a = dx * dx + dy * dy
    half = rx * dx + ry * dy
    c = rx * rx + ry * ry - radius * radius
    root = half * half - a * c
    if root < 0.0:
        return best, side, u, v
    if a > 1e-12:
        t = (-half - math.sqrt(root)) / a
        z = oz + t * dz
        if t > 1e-6 and drum[3] <= z <= drum[4]:
            turn = math.atan2(ry + t * dy, rx + t * dx)
            best, u, v = (
                t,
                turn / (2.0 * math.pi) + 0.5,
                (z - drum[3]) / (drum[4] - drum[3]),
            )
    level = drum[4] if dz < 0.0 else drum[3]
    if abs(dz) > 1e-12:
        t = (level - oz) / dz
        px, py = rx + t * dx, ry + t * dy
        if 1e-6 < t < best and px * px + py * py <= radius * radius:
            best, side = t, (2 if dz < 0.0 else 1)
            u, v = 0.5 + 0.5 * px / radius, 0.5 + 0.5 * py / radius
    return best, side, u, v


@formula
def _leaf(
    ox: float, oy: float, oz: float, dx: float, dy: float, dz: float, leaf: Grid,
) -> Hit:  # fmt: skip
    """Meet a flat leaf, pointed at both ends."""
    ax, ay, az, bx, by, bz = leaf[3], leaf[4], leaf[5], leaf[6], leaf[7], leaf[8]
    nx, ny, nz = ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx
    facing = dx * nx + dy * ny + dz * nz
    if abs(facing) < 1e-12:
        return FAR, 0, 0.0, 0.0
    t = ((leaf[0] - ox) * nx + (leaf[1] - oy) * ny + (leaf[2] - oz) * nz) / facing
    if t <= 1e-6:
        return FAR, 0, 0.0, 0.0
    px, py, pz = ox + t * dx - leaf[0], oy + t * dy - leaf[1], oz + t * dz - leaf[2]
    p = (px * ax + py * ay + pz * az) / (ax * ax + ay * ay + az * az)
    q = (px * bx + py * by + pz * bz) / (bx * bx + by * by + bz * bz)
    if p * p >= 1.0 or abs(q) > (1.0 - p * p) * (1.0 - 0.25 * p):
        return FAR, 0, 0.0, 0.0
    return t, (0 if facing < 0.0 else 1), 0.5 + 0.5 * p, 0.5 + 0.5 * q


@formula
def _through(
    dx: float, dy: float, dz: float, t: float, wall: int, u: float, v: float,
    solids: Solids,
) -> Hit:  # fmt: skip
    """Follow a ray that met a wall into a window's reveal, if there is one."""
    walls = solids.walls
    s, z = u * walls[wall, 4], v * solids.height
    first = (
        len(walls)
        + 2
        + 6 * len(solids.boxes)
        + 3 * len(solids.drums)
        + 2 * len(solids.leaves)
    )
    for n in range(len(solids.windows)):
        window = solids.windows[n]
        if int(window[0]) != wall or not (
            window[1] < s < window[2] and window[3] < z < window[4]
        ):
            continue
        ds = dx * walls[wall, 2] + dy * walls[wall, 3]
        dn = -(dx * walls[wall, 5] + dy * walls[wall, 6])
        depth = window[5]
        step, side = depth / dn, 0
        if ds > 1e-9 and (window[2] - s) / ds < step:
            step, side = (window[2] - s) / ds, 4
        if ds < -1e-9 and (window[1] - s) / ds < step:
            step, side = (window[1] - s) / ds, 3
        if dz > 1e-9 and (window[4] - z) / dz < step:
            step, side = (window[4] - z) / dz, 2
        if dz < -1e-9 and (window[3] - z) / dz < step:
            step, side = (window[3] - z) / dz, 1
        p = (s + step * ds - window[1]) / (window[2] - window[1])
        q = (z + step * dz - window[3]) / (window[4] - window[3])
        back = step * dn / depth
        if side == 1 or side == 2:
            return t + step, first + 5 * n + side, p, back
        if side == 3 or side == 4:
            return t + step, first + 5 * n + side, back, q
        return t + step, first + 5 * n, p, q
    return t, wall, u, v
