"""The wear coat over a floor: what it mirrors in one mood, ready for any roughness."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numba import prange
from numpy.typing import NDArray

from kit.look.compiled import Grid, loop
from kit.look.direct import lamp_light
from kit.look.floorlight import brought
from kit.look.glow import Nodes, glowing, nodes_of
from kit.look.kept import in_strips
from kit.look.lights import Light
from kit.look.lobes import RISES, SHARP, passed, shares
from kit.look.mirror import Mirrored, mirrored_from, softened
from kit.look.optics import fresnel
from kit.look.room import Room
from kit.look.strip import N

Array = NDArray[np.float32]

_LEAST = 2e-4
"""A mirror with less of a share is left out."""


@dataclass(frozen=True, eq=False)
class Rays:
    """Rays off a floor of one index, for any light and roughness."""

    mirrored: Mirrored
    nodes: Nodes


@dataclass(frozen=True, eq=False)
class Coat:
    """What a coat of any roughness mirrors of one mood, by softness.

    Parameters
    ----------
    rise : (N,) array
        Sine of the look's elevation at the floor's pixels.
    sharp : (strips, SHARP * 6 * N) array
        At the floor's pixels, light that never and that ever touched the floor.
    soft : (SOFT, M, 6) array
        On the nodes' grid.
    """

    rise: Array
    sharp: Array
    soft: Array


def rays_off(
    room: Room, camera: NDArray[np.float64], index: float, pixels: NDArray[np.int64]
) -> Rays:
    """Follow the rays that a floor mirrors."""
    return Rays(mirrored_from(room, camera, pixels), nodes_of(room, camera, index, pixels))


def coat_of(rays: Rays, room: Room, camera: NDArray[np.float64], index: float,
            cover: Array, light: Light, evening: bool) -> Coat:  # fmt: skip
    """Light what the rays meet.

    Parameters
    ----------
    cover : (N,) array
        Share of each pixel that is floor.
    """
    pixels = rays.mirrored.pixels
    picture = np.zeros((int(camera[6] * camera[7]), 6), dtype=np.float32)
    lamp = lamp_light(evening)
    brought(rays.mirrored.hits, room, light.sides, evening, 1.0, lamp, picture)
    sharp = softened(rays.mirrored, camera, picture)
    rise = np.empty(len(pixels), dtype=np.float32)
    _reflect(pixels, camera, index, cover, rise, sharp)
    rows = in_strips(sharp.transpose(0, 2, 1).reshape(SHARP * 6, -1))
    soft = glowing(rays.nodes, room, camera, index, light.sides, light.colour, evening)
    return Coat(rise, rows.reshape(len(rows), -1), soft)


def mirrored_by(coat: Coat, rays: Rays, alpha: float, index: float, cover: Array,
                width: int, grain: Array) -> Array:  # fmt: skip
    """What a coat of this roughness mirrors at the floor's pixels and what it passes.

    Returns
    -------
    (strips, 7 * N) array
        Mirrored light, then `lobes.passed`.

    Parameters
    ----------
    grain : (N,) array
        How unevenly a grained coat catches light, about one; empty for none.
    """
    weights = shares(alpha).astype(np.float32)
    weights[weights < _LEAST] = 0.0
    weights /= weights.sum()
    soft = np.tensordot(weights[SHARP:], coat.soft, axes=1)
    out = np.zeros((len(coat.sharp), 7 * N), dtype=np.float32)
    _lay(
        rays.mirrored.pixels.astype(np.int32), width, rays.nodes.across, rays.nodes.top,
        rays.nodes.step,        weights[:SHARP], coat.sharp, soft, cover, grain, coat.rise,
        passed(alpha, index).astype(np.float32), out,
    )  # fmt: skip
    return out


@loop
def _reflect(
    pixels: Grid, camera: Grid, index: float, cover: Grid, rise: Grid, light: Grid,
) -> None:  # fmt: skip
    """Fill `rise`; multiply light (SHARP, N, 6) by what coat and pixel show of it."""
    width = int(camera[6])
    for i in prange(len(pixels)):
        across = (pixels[i] % width + 0.5 - 0.5 * camera[6]) * camera[5]
        up = (0.5 * camera[7] - pixels[i] // width - 0.5 - camera[8]) * camera[5]
        rise[i] = max(-up / math.sqrt(1.0 + across * across + up * up), 1e-4)
        share = np.float32(cover[i] * fresnel(rise[i], index))
        for layer in range(len(light)):
            for c in range(6):
                light[layer, i, c] *= share


@loop
def _lay(
    pixels: Grid, width: int, across: int, top: int, step: int, weights: Grid, sharp: Grid,
    soft: Grid, cover: Grid, grain: Grid, rise: Grid, through: Grid, out: Grid,
) -> None:  # fmt: skip
    """Fill `out` (strips, 7 * N) with mirrors by their weights, and what is passed."""
    per = np.float32(1.0 / step)
    for strip in prange(len(out)):
        row = out[strip]
        for layer in range(len(weights)):
            weight = weights[layer]
            if weight > 0.0:
                for i in range(6 * N):
                    row[i] += weight * sharp[strip, layer * 6 * N + i]
        for i in range(min(N, len(pixels) - strip * N)):
            k = strip * N + i
            x = np.float32(pixels[k] % width) * per
            y = np.float32(pixels[k] // width - top) * per
            a, b = int(x), int(y)
            p, q = x - np.float32(a), y - np.float32(b)
            first = b * across + a
            share = cover[k]
            if len(grain) > 0:
                share *= grain[k]
            for c in range(6):
                low = soft[first, c] + p * (soft[first + 1, c] - soft[first, c])
                high = soft[first + across, c]
                high += p * (soft[first + across + 1, c] - high)
                row[c * N + i] += share * (low + q * (high - low))
            up = max(rise[k] * np.float32(RISES) - np.float32(1.0), np.float32(0.0))
            near = min(int(up), RISES - 2)
            row[6 * N + i] = through[near] + (up - np.float32(near)) * (
                through[near + 1] - through[near]
            )
