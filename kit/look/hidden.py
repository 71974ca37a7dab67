"""What things hide of a soft mirror at their feet, finer than its coarse nodes tell it.

However rough a coat is, what touches it is mirrored sharply: a matte floor shows the
foot of a chair's leg. Told as `contact` tells shade: things upright, their sides an
interval of directions along the floor; what the nodes tell of the same is divided out.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from kit.look.aim import place_seen
from kit.look.compiled import Grid, formula, loop, prange
from kit.look.contact import GIVEN_BACK, LUMINANCE, MOST, feet_of, see_foot, sides_of_feet
from kit.look.glow import Nodes, settled
from kit.look.lights import USUAL, Light
from kit.look.lobes import SHARP, SOFT, SPREADS
from kit.look.room import Room
from kit.look.texels import texel_of
from kit.look.trace import hit

Array = NDArray[np.float32]

_WALL = 0.72
"""Albedo of the walls that a coat mirrors where nothing hides them, about."""
_LIGHTER = 1.0
"""Most that a thing is taken to be lighter than what is behind it, by that."""
_NEAR = 1e-6
_THIN_M = 0.1
"""Nodes lie too far apart to tell the images of things less than twice as wide."""
_REACHES, _REACH_M = 5.0, 3.0
"""How far before such a thing its image runs, by its height, and at the most. [m]"""
_LEAST = 0.02


def left_in_sight(
    room: Room, camera: NDArray[np.float64], pixels: NDArray[np.int64], nodes: Nodes,
    light: Light,
) -> tuple[NDArray[np.int64], Array]:  # fmt: skip
    """Which of the floor's pixels are near a foot, (K,), and what is left of each mirror.

    Returns
    -------
    (K,) array, (K, SOFT) array
        Indices into `pixels`; light of each soft mirror over what nodes tell of it.
    """
    feet = mirrored_feet(room, camera, light)
    width = int(camera[6])
    seen = np.column_stack([pixels % width, pixels // width]) + 0.5
    told = np.empty((len(nodes.picture), SOFT), dtype=np.float32)
    _hide(nodes.picture, camera, feet, SPREADS[SHARP:], told)
    told = settled(np.ascontiguousarray(told.T)[..., None], nodes)[..., 0].T
    left = np.empty((len(pixels), SOFT), dtype=np.float32)
    _hide(seen, camera, feet, SPREADS[SHARP:], left)
    place = (seen - nodes.picture[0]) / nodes.step
    near = np.minimum(place.astype(np.int64), [nodes.across - 2, len(told)])
    first = near[:, 1] * nodes.across + near[:, 0]
    corners = first[:, None] + [0, 1, nodes.across, nodes.across + 1]
    hides = np.any(told != 1.0, axis=1)
    at = np.flatnonzero((left != 1.0).any(axis=1) | hides[corners].any(axis=1))
    p, q = (place - near)[at].T.astype(np.float32)
    parts = np.stack([(1 - p) * (1 - q), p * (1 - q), (1 - p) * q, p * q])
    between = np.einsum("nkc,kn->nc", told[corners[at]], parts)
    return at, np.minimum(left[at] / np.maximum(between, _LEAST), MOST)


def mirrored_feet(
    room: Room, camera: NDArray[np.float64], light: Light
) -> NDArray[np.float64]:
    """What stands on the floor as `contact.feet_of` has it, for its mirror images.

    Returns
    -------
    (F, 10) array
        The eighth is how far before a thing its image is told; then what it takes of the
        light that is mirrored from behind it, 1 if it is black, below 0 if it is the
        lighter, and if it is not thin by its color alone; the last how far beside and
        behind it that is told. [m]
    """
    feet = feet_of(room)
    feet = np.column_stack([feet, feet[:, 7]])
    thin = feet[:, 2:4].max(axis=1) < _THIN_M
    runs = np.minimum(_REACHES * feet[:, 6], _REACH_M)
    feet[:, 7] = np.where(thin, np.maximum(feet[:, 7], runs), feet[:, 7])
    sides_of = sides_of_feet(room)
    sent = (light.on(np.full(3, USUAL)) * light.colour + light.glow) @ LUMINANCE
    feet[:, 8] = np.maximum(1.0 - feet[:, 8] / (GIVEN_BACK * _WALL), 0.0)
    for k in np.flatnonzero(thin):
        foot, sides = feet[k], sides_of[k]
        behind = _behind(room, camera, foot)
        own = _shown_to(room, camera, foot, sides, sent)
        takes = 1.0 - own / max(float(sent[behind]), 1e-9) if behind >= 0 else 1.0
        foot[8] = max(takes, -_LIGHTER)
    return feet


def _behind(room: Room, camera: NDArray[np.float64], foot: NDArray[np.float64]) -> int:
    """Texel that a look off the floor meets past half the height of a thing, or -1."""
    way = foot[:2] - camera[:2]
    far = float(np.hypot(*way))
    way /= max(far, _NEAR)
    past = foot[:2] + (1.5 * float(np.hypot(foot[2], foot[3])) + 0.01) * way
    rise = float(camera[2]) / max(far, _NEAR)
    x, y, dx, dy = (float(v) for v in (*past, *way))
    _, face, u, v = hit(x, y, 0.5 * float(foot[6]), dx, dy, rise, room.solids)
    return texel_of(face, u, v, room.faces.table) if face >= 0 else -1


def _shown_to(
    room: Room, camera: NDArray[np.float64], foot: NDArray[np.float64], sides: range,
    sent: Array,
) -> float:  # fmt: skip
    """Mean light that a thing's upright sides send towards the eye, of texels' light."""
    faces = room.faces
    where = np.concatenate([np.arange(faces.of(k).start, faces.of(k).stop) for k in sides])
    turned = np.maximum(faces.normal[where, :2] @ (camera[:2] - foot[:2]), 0.0)
    return float(turned @ sent[where] / max(float(turned.sum()), _NEAR))


@loop
def _hide(
    picture: Grid, camera: Grid, feet: Grid, spreads: Grid, out: Grid,
) -> None:  # fmt: skip
    """Fill `out` (M, SOFT) with what things leave of each mirror at picture places."""
    for i in prange(len(picture)):
        out[i, :] = 1.0
        x, y, _, dx, dy, dz = place_seen(picture[i, 0], picture[i, 1], camera)
        level = math.sqrt(dx * dx + dy * dy)
        dx, dy = dx / level, dy / level
        rise = math.atan2(-dz, level)
        foot = np.empty(6)
        for f in range(len(feet)):
            ahead = dx * (feet[f, 0] - x) + dy * (feet[f, 1] - y)
            aside = abs(dx * (feet[f, 1] - y) - dy * (feet[f, 0] - x)) / feet[f, 9]
            if aside >= 1.0 or not -feet[f, 9] < ahead < feet[f, 7]:
                continue
            see_foot(x, y, feet[f], foot)
            at = math.atan2(dx * foot[1] - dy * foot[0], dx * foot[0] + dy * foot[1])
            dark = min(foot[4], 2.5 * (1.0 - aside)) * feet[f, 8]
            top = math.atan(foot[3])
            for layer in range(len(spreads)):
                # a facet of some slope turns a ray up by twice, aside by less of it
                tall, wide = 2.0 * spreads[layer], 2.0 * spreads[layer] * -dz / level
                beside = _below((at + foot[2]) / wide) - _below((at - foot[2]) / wide)
                under = _below(-rise / tall)
                risen = (_below((top - rise) / tall) - under) / (1.0 - under)
                out[i, layer] *= 1.0 - dark * beside * risen


@formula
def _below(x: float) -> float:
    """Share of a standard normal below x."""
    return 0.5 + 0.5 * math.erf(0.7071067811865476 * x)
