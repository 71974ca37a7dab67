"""Shade at the feet of what stands on a floor, finer than the floor's texels tell it.

A texel is wider than a chair's leg. At each pixel near a foot the part of window, lamps
and room that the thing hides is told in closed form, things taken as upright: an
interval of directions along the floor, up to a height. What texels tell of the same is
divided out, so that shade is neither lost nor counted twice.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from kit.look.compiled import Grid, formula, loop, prange
from kit.look.direct import clear, pane_light
from kit.look.evened import evened, floor_known
from kit.look.lights import USUAL, Light
from kit.look.room import Room
from kit.look.texels import between
from kit.look.trace import Solids

Array = NDArray[np.float32]

FOOT_M = 0.06
"""A thing whose underside is lower than this stands on the floor."""
GIVEN_BACK = 0.3
"""Light of a thing's side, by its color, against that of the room it hides; by eye."""
LEAST_ROOM = 0.25
"""Least part of a floor's light that comes from all round."""
MOST = 1.25
"""Most that a place is lighter than its texels tell."""
_REACHES = 14.0
"""Distance at which a thing's shade has faded, in its own half widths."""
_REACH_M = (0.20, 0.55)
"""Nearest and farthest that it is told; beyond, texels tell it well. [m]"""
_STRIPS = 6
LUMINANCE = np.array([0.2126, 0.7152, 0.0722])
_NEAR = 1e-4


def contact_shade(
    room: Room, light: Light, places: NDArray[np.float64], evening: bool
) -> Array:
    """Light at floor places over what texels tell of it, (N,).

    Parameters
    ----------
    places : (N, 2+) array
        East and north. [m]
    """
    feet = feet_of(room)
    sources = sources_of(room, light, evening)
    shell = room.solids._replace(
        boxes=room.solids.boxes[:0], drums=room.solids.drums[:0],
        groups=room.solids.groups[:0], globes=room.solids.globes[:0],
    )  # fmt: skip
    floor = room.faces.floor
    middles = np.ascontiguousarray(room.faces.place[floor, :2])
    lit = light.on(np.full(3, USUAL))[floor] @ LUMINANCE
    told = np.ones((len(room.faces.place), 1), dtype=np.float32)
    straight = np.empty(len(middles), dtype=np.float32)
    _straight(middles, sources, shell, straight)
    usual = float(np.median(lit))
    even = max(usual - float(np.median(straight)), LEAST_ROOM * usual)
    out = np.empty(len(middles), dtype=np.float32)
    none = np.zeros((0, 0))
    _shade(middles, feet, sources, shell, even, none, 0, told, out)
    told[floor, 0] = out
    known = floor_known(room)
    # light is evened as it comes straight, and once more with what is bounced
    told = evened(evened(told, room.faces, known), room.faces, known)
    shade = np.empty(len(places), dtype=np.float32)
    _shade(
        places, feet, sources, shell, even, room.faces.table, room.faces.floor_face, told,
        shade,
    )  # fmt: skip
    return shade


def feet_of(room: Room) -> NDArray[np.float64]:
    """What stands on the floor, as it is seen from above.

    Returns
    -------
    (F, 9) array
        Middle, half sizes (the second 0 for a drum), cosine and sine of its turn, height,
        how far its shade reaches [m]; light it gives back.
    """
    rows = []
    for face, form in _standing(room):
        if len(form) == 8:
            x, y, z, a, b, h, c, s = form
            rows.append((x, y, a, b, c, s, z + h, max(a, b), face))
        else:
            x, y, radius, _, top = form
            rows.append((x, y, radius, 0.0, 1.0, 0.0, top, radius, face))
    feet = np.array(rows, dtype=np.float64).reshape(-1, 9)
    feet[:, 7] += np.clip(_REACHES * feet[:, 7], *_REACH_M)
    feet[:, 8] = GIVEN_BACK * (room.skins[feet[:, 8].astype(int), 1:4] @ LUMINANCE)
    return feet


def sides_of_feet(room: Room) -> list[range]:
    """Upright faces of each of `feet_of`."""
    return [
        range(face, face + (4 if len(form) == 8 else 1)) for face, form in _standing(room)
    ]


def _standing(room: Room) -> Iterator[tuple[int, NDArray[np.float64]]]:
    """First face and row of each box and drum that stands on the floor."""
    solids = room.solids
    first = len(solids.walls) + 2
    for k, box in enumerate(solids.boxes):
        if box[2] - box[5] < FOOT_M:
            yield first + 6 * k, box
    first += 6 * len(solids.boxes)
    for k, drum in enumerate(solids.drums):
        if drum[3] < FOOT_M:
            yield first + 3 * k, drum


def sources_of(room: Room, light: Light, evening: bool) -> NDArray[np.float64]:
    """Upright strips of window, and lamps.

    Returns
    -------
    (S, 9) array
        Middle; half its width along x and y; half its height [m]; the way it faces along
        x and y, both 0 for a lamp; radiance of a strip, intensity of a lamp.
    """
    rows: list[tuple[float, ...]] = []
    shines = pane_light(room, _STRIPS, 1, evening)
    for window, shine in zip(room.solids.windows, shines, strict=True):
        wall = room.solids.walls[int(window[0])]
        half = 0.5 * (window[2] - window[1]) / _STRIPS
        for k in range(_STRIPS):
            x, y = wall[:2] + (window[1] + (2 * k + 1) * half) * wall[2:4]
            rows.append((
                x, y, 0.5 * (window[3] + window[4]), *(half * wall[2:4]),
                0.5 * (window[4] - window[3]), *wall[5:7], float(shine[k] @ LUMINANCE),
            ))  # fmt: skip
    for x, y, z, radius, is_globe, *glow in light.lamps:
        high = radius if is_globe else 0.02
        power = math.pi * radius**2 * float(np.array(glow) @ LUMINANCE)
        rows.append((x, y, z - 0.02, radius, 0.0, high, 0.0, 0.0, power))
    return np.array(rows, dtype=np.float64).reshape(-1, 9)


@loop
def _straight(places: Grid, sources: Grid, shell: Solids, out: Grid) -> None:
    """Fill `out` (N,) with irradiance over pi straight from sources."""
    for i in prange(len(places)):
        total = 0.0
        for n in range(len(sources)):
            weight, _, _, _, _, _ = _arriving(places[i, 0], places[i, 1], sources[n], shell)
            total += weight
        out[i] = total


@loop
def _shade(
    places: Grid, feet: Grid, sources: Grid, shell: Solids, even: float, table: Grid,
    floor: int, told: Grid, out: Grid,
) -> None:  # fmt: skip
    """Fill `out` (N,) with the light that feet leave, over what texels tell if any do.

    Parameters
    ----------
    even : float
        Irradiance over pi from all round.
    told : (T, 1) array
        The same at texels; not asked where `table` is empty.
    """
    for i in prange(len(places)):
        x, y = places[i, 0], places[i, 1]
        out[i] = 1.0
        count = 0
        for f in range(len(feet)):
            count += 1 if is_near(x, y, feet[f]) else 0
        if count == 0:
            continue
        near = np.empty((count, 6))
        count = 0
        for f in range(len(feet)):
            if is_near(x, y, feet[f]):
                see_foot(x, y, feet[f], near[count])
                count += 1
        left, open_to = 1.0, even
        for f in range(count):
            left *= 1.0 - near[f, 5] * near[f, 2] / math.pi * _squared(near[f, 3])
        lit = even * left
        for n in range(len(sources)):
            weight, ux, uy, half, low, high = _arriving(x, y, sources[n], shell)
            open_to += weight
            lit += weight * _left(near[:count], ux, uy, half, low, high)
        if open_to <= 0.0:
            continue
        here = lit / open_to
        if len(table) > 0:
            here = min(here / max(between(floor, x, y, table, told, 0), _NEAR), MOST)
        out[i] = here


@formula
def is_near(x: float, y: float, foot: Grid) -> bool:
    """Tell whether a thing's shade reaches a place."""
    return bool((foot[0] - x) ** 2 + (foot[1] - y) ** 2 < foot[7] * foot[7])


@formula
def see_foot(x: float, y: float, foot: Grid, out: Grid) -> None:
    """Fill in how a thing is seen from a place.

    Way to its middle along x and y, half its angle, tangent of its height, how much of
    its shade counts here; that, of what comes from all round.
    """
    dx, dy = foot[0] - x, foot[1] - y
    far = math.sqrt(dx * dx + dy * dy)
    ux, uy = (dx / far, dy / far) if far > _NEAR else (1.0, 0.0)
    if foot[3] == 0.0:
        half = math.asin(min(1.0, foot[2] / max(far, _NEAR)))
        to_side = far - foot[2]
    else:
        half = 0.0
        for k in range(4):
            a, b = foot[2] if k % 2 else -foot[2], foot[3] if k // 2 else -foot[3]
            cx = dx + a * foot[4] - b * foot[5]
            cy = dy + a * foot[5] + b * foot[4]
            half = max(half, abs(math.atan2(ux * cy - uy * cx, ux * cx + uy * cy)))
        half = min(half, 0.5 * math.pi)
        along = max(abs(dx * foot[4] + dy * foot[5]) - foot[2], 0.0)
        across = max(abs(dy * foot[4] - dx * foot[5]) - foot[3], 0.0)
        to_side = math.sqrt(along * along + across * across)
    part = min(1.0, 2.5 * (1.0 - far / foot[7]))
    out[0], out[1], out[2] = ux, uy, half
    out[3] = foot[6] / max(to_side, 1e-3)
    out[4] = part
    out[5] = part * (1.0 - foot[8])


@formula
def _arriving(
    x: float, y: float, source: Grid, shell: Solids,
) -> tuple[float, float, float, float, float, float]:  # fmt: skip
    """Irradiance over pi of a floor place from a source, and where that is seen.

    Way along x and y, half its angle along the floor, tangents of its foot and head.
    """
    dx, dy = source[0] - x, source[1] - y
    far = max(math.sqrt(dx * dx + dy * dy), 0.02)
    ux, uy = dx / far, dy / far
    low, high = (source[2] - source[5]) / far, (source[2] + source[5]) / far
    if source[6] == 0.0 and source[7] == 0.0:
        half = math.atan(source[3] / far)
        up2 = source[2] * source[2]
        weight = source[8] * up2 / (far * far + up2) ** 2 / math.pi
    else:
        half = abs(source[3] * uy - source[4] * ux) / far
        facing = -(ux * source[6] + uy * source[7])
        if facing <= 0.0:
            return 0.0, ux, uy, 1.0, low, high
        weight = source[8] * half * (_squared(high) - _squared(low)) / math.pi
    inside = 1.0 - 0.02 / far
    if not clear(
        x, y, 2e-3, x + inside * dx, y + inside * dy, inside * source[2], shell
    ):  # fmt: skip
        weight = 0.0
    return weight, ux, uy, max(half, 1e-4), low, high


@formula
def _left(near: Grid, ux: float, uy: float, half: float, low: float, high: float) -> float:
    """Part of a source that things near a place leave in sight."""
    left = 1.0
    full = _squared(high) - _squared(low)
    for f in range(len(near)):
        top = near[f, 3]
        if top <= low:
            continue
        at = math.atan2(
            near[f, 0] * uy - near[f, 1] * ux, near[f, 0] * ux + near[f, 1] * uy
        )
        wide = min(at + half, near[f, 2]) - max(at - half, -near[f, 2])
        if wide <= 0.0:
            continue
        tall = (_squared(min(top, high)) - _squared(low)) / max(full, 1e-9)
        left *= 1.0 - near[f, 4] * min(wide / (2.0 * half), 1.0) * min(tall, 1.0)
    return left


@formula
def _squared(tangent: float) -> float:
    """Sine squared of an elevation by its tangent."""
    return tangent * tangent / (1.0 + tangent * tangent)
