"""Curved walls: an arc over the chord from one corner to the next.

A wall bows to the left or to the right of whoever walks it, by a rise, how far its
middle stands off the chord, or on a radius. Surfaces are cut along straight steps; these
stay within a millimetre of the arc and enclose exactly the area that the arc does.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import Literal

from kit.errors import SheetError
from kit.site.sizes import LONGEST_WALL_M, SHORTEST_WALL_M, Corner, checked_length
from kit.units import feet_inches

Side = Literal["left", "right"]

STRAIGHT_WITHIN_M = 0.001
"""How far the straight steps of a curved wall may stray from it: one millimetre."""

HIGHEST = 2.0
"""Rise over chord that no wall passes: five sixths of a circle."""

_BOW = re.compile(
    r"(?P<chord>.+?)\s+(?P<by>rise|radius)\s+(?P<much>.+?)\s+(?P<side>left|right)\s*",
    re.IGNORECASE,
)
_FORMS = 'a bow such as "rise 2\' left" or "radius 10\' right"'


@dataclass(frozen=True)
class Bow:
    """How a wall is curved over its chord.

    Parameters
    ----------
    chord_m : float
        From corner to corner. [m]
    rise_m : float
        How far the middle of the arc stands off the chord, > 0 to the left of the walk,
        < 0 to its right; more than half the chord makes more than half a circle. [m]

    Notes
    -----
    With chord c and rise h the radius is ``c²/8h + h/2``, the arc turns by
    ``θ = 4 atan(2h/c)`` and cuts off ``R²/2 (θ − sin θ)``.

    Examples
    --------
    A chord of 12 with a rise of 2 lies on a circle of 10:

    >>> bow = Bow(12.0, 2.0)
    >>> bow.radius_m, round(bow.length_m, 6), round(bow.segment_m2, 6)
    (10.0, 12.870022, 16.350111)
    """

    chord_m: float
    rise_m: float

    @property
    def radius_m(self) -> float:
        """Radius of the circle. [m]"""
        high = abs(self.rise_m)
        return self.chord_m**2 / (8.0 * high) + high / 2.0

    @property
    def turn(self) -> float:
        """Angle that the arc spans, in (0, 2π). [rad]"""
        return 4.0 * math.atan2(2.0 * abs(self.rise_m), self.chord_m)

    @property
    def length_m(self) -> float:
        """Length along the arc. [m]"""
        return self.radius_m * self.turn

    @property
    def segment_m2(self) -> float:
        """Area between arc and chord. [m²]"""
        return self.radius_m**2 / 2.0 * (self.turn - math.sin(self.turn))

    def steps(self) -> int:
        """Count the straight steps that stay within `STRAIGHT_WITHIN_M` of the arc."""
        half_step = math.acos(max(1.0 - STRAIGHT_WITHIN_M / (2.0 * self.radius_m), 0.0))
        return max(2, math.ceil(self.turn / (2.0 * half_step)))


def along(bow: Bow, start_m: Corner, end_m: Corner) -> tuple[Corner, ...]:
    """Corners of the straight steps of an arc, its two ends left out. [m]

    The inner corners lie on a circle larger by a hair, chosen so that the steps enclose
    exactly the area of the arc: with n steps of angle δ and k the ratio of the circles,
    ``sin δ ((n − 2) k² + 2 k) = n δ``.
    """
    count = bow.steps()
    step = bow.turn / count
    wanted = count * step / math.sin(step)
    if count == 2:
        ratio = wanted / 2.0
    else:
        ratio = (math.sqrt(1.0 + (count - 2) * wanted) - 1.0) / (count - 2)
    to_left = math.copysign(1.0, bow.rise_m)
    (x0, y0), (x1, y1) = start_m, end_m
    chord_m = math.dist(start_m, end_m)
    left = -(y1 - y0) / chord_m * to_left, (x1 - x0) / chord_m * to_left
    back_m = bow.radius_m - abs(bow.rise_m)
    centre = (
        (x0 + x1) / 2.0 - left[0] * back_m,
        (y0 + y1) / 2.0 - left[1] * back_m,
    )
    corners = []
    for number in range(1, count):
        # a bow to the left is walked clockwise round its centre
        angle = -to_left * number * step
        cos, sin = math.cos(angle) * ratio, math.sin(angle) * ratio
        east, north = x0 - centre[0], y0 - centre[1]
        corners.append(
            (centre[0] + cos * east - sin * north, centre[1] + sin * east + cos * north)
        )
    return tuple(corners)


def split_bow(run: str, *, about: str) -> tuple[str, str]:
    """Split the length of a wall from the words of its bow; these may be none.

    >>> split_bow("12' rise 2' left", about="wall 1")
    ("12'", "rise 2' left")
    """
    words = run.split()
    if not any(word.lower() in ("rise", "radius", "left", "right") for word in words):
        return run, ""
    match = _BOW.fullmatch(run)
    if match is None:
        raise SheetError(about, found=run, expected=f"a length, then {_FORMS}")
    return match["chord"], f"{match['by']} {match['much']} {match['side']}".lower()


def read_bow(words: str, chord_m: float, *, about: str) -> Bow:
    """Read how a wall of that chord is curved.

    Raises
    ------
    SheetError
        If it cannot be read, the rise is absurd, or the circle is too small for the chord.

    Examples
    --------
    >>> read_bow("radius 10' right", 3.6576, about="wall 1").rise_m
    -0.6096
    """
    match = _BOW.fullmatch(f"- {words}")
    if match is None:
        raise SheetError(about, found=words, expected=_FORMS)
    by, side = match["by"].lower(), match["side"].lower()
    if by == "rise":
        rise_m = checked_length(
            match["much"], about=f"{about}, rise", least_m=0.001, most_m=LONGEST_WALL_M
        )
    else:
        rise_m = _rise_m(match["much"], chord_m, about=f"{about}, radius")
    if rise_m > HIGHEST * chord_m:
        raise SheetError(
            f"{about}, {by}",
            found=match["much"],
            expected=f"a rise of at most {feet_inches(HIGHEST * chord_m)} over that wall",
        )
    bow = Bow(chord_m, rise_m if side == "left" else -rise_m)
    if bow.length_m > LONGEST_WALL_M:
        raise SheetError(
            about,
            found=f"an arc of {feet_inches(bow.length_m)}",
            expected=f"one up to {feet_inches(LONGEST_WALL_M)}",
        )
    return bow


def _rise_m(text: str, chord_m: float, *, about: str) -> float:
    """Rise of the shorter arc of that radius over a chord. [m]"""
    radius_m = checked_length(text, about=about, least_m=SHORTEST_WALL_M, most_m=1e4)
    # half a circle stands on its diameter; the tape may miss by a hair
    if radius_m < chord_m / 2.0 - 1e-6:
        raise SheetError(
            about,
            found=text,
            expected=f"half the chord of {feet_inches(chord_m)} at least",
        )
    back_m = math.sqrt(max(radius_m**2 - chord_m**2 / 4.0, 0.0))
    return round(chord_m**2 / 4.0 / (radius_m + back_m), 9)
