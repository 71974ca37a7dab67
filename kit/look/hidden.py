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
from kit.look.contact import GIVEN_BACK, MOST, feet_of, is_near, see_foot
from kit.look.glow import Nodes, settled
from kit.look.lobes import SHARP, SOFT, SPREADS
from kit.look.room import Room

Array = NDArray[np.float32]

_WALL = 0.72
"""Albedo of the walls that a coat mirrors where nothing hides them, about."""
_LEAST = 0.02


def left_in_sight(
    room: Room, camera: NDArray[np.float64], pixels: NDArray[np.int64], nodes: Nodes
) -> tuple[NDArray[np.int64], Array]:
    """Which of the floor's pixels are near a foot, (K,), and what is left of each mirror.

    Returns
    -------
    (K,) array, (K, SOFT) array
        Indices into `pixels`; light of each soft mirror over what nodes tell of it.
    """
    feet = feet_of(room)
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
    hides = np.any(told < 1.0, axis=1)
    at = np.flatnonzero((left < 1.0).any(axis=1) | hides[corners].any(axis=1))
    p, q = (place - near)[at].T.astype(np.float32)
    parts = np.stack([(1 - p) * (1 - q), p * (1 - q), (1 - p) * q, p * q])
    between = np.einsum("nkc,kn->nc", told[corners[at]], parts)
    return at, np.minimum(left[at] / np.maximum(between, _LEAST), MOST)


@loop
def _hide(
    picture: Grid, camera: Grid, feet: Grid, spreads: Grid, out: Grid,
) -> None:  # fmt: skip
    """Fill `out` (M, SOFT) with what things leave of each mirror at picture places."""
    for i in prange(len(picture)):
        out[i, :] = 1.0
        x, y, _, dx, dy, dz = place_seen(picture[i, 0], picture[i, 1], camera)
        level = math.sqrt(dx * dx + dy * dy)
        rise = math.atan2(-dz, level)
        foot = np.empty(6)
        for f in range(len(feet)):
            if not is_near(x, y, feet[f]):
                continue
            see_foot(x, y, feet[f], foot)
            at = math.atan2(dx * foot[1] - dy * foot[0], dx * foot[0] + dy * foot[1])
            dark = foot[4] * max(1.0 - feet[f, 8] / (GIVEN_BACK * _WALL), 0.0)
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
