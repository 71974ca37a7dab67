"""A little furniture, so that the eye can read the size of a room.

Each piece is made lying along a wall: x along it, y into the room, z up, its
middle on the origin. `Things.put` turns and moves it into place.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from kit.look.skins import ART, FOOT, FRONT, GLOBE, LEAF, PLAIN, SKIRTING_M, WOOD

Rgb = tuple[float, float, float]
Skin = tuple[int, float, float, float, float, float, float]

OAK: Rgb = (0.42, 0.27, 0.145)
WALNUT: Rgb = (0.175, 0.098, 0.055)
IRON: Rgb = (0.022, 0.022, 0.024)
SLATE: Rgb = (0.125, 0.165, 0.185)
CLAY: Rgb = (0.42, 0.215, 0.125)
CHALK: Rgb = (0.66, 0.64, 0.60)
LINEN: Rgb = (0.52, 0.475, 0.40)
RUST: Rgb = (0.30, 0.115, 0.055)
OPAL: Rgb = (0.80, 0.785, 0.75)
BRASS: Rgb = (0.30, 0.21, 0.10)
EARTH: Rgb = (0.040, 0.030, 0.022)
GLAZE: Rgb = (0.060, 0.078, 0.088)
STRAW: Rgb = (0.33, 0.27, 0.155)
UMBER: Rgb = (0.110, 0.062, 0.034)
DOOR_EDGE: Rgb = (0.40, 0.41, 0.395)

_UPRIGHT = (FRONT, LEAF)
"""Skins that only the two long sides of a box wear."""


@dataclass
class Things:
    """Solids and skins as they are collected; rows as in `trace.Solids`."""

    boxes: list[tuple[float, ...]] = field(default_factory=list)
    drums: list[tuple[float, ...]] = field(default_factory=list)
    box_skins: list[Skin] = field(default_factory=list)
    drum_skins: list[Skin] = field(default_factory=list)
    groups: list[tuple[float, ...]] = field(default_factory=list)
    globes: list[tuple[float, ...]] = field(default_factory=list)
    globe_skins: list[Skin] = field(default_factory=list)
    _at: tuple[float, float, float, float] = (0.0, 0.0, 1.0, 0.0)

    def put(self, make: Maker, x: float, y: float, along: tuple[float, float]) -> None:
        """Make a piece at (x, y), its x axis along a wall's direction."""
        marks = len(self.boxes), len(self.drums)
        self._at = (x, y, along[0], along[1])
        make(self)
        self._bound(marks)

    def _world(self, x: float, y: float) -> tuple[float, float]:
        ox, oy, c, s = self._at
        return ox + c * x - s * y, oy + s * x + c * y

    def box(self, middle: tuple[float, float, float], size: tuple[float, float, float],
            colour: Rgb, kind: int = PLAIN, own: float = 0.0,
            turn: float = 0.0) -> None:  # fmt: skip
        """Add a box by its middle and full size, turned about its upright by so much."""
        x, y = self._world(middle[0], middle[1])
        a, b, h = size
        c, s = math.cos(turn), math.sin(turn)
        _, _, ahead, aside = self._at
        turned = (c * ahead - s * aside, c * aside + s * ahead)
        self.boxes.append((x, y, middle[2], a / 2, b / 2, h / 2, *turned))
        for wide, high in ((b, h), (b, h), (a, h), (a, h), (a, b), (a, b)):
            skin = kind if kind not in _UPRIGHT or (wide, high) == (a, h) else PLAIN
            self.box_skins.append((skin, *colour, wide, high, own))

    def drum(self, at: tuple[float, float], radius: float, foot: float, top: float,
             colour: Rgb, kind: int = PLAIN, girth_kind: int = PLAIN) -> None:  # fmt: skip
        """Add an upright cylinder; its caps are of `kind`."""
        x, y = self._world(*at)
        self.drums.append((x, y, radius, foot, top))
        girth = 2 * math.pi * radius
        self.drum_skins.append((girth_kind, *colour, girth, top - foot, 0.0))
        for _ in range(2):
            self.drum_skins.append((kind, *colour, 2 * radius, 2 * radius, 3.0))

    def globe(self, at: tuple[float, float], height: float, radius: float) -> None:
        """Add a lamp's globe of opal glass."""
        x, y = self._world(*at)
        self.globes.append((x, y, height, radius))
        self.globe_skins.append((GLOBE, *OPAL, 2 * math.pi * radius, radius, 0.0))

    def _bound(self, marks: tuple[int, int]) -> None:
        """Close a group with the sphere that holds it."""
        corners: list[np.ndarray] = []
        for x, y, z, a, b, h, *_ in self.boxes[marks[0] :]:
            r = math.hypot(a, b)
            corners += [np.array([x + i * r, y + j * r, z + k * h])
                        for i in (-1, 1) for j in (-1, 1) for k in (-1, 1)]  # fmt: skip
        for x, y, r, foot, top in self.drums[marks[1] :]:
            corners += [np.array([x + i * r, y + j * r, z])
                        for i in (-1, 1) for j in (-1, 1) for z in (foot, top)]  # fmt: skip
        points = np.array(corners)
        centre = 0.5 * (points.min(axis=0) + points.max(axis=0))
        radius = float(np.linalg.norm(points - centre, axis=1).max()) + 1e-3
        self.groups.append((
            *centre, radius, marks[0], len(self.boxes), marks[1], len(self.drums),
        ))  # fmt: skip


Maker = Callable[[Things], None]


def sideboard(things: Things) -> None:
    """Long low cupboard on thin legs, with a bowl, a jar and books on it."""
    for x in (-0.76, 0.76):
        for y in (-0.15, 0.15):
            things.box((x, y, 0.075), (0.035, 0.035, 0.15), IRON)
    things.box((0.0, 0.0, 0.425), (1.70, 0.42, 0.55), SLATE, FRONT, 3.0)
    things.box((0.0, 0.0, 0.713), (1.74, 0.45, 0.026), OAK, WOOD, 4.0)
    things.drum((-0.52, 0.0), 0.085, 0.726, 0.98, CLAY)
    things.drum((-0.52, 0.0), 0.045, 0.98, 1.03, CLAY)
    things.drum((-0.27, 0.05), 0.065, 0.726, 0.84, CHALK)
    for k, (colour, high) in enumerate(
        ((LINEN, 0.23), (WALNUT, 0.21), (SLATE, 0.25), (CHALK, 0.20))
    ):
        things.box((0.46 + 0.046 * k, -0.02, 0.726 + high / 2), (0.04, 0.17, high), colour)


def table(things: Things) -> None:
    """Work table of oak on an iron frame, with a tray of pots."""
    things.box((0.0, 0.0, 0.735), (1.70, 0.78, 0.036), OAK, WOOD, 9.0)
    for x in (-0.77, 0.77):
        for y in (-0.32, 0.32):
            things.box((x, y, 0.358), (0.05, 0.05, 0.717), IRON)
        things.box((x, 0.0, 0.69), (0.05, 0.59, 0.05), IRON)
    things.box((0.45, -0.12, 0.762), (0.50, 0.30, 0.018), WALNUT, WOOD, 2.0)
    for x, r, top, colour in (
        (0.32, 0.055, 0.90, CHALK),
        (0.46, 0.07, 0.86, CLAY),
        (0.60, 0.05, 0.93, SLATE),
    ):
        things.drum((x, -0.12), r, 0.771, top, colour)


def stool(things: Things) -> None:
    """Round stool with a wooden seat."""
    things.drum((0.0, 0.0), 0.17, 0.43, 0.465, OAK, WOOD)
    for k in range(4):
        turn = math.pi / 4 + k * math.pi / 2
        things.box(
            (0.125 * math.cos(turn), 0.125 * math.sin(turn), 0.215),
            (0.026, 0.026, 0.43),
            IRON,
        )
    things.drum((0.0, 0.0), 0.125, 0.16, 0.172, IRON)


def rack(things: Things) -> None:
    """Tall open rack: oak boards in an iron frame, with jars, bowls and boxes."""
    for x in (-0.54, 0.54):
        for y in (-0.15, 0.15):
            things.box((x, y, 0.92), (0.028, 0.028, 1.84), IRON)
        for z in (0.16, 1.80):
            things.box((x, 0.0, z), (0.028, 0.30, 0.028), IRON)
    boards = (0.18, 0.62, 1.06, 1.48)
    for k, z in enumerate(boards):
        things.box((0.0, 0.0, z), (1.08, 0.34, 0.028), OAK, WOOD, 11.0 + k)
    for x, level, r, high, colour in (
        (-0.36, 1, 0.085, 0.21, CLAY), (-0.13, 1, 0.070, 0.26, CHALK),
        (0.34, 2, 0.10, 0.13, SLATE), (0.12, 2, 0.060, 0.24, LINEN),
        (-0.30, 3, 0.075, 0.17, CHALK), (-0.10, 3, 0.055, 0.12, RUST),
    ):  # fmt: skip
        things.drum(
            (x, 0.0), r, boards[level] + 0.014, boards[level] + 0.014 + high, colour
        )
    for x, level, size, colour in (
        (-0.30, 0, (0.36, 0.27, 0.24), LINEN), (0.16, 0, (0.40, 0.27, 0.30), SLATE),
        (0.28, 1, (0.34, 0.24, 0.20), WALNUT), (-0.26, 2, (0.30, 0.22, 0.16), OAK),
        (0.26, 3, (0.26, 0.20, 0.05), LINEN), (0.27, 3, (0.22, 0.18, 0.13), CLAY),
    ):  # fmt: skip
        things.box((x, 0.0, boards[level] + 0.014 + size[2] / 2), size, colour)


def bench(things: Things) -> None:
    """Low bench: a thick board on two trestles, a folded blanket at one end."""
    things.box((0.0, 0.0, 0.425), (1.48, 0.36, 0.05), WALNUT, WOOD, 6.0)
    for x in (-0.58, 0.58):
        things.box((x, 0.0, 0.20), (0.05, 0.30, 0.40), WALNUT, WOOD, 7.0)
    things.box((0.0, 0.0, 0.20), (1.16, 0.05, 0.06), WALNUT, WOOD, 8.0)
    things.box((-0.42, 0.0, 0.472), (0.42, 0.30, 0.044), RUST)
    things.box((-0.42, 0.0, 0.512), (0.40, 0.29, 0.036), LINEN)


def chair(things: Things) -> None:
    """Plain wooden chair, its back to the wall."""
    things.box((0.0, 0.015, 0.45), (0.43, 0.41, 0.022), OAK, WOOD, 14.0)
    for x in (-0.19, 0.19):
        things.box((x, 0.185, 0.22), (0.034, 0.034, 0.44), OAK, WOOD, 15.0)
        things.box((x, -0.195, 0.42), (0.034, 0.034, 0.84), OAK, WOOD, 16.0)
        things.box((x, 0.0, 0.416), (0.022, 0.35, 0.046), OAK, WOOD, 17.0)
    for z in (0.60, 0.70, 0.80):
        things.box((0.0, -0.195, z), (0.35, 0.016, 0.055), OAK, WOOD, 18.0)
    things.box((0.0, 0.185, 0.416), (0.35, 0.022, 0.046), OAK, WOOD, 19.0)


_GOLDEN = 2.39996
"""Golden angle, by which stems follow one another. [rad]"""
_RUSHES = 11


def rushes(things: Things) -> None:
    """Dried rushes in a tall vase."""
    foot = 0.44
    things.drum((0.0, 0.0), 0.085, 0.0, foot, GLAZE)
    things.drum((0.0, 0.0), 0.076, foot, foot + 0.001, EARTH)
    for k in range(_RUSHES):
        turn, out = k * _GOLDEN, 0.062 * math.sqrt((k + 0.5) / _RUSHES)
        at = (out * math.cos(turn), out * math.sin(turn))
        high = 1.30 - 0.085 * (k * 5 % _RUSHES) ** 0.8
        if k % 3 == 2:
            middle = (*at, 0.5 * (foot + high))
            things.box(middle, (0.017, 0.004, high - foot), STRAW, turn=turn)
            continue
        things.drum(at, 0.0055, foot, high, STRAW)
        things.drum(at, 0.0145, high - 0.21, high - 0.07, UMBER)


def door_leaf(wide_m: float, high_m: float, thick_m: float, foot_m: float) -> Maker:
    """Make an open door's leaf, its hinges at the lower end of x, levers on both faces."""
    x, top = wide_m / 2, foot_m + high_m
    face = thick_m / 2

    def make(things: Things) -> None:
        middle = (0.0, 0.0, foot_m + high_m / 2)
        things.box(middle, (wide_m, thick_m, high_m), DOOR_EDGE, LEAF)
        for side in (-1.0, 1.0):
            things.box((x - 0.055, side * (face + 0.004), 0.98), (0.042, 0.008, 0.16), IRON)
            things.box((x - 0.055, side * (face + 0.03), 1.004), (0.018, 0.05, 0.018), IRON)
            things.box((x - 0.105, side * (face + 0.048), 1.004), (0.125, 0.014, 0.018),
                       IRON)  # fmt: skip
        for z in (0.26, top - 0.24):
            things.drum((-x - 0.004, 0.0), 0.009, z - 0.05, z + 0.05, BRASS)

    return make


RING_M = 0.008
"""Thickness of the ring about a column's foot."""
GLOBE_M = 0.11
"""Radius of a lamp's globe."""


def floor_lamp(height_m: float) -> Maker:
    """Make a lamp that stands on the floor: heavy foot, thin stem, globe of opal glass.

    Parameters
    ----------
    height_m : float
        Of the globe's middle.
    """

    def make(things: Things) -> None:
        things.drum((0.0, 0.0), 0.13, 0.0, 0.022, IRON)
        things.drum((0.0, 0.0), 0.011, 0.022, height_m - 0.94 * GLOBE_M, BRASS)
        things.drum((0.0, 0.0), 0.026, height_m - 1.06 * GLOBE_M, height_m - 0.9 * GLOBE_M,
                    BRASS)  # fmt: skip
        things.globe((0.0, 0.0), height_m, GLOBE_M)

    return make


def window_board(wide_m: float, top_m: float) -> Maker:
    """Make the board under a window, its top at the sill."""

    def make(things: Things) -> None:
        size = (wide_m + 0.12, 0.07, 0.03)
        things.box((0.0, 0.034, top_m - 0.016), size, (0.80, 0.79, 0.77))

    return make


PRINT_M = (0.92, 0.68)
"""Width and height of a framed print."""


def framed_print(picture: int) -> Maker:
    """Make a flat frame with a print, its middle at eye height, see `skins.albedo`."""
    wide, high = PRINT_M

    def make(things: Things) -> None:
        things.box((0.0, 0.0, 1.52), (wide, 0.03, high), (0.05, 0.045, 0.04), PLAIN)
        things.box_skins[-3] = (ART, 0.5, 0.5, 0.5, wide, high, float(picture))

    return make


def counter(half_x: float, half_y: float, height_m: float, colour: Rgb) -> Maker:
    """Make a fixed island or square column of the plan, as wide as it is there."""

    def make(things: Things) -> None:
        top = 0.035 if height_m < 1.5 else 0.0
        body = height_m - top
        things.box((0.0, 0.0, body / 2), (2 * half_x, 2 * half_y, body), colour, FOOT)
        if top:
            things.box(
                (0.0, 0.0, height_m - top / 2),
                (2 * half_x, 2 * half_y, top),
                OAK,
                WOOD,
                5.0,
            )

    return make


def pillar(radius_m: float, height_m: float) -> Maker:
    """Make a round column of the plan; a ring runs about its foot as along walls."""

    def make(things: Things) -> None:
        things.drum((0.0, 0.0), radius_m, 0.0, height_m, CHALK)
        ring = radius_m + RING_M
        things.drum((0.0, 0.0), ring, 0.0, SKIRTING_M, CHALK, girth_kind=FOOT)

    return make
