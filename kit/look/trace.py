"""Where a ray meets the room: walls, floor, ceiling, boxes, drums, openings, globes.

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
    north, under, top in its own frame); three a drum (side, under, top); five a
    window and five a doorway (back, sill, head, left, right); one a globe. A doorway's
    sill is floor, and so is what lies beyond; the sides of a space beyond, and the wall
    between it and the room, are met as places of its back outside [0, 1].
    """

    walls: Rows
    """(W, 7): x, y of the start, unit direction, length, inward normal. [m]"""
    height: float
    boxes: Rows
    """(B, 8): centre, half sizes, cosine and sine of its turn. [m]"""
    drums: Rows
    """(D, 5): x, y, radius, foot, top of upright cylinders. [m]"""
    groups: Rows
    """(G, 8): bounding sphere, then first and last box, drum."""
    windows: Rows
    """(N, 6): wall, from, to along it, sill, head, depth of the reveal. [m]"""
    doorways: Rows
    """(K, 9): as a window, its sill at 0; then how far a space beyond it runs back from
    the wall's face, 0 for a door that is shut, and how far it opens left and right. [m]"""
    globes: Rows
    """(S, 4): centre and radius of lamps' globes. [m]"""


@formula
def hit(
    ox: float, oy: float, oz: float, dx: float, dy: float, dz: float, solids: Solids,
) -> Hit:  # fmt: skip
    """First meeting of a ray: (distance, face, u, v); direction of any length."""
    best, face, u, v = _standing(ox, oy, oz, dx, dy, dz, solids)
    walls = len(solids.walls)
    for k in range(len(solids.doorways)):
        t, f, p, q = _held_beyond(ox, oy, oz, dx, dy, dz, k, solids)
        if t < best:
            return t, f, p, q
    if 0 <= face < walls and len(solids.windows) + len(solids.doorways) > 0:
        return _through(ox, oy, dx, dy, dz, best, face, u, v, solids)
    if (face == MISS or face == walls + 1) and len(solids.doorways) > 0:
        t, f, p, q = _beyond(ox, oy, oz, dx, dy, dz, solids)
        if t < best:
            return t, f, p, q
    return best, face, u, v


@formula
def _standing(
    ox: float, oy: float, oz: float, dx: float, dy: float, dz: float, solids: Solids,
) -> Hit:  # fmt: skip
    """Meet the shell of the room or what stands in it."""
    best, face, u, v = _shell(ox, oy, oz, dx, dy, dz, solids)
    walls = len(solids.walls)
    first_drum = walls + 2 + 6 * len(solids.boxes)
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
    for n in range(len(solids.globes)):
        t, turn = _globe(ox, oy, oz, dx, dy, dz, norm2, solids.globes[n])
        if t < best:
            recesses = len(solids.windows) + len(solids.doorways)
            best, face, u, v = t, _first_recess(solids) + 5 * recesses + n, turn, 0.5
    return best, face, u, v


@formula
def stopped(
    ox: float, oy: float, oz: float, dx: float, dy: float, dz: float, solids: Solids,
) -> bool:  # fmt: skip
    """Tell whether a box or drum stands on the way from a place by (dx, dy, dz)."""
    norm2 = dx * dx + dy * dy + dz * dz
    for g in range(len(solids.groups)):
        px, py = solids.groups[g, 0] - ox, solids.groups[g, 1] - oy
        pz = solids.groups[g, 2] - oz
        along = px * dx + py * dy + pz * dz
        far2 = px * px + py * py + pz * pz
        wide2 = solids.groups[g, 3] * solids.groups[g, 3]
        if far2 * norm2 - along * along > wide2 * norm2 or (along < 0.0 and far2 > wide2):
            continue
        for b in range(int(solids.groups[g, 4]), int(solids.groups[g, 5])):
            if _box(ox, oy, oz, dx, dy, dz, solids.boxes[b])[0] < 1.0:
                return True
        for d in range(int(solids.groups[g, 6]), int(solids.groups[g, 7])):
            if _drum(ox, oy, oz, dx, dy, dz, solids.drums[d])[0] < 1.0:
                return True
    return False


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
def _globe(
    ox: float, oy: float, oz: float, dx: float, dy: float, dz: float, norm2: float,
    globe: Grid,
) -> tuple[float, float]:  # fmt: skip
    """Meet a globe from outside: distance, and where about it as part of a turn."""
    rx, ry, rz = ox - globe[0], oy - globe[1], oz - globe[2]
    half = rx * dx + ry * dy + rz * dz
    root = half * half - norm2 * (rx * rx + ry * ry + rz * rz - globe[3] * globe[3])
    if root < 0.0 or half >= 0.0:
        return FAR, 0.0
    t = (-half - math.sqrt(root)) / norm2
    if t <= 1e-6:
        return FAR, 0.0
    return t, math.atan2(ry + t * dy, rx + t * dx) / (2.0 * math.pi) + 0.5


@formula
def _held_beyond(
    ox: float, oy: float, oz: float, dx: float, dy: float, dz: float, k: int,
    solids: Solids,
) -> Hit:  # fmt: skip
    """Meet the wall between a space beyond a doorway and the room, from that space."""
    w = solids.doorways[k]
    if w[6] <= 0.0:
        return FAR, MISS, 0.0, 0.0
    wall = solids.walls[int(w[0])]
    back = -((ox - wall[0]) * wall[5] + (oy - wall[1]) * wall[6])
    db = -(dx * wall[5] + dy * wall[6])
    if db >= 0.0 or not 1e-4 < back < w[6]:
        return FAR, MISS, 0.0, 0.0
    s = (ox - wall[0]) * wall[2] + (oy - wall[1]) * wall[3]
    if not w[1] - w[7] < s < w[2] + w[8]:
        return FAR, MISS, 0.0, 0.0
    ds = dx * wall[2] + dy * wall[3]
    face = _first_recess(solids) + 5 * (len(solids.windows) + k)
    for face_m in (w[5], 0.0):
        if back <= face_m:
            continue
        t = (face_m - back) / db
        across, z = s + t * ds, oz + t * dz
        if z < 0.0:
            return FAR, MISS, 0.0, 0.0
        if not (w[1] < across < w[2] and z < w[4]):
            return t, face, -0.5, min(z / solids.height, 1.5)
    return FAR, MISS, 0.0, 0.0


@formula
def _first_recess(solids: Solids) -> int:
    return len(solids.walls) + 2 + 6 * len(solids.boxes) + 3 * len(solids.drums)


@formula
def _through(
    ox: float, oy: float, dx: float, dy: float, dz: float, t: float, wall: int, u: float,
    v: float, solids: Solids,
) -> Hit:  # fmt: skip
    """Follow a ray that met a wall into a window's reveal or a doorway, if there is one."""
    walls = solids.walls
    s, z = u * walls[wall, 4], v * solids.height
    ds = dx * walls[wall, 2] + dy * walls[wall, 3]
    db = -(dx * walls[wall, 5] + dy * walls[wall, 6])
    first = _first_recess(solids)
    for n in range(len(solids.windows)):
        w = solids.windows[n]
        if int(w[0]) != wall or not (w[1] < s < w[2] and w[3] < z < w[4]):
            continue
        step, side, p, q = _inside(s, z, 0.0, ds, dz, db, w[1], w[2], w[3], w[4], w[5])
        return t + step, first + 5 * n + side, p, q
    first += 5 * len(solids.windows)
    for k in range(len(solids.doorways)):
        w = solids.doorways[k]
        if int(w[0]) != wall or not (w[1] < s < w[2] and z < w[4]):
            continue
        step, side, p, q = _inside(s, z, 0.0, ds, dz, db, w[1], w[2], 0.0, w[4], w[5])
        if side == 0 and w[6] > 0.0:
            step, side, p, q = _inside(
                s, z, 0.0, ds, dz, db, w[1] - w[7], w[2] + w[8], 0.0, solids.height, w[6]
            )
            return _met_beyond(ox, oy, dx, dy, t + step, first + 5 * k, side, p, q, solids)
        if side == 1:
            far = t + step
            return far, len(walls), ox + far * dx, oy + far * dy
        return t + step, first + 5 * k + side, p, q
    return t, wall, u, v


@formula
def _beyond(
    ox: float, oy: float, oz: float, dx: float, dy: float, dz: float, solids: Solids,
) -> Hit:  # fmt: skip
    """Follow a ray that starts in a space beyond a doorway and leads away from the room."""
    first = _first_recess(solids) + 5 * len(solids.windows)
    for k in range(len(solids.doorways)):
        w = solids.doorways[k]
        wall = solids.walls[int(w[0])]
        back = -((ox - wall[0]) * wall[5] + (oy - wall[1]) * wall[6])
        s = (ox - wall[0]) * wall[2] + (oy - wall[1]) * wall[3]
        left, right = w[1] - w[7], w[2] + w[8]
        deep = max(w[5], w[6])
        ds, db = dx * wall[2] + dy * wall[3], -(dx * wall[5] + dy * wall[6])
        if db <= 0.0 or not (1e-4 < back < deep and left < s < right):
            continue
        step, side, p, q = _inside(
            s, oz, back, ds, dz, db, left, right, 0.0, solids.height, deep
        )
        return _met_beyond(ox, oy, dx, dy, step, first + 5 * k, side, p, q, solids)
    return FAR, MISS, 0.0, 0.0


@formula
def _met_beyond(
    ox: float, oy: float, dx: float, dy: float, far: float, back: int, side: int, p: float,
    q: float, solids: Solids,
) -> Hit:  # fmt: skip
    """Tell what was met beyond a doorway: floor, or some place of its back."""
    if side == 1:
        return far, len(solids.walls), ox + far * dx, oy + far * dy
    if side == 2:
        return far, back, p, 1.5
    if side == 3:
        return far, back, -0.5, q
    if side == 4:
        return far, back, 1.5, q
    return far, back, p, q


@formula
def _inside(
    s: float, z: float, b: float, ds: float, dz: float, db: float, low: float, high: float,
    foot: float, head: float, deep: float,
) -> tuple[float, int, float, float]:  # fmt: skip
    """Leave a recess: step, side, and the place on it; b runs from the wall's face back.

    Sides: back, sill, head, left, right.
    """
    step, side = (deep - b) / db if db > 1e-12 else FAR, 0
    if ds > 1e-9 and (high - s) / ds < step:
        step, side = (high - s) / ds, 4
    if ds < -1e-9 and (low - s) / ds < step:
        step, side = (low - s) / ds, 3
    if dz > 1e-9 and (head - z) / dz < step:
        step, side = (head - z) / dz, 2
    if dz < -1e-9 and (foot - z) / dz < step:
        step, side = (foot - z) / dz, 1
    step = max(step, 0.0)
    p = (s + step * ds - low) / (high - low)
    q = (z + step * dz - foot) / (head - foot)
    back = (b + step * db) / deep
    if side == 1 or side == 2:
        return step, side, p, back
    if side == 3 or side == 4:
        return step, side, back, q
    return step, side, p, q
