"""The wear coat over a floor: what it mirrors, ready for any roughness."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from kit.lanes import room_for
from kit.look.aim import ray_at
from kit.look.compiled import Grid, formula, loop, prange
from kit.look.direct import globe_light, lamp_light
from kit.look.floorlight import brought
from kit.look.glow import Nodes, glowing, nodes_of
from kit.look.hidden import left_in_sight
from kit.look.kept import Short, light_again, light_short, strips_of
from kit.look.lights import Light
from kit.look.lobes import RISES, SHARP, passed, shares
from kit.look.mirror import Mirrored, mirrored_from, softened
from kit.look.optics import fresnel
from kit.look.room import Room
from kit.look.strip import CHUNK, N

Array = NDArray[np.float32]

_ROW = np.uintp(7 * N)
_LEAST = 2e-3
"""A mirror with less of a share is left out."""
_NO_GRAIN = np.empty(0, dtype=np.float32)


@dataclass(frozen=True, eq=False)
class Coat:
    """What coats mirror of a room at a floor's pixels: rays followed once, light kept.

    Sharp mirrors are worked out when the first coat asks for them.

    Parameters
    ----------
    camera : (9,) array
        From `camera.Camera.row`.
    pixels : (N,) int64 array
    cover : (N,) array
        Share of each pixel that is floor.
    """

    room: Room
    camera: NDArray[np.float64]
    pixels: NDArray[np.int64]
    cover: Array
    nodes: dict[float, Nodes] = field(default_factory=dict)
    soft: dict[tuple[float, bool], Array] = field(default_factory=dict)
    sharp: dict[tuple[float, bool], Short] = field(default_factory=dict)
    left: dict[bool, tuple[NDArray[np.int64], Array]] = field(default_factory=dict)

    def shows(self, alpha: float, index: float, light: Light, evening: bool,
              grain: Array = _NO_GRAIN) -> Short:  # fmt: skip
        """Mirror with this roughness.

        Parameters
        ----------
        grain : (N,) array, optional
            How unevenly a grained coat catches light, about one.

        Returns
        -------
        (strips, 7 * N) array
            Mirrored light that never and that ever touched the floor, then what the
            coat passes, see `lobes.passed`; kept short.
        """
        weights = shares(alpha).astype(np.float32)
        weights[weights < _LEAST] = 0.0
        weights /= weights.sum()
        nodes, soft = self._soft(index, light, evening)
        out = np.empty((strips_of(len(self.pixels)), 7 * N), dtype=np.uint16)
        caught = self._caught(weights[SHARP:], grain, light, evening)
        sharp = np.empty((len(out), 0), dtype=np.uint16)
        if weights[:SHARP].any():
            sharp = self._sharp(index, light, evening)
        _lay(
            self.pixels.astype(np.int32), int(self.camera[6]), nodes.across, nodes.top,
            nodes.step, weights[:SHARP], sharp, np.tensordot(weights[SHARP:], soft, axes=1),
            self.cover, caught, self._rise, passed(alpha, index).astype(np.float32), out,
        )  # fmt: skip
        return out

    def _left(self, light: Light, evening: bool) -> tuple[NDArray[np.int64], Array]:
        """Pixels near a foot, see `left_in_sight`; the grid is that of any index."""
        if evening not in self.left:
            nodes = next(iter(self.nodes.values()))
            self.left[evening] = left_in_sight(
                self.room, self.camera, self.pixels, nodes, light
            )
        return self.left[evening]

    def _caught(self, weights: Array, grain: Array, light: Light, evening: bool) -> Array:
        """Part of what nodes tell that each pixel gets, (N,), or none if all of it."""
        at, left = self._left(light, evening)
        if not len(at):
            return grain
        caught = grain.copy() if len(grain) else np.ones(len(self.pixels), np.float32)
        # not by the algebra library, whose threads spin for as long as a re-sheen takes
        part = weights / max(float(weights.sum()), 1e-6)
        caught[at] *= np.einsum("ij,j->i", left, part)
        return caught

    @cached_property
    def _rise(self) -> Array:
        """Sine of the look's elevation at the pixels."""
        rise = np.empty(len(self.pixels), dtype=np.float32)
        _rises(self.pixels, self.camera, rise)
        return rise

    @cached_property
    def _mirrored(self) -> Mirrored:
        return mirrored_from(self.room, self.camera, self.pixels, self.cover)

    def _soft(self, index: float, light: Light, evening: bool) -> tuple[Nodes, Array]:
        """Grid and (SOFT, M, 8) light; two columns more, so that a row is read at once."""
        if index not in self.nodes:
            self.nodes[index] = nodes_of(self.room, self.camera, index, self.pixels)
        nodes, key = self.nodes[index], (index, evening)
        if key not in self.soft:
            soft = glowing(
                nodes, self.room, self.camera, index, light.sides, light.colour, evening
            )
            self.soft[key] = np.pad(soft, ((0, 0), (0, 0), (0, 2)))
        return nodes, self.soft[key]

    def _sharp(self, index: float, light: Light, evening: bool) -> Short:
        """Light at the pixels, (strips, SHARP * 6 * N)."""
        key = (index, evening)
        if key not in self.sharp:
            width, height = self.camera[6:8].astype(int)
            picture = np.zeros((width * height, 6), dtype=np.float32)
            lamp, globe = lamp_light(evening), globe_light()
            hits = self._mirrored.hits
            brought(hits, self.room, light.sides, evening, 1.0, lamp, globe, picture)
            softer = softened(self._mirrored, self.camera, picture)
            out = np.zeros((strips_of(len(self.pixels)), SHARP * 6 * N), dtype=np.uint16)
            _reflect(self._rise, index, self.cover, softer, out)
            self.sharp[key] = out
        return self.sharp[key]


@loop
def _rises(pixels: Grid, camera: Grid, rise: Grid) -> None:
    """Fill `rise` (N,)."""
    width = int(camera[6])
    for i in prange(len(pixels)):
        _, _, up = ray_at(pixels[i] % width + 0.5, pixels[i] // width + 0.5, camera)
        rise[i] = max(-up, 1e-4)


@loop
def _reflect(rise: Grid, index: float, cover: Grid, light: Grid, out: Grid) -> None:
    """Fill `out` with light (SHARP, N, 6) by what coat and pixel show of it."""
    for i in prange(len(rise)):
        share = np.float32(cover[i] * fresnel(rise[i], index))
        for layer in range(len(light)):
            for c in range(6):
                out[i // N, (layer * 6 + c) * N + i % N] = light_short(
                    share * light[layer, i, c]
                )


@loop
def _lay(
    pixels: Grid, width: int, across: int, top: int, step: int, weights: Grid, sharp: Grid,
    soft: Grid, cover: Grid, grain: Grid, rise: Grid, through: Grid, out: Grid,
) -> None:  # fmt: skip
    """Fill `out` (strips, 7 * N) with mirrors by their weights, and what is passed."""
    per = np.float32(1.0 / step)
    for chunk in prange((len(out) + CHUNK - 1) // CHUNK):
        row = room_for(7 * N)
        light = np.empty(8, dtype=np.float32)
        for strip in range(chunk * CHUNK, min((chunk + 1) * CHUNK, len(out))):
            row[:] = 0.0
            if sharp.shape[1] > 0:
                _weigh_sharp(weights, sharp[strip], row)
            for i in range(min(N, len(pixels) - strip * N)):
                k = strip * N + i
                x = np.float32(pixels[k] % width) * per
                y = np.float32(pixels[k] // width - top) * per
                a, b = int(x), int(y)
                _between(soft, b * across + a, across, x - np.float32(a),
                         y - np.float32(b), light)  # fmt: skip
                share = cover[k]
                if len(grain) > 0:
                    share *= grain[k]
                for c in range(6):
                    row[c * N + i] += share * light[c]
                up = max(rise[k] * np.float32(RISES) - np.float32(1.0), np.float32(0.0))
                near = min(int(up), RISES - 2)
                row[6 * N + i] = through[near] + (up - np.float32(near)) * (
                    through[near + 1] - through[near]
                )
            for i in range(_ROW):
                out[strip, i] = light_short(row[i])


@formula
def _weigh_sharp(weights: Grid, sharp: Grid, row: Grid) -> None:
    """Add the mirrors worked out for every pixel."""
    for layer in range(len(weights)):
        weight = weights[layer]
        if weight > 0.0:
            first = np.uintp(layer * 6 * N)
            for i in range(np.uintp(6 * N)):
                row[i] += weight * light_again(sharp[first + i])


@formula
def _between(soft: Grid, first: int, across: int, p: Any, q: Any, light: Grid) -> None:
    """Blend the four nodes about a pixel."""
    near, one = np.uintp(first), np.uintp(1)
    far = np.uintp(first + across)
    for c in range(np.uintp(8)):
        low = soft[near, c] + p * (soft[near + one, c] - soft[near, c])
        high = soft[far, c] + p * (soft[far + one, c] - soft[far, c])
        light[c] = low + q * (high - low)
