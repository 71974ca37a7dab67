"""What is seen through the windows: a lake in a wooded valley, a maple by the house.

Out of focus, as the eye has it when it rests on the floor. Radiances are against a wall
in the room, linear sRGB.
"""

from __future__ import annotations

import math

from kit.look.compiled import Rgb, formula
from kit.look.skins import LOW_WINDOW_M, smooth, wave

_SHORE, _WATER = 0.285, 0.272
"""Heights, as parts of a window's, of the far bank's foot and of its likeness."""
_ABOVE_CELLAR = 0.335
"""Lowest that one sees out of a cellar, on that scale."""


@formula
def outside(u: float, v: float, wide: float, high: float, evening: bool) -> Rgb:
    """Radiance seen through a place of a window."""
    if high <= LOW_WINDOW_M:
        v = _ABOVE_CELLAR + (1.0 - _ABOVE_CELLAR) * v
    x = u * wide
    water = 1.0 - smooth(v, _WATER, _SHORE)
    # in the water the valley stands on its head, nearer to the shore and rippled
    seen = v
    if v < _SHORE:
        seen = _SHORE + 1.25 * (_SHORE - v) + 0.006 * wave(x * 3.0, v * 90.0, 21)
    r, g, b = _sky(x, seen, evening)
    r, g, b = _hills(x, seen, evening, r, g, b)
    if water > 0.0:
        near = smooth(_SHORE - v, 0.0, _SHORE)
        ripple = 1.0 + 0.10 * near * wave(x * 1.4, v * 55.0, 22)
        ripple += 0.05 * wave(x * 0.5, v * 26.0, 23)
        k = (0.62 + 0.16 * near) * ripple
        r, g, b = _over(r, g, b, water, 0.92 * k * r, 0.99 * k * g, 1.06 * k * b)
    leaf = _leaves(x, v, high)
    if evening:
        return _over(r, g, b, leaf, 0.0045, 0.0048, 0.0060)
    tone = 0.75 + 0.45 * wave(x * 11.0, v * high * 11.0, 54)
    return _over(r, g, b, leaf, 0.62 * tone, 0.95 * tone, 0.34 * tone)


@formula
def _sky(x: float, v: float, evening: bool) -> Rgb:
    """Sky with banks of cloud, lit from above by day and from below at dusk."""
    height = max(0.0, v - _SHORE) / (1.0 - _SHORE)
    billow = wave(x * 0.55 + 3.0, height * 3.0, 31) + 0.55 * wave(x * 1.3, height * 6.5, 32)
    billow += 0.28 * wave(x * 3.1, height * 14.0, 33)
    above = wave(x * 0.55 + 3.0, (height + 0.06) * 3.0, 31)
    above += 0.55 * wave(x * 1.3, (height + 0.06) * 6.5, 32)
    cloud = smooth(billow, -0.15, 0.60)
    lit = min(1.0, max(0.0, 0.5 + 0.9 * (billow - above)))
    if evening:
        glow = math.exp(-height * 4.6)
        r, g, b = 0.020 + 0.215 * glow, 0.034 + 0.092 * glow, 0.080 + 0.022 * glow
        warm = (1.0 - lit) * math.exp(-height * 2.0)
        return _over(
            r, g, b, 0.62 * cloud, 0.032 + 0.17 * warm, 0.034 + 0.060 * warm,
            0.058 + 0.034 * warm,
        )  # fmt: skip
    fall = smooth(height, 0.0, 1.0)
    r, g, b = 5.3 - 2.9 * fall, 5.3 - 2.0 * fall, 5.15 - 0.55 * fall
    return _over(r, g, b, 0.85 * cloud, 4.5 + 2.4 * lit, 4.4 + 2.15 * lit, 4.4 + 1.65 * lit)


@formula
def _hills(x: float, v: float, evening: bool, r: float, g: float, b: float) -> Rgb:
    """Three ridges, each nearer, darker and greener; a wood along the far bank."""
    far = 0.435 + 0.040 * math.sin(0.8 * x + 0.4) + 0.018 * math.sin(2.1 * x + 1.0)
    middle = 0.375 + 0.032 * math.sin(1.0 * x + 2.9) + 0.012 * wave(x * 1.7, 0.5, 45)
    near = 0.315 + 0.014 * math.sin(1.1 * x + 2.6) + 0.022 * wave(x * 2.4, 0.5, 41)
    near += 0.016 * abs(wave(x * 7.5, 0.5, 42)) + 0.010 * wave(x * 15.0, 0.5, 46)
    far_on = 1.0 - smooth(v, far - 0.014, far + 0.018)
    middle_on = 1.0 - smooth(v, middle - 0.010, middle + 0.012)
    near_on = 1.0 - smooth(v, near - 0.008, near + 0.009)
    leafy = 1.0 + 0.34 * wave(x * 7.0, v * 34.0, 43) + 0.20 * wave(x * 17.0, v * 80.0, 44)
    if evening:
        r, g, b = _over(r, g, b, far_on, 0.050, 0.042, 0.058)
        r, g, b = _over(r, g, b, middle_on, 0.024, 0.024, 0.036)
        return _over(r, g, b, near_on, 0.0075 * leafy, 0.0080 * leafy, 0.0105 * leafy)
    mist = smooth(far - v, 0.0, 0.10)
    r, g, b = _over(
        r, g, b, far_on, 1.75 + 0.9 * mist, 2.25 + 0.85 * mist, 2.75 + 0.7 * mist
    )
    mist = smooth(middle - v, 0.0, 0.07)
    r, g, b = _over(
        r, g, b, middle_on, 0.80 + 0.5 * mist, 1.15 + 0.55 * mist, 1.12 + 0.6 * mist
    )
    return _over(r, g, b, near_on, 0.27 * leafy, 0.42 * leafy, 0.22 * leafy)


@formula
def _leaves(x: float, v: float, high: float) -> float:
    """Cover of a branch that hangs into the upper corner of a window."""
    z = v * high
    hang = 0.95 - 0.95 * x - 1.5 * (1.0 - v)
    if hang < -1.0:
        return 0.0
    clumps = wave(x * 3.6, z * 4.2, 51) + 0.75 * wave(x * 8.5, z * 9.5, 52)
    clumps += 0.45 * wave(x * 19.0, z * 21.0, 53)
    return 0.94 * smooth(0.75 * clumps + 1.3 * hang, 0.15, 0.60)


@formula
def _over(
    r: float, g: float, b: float, share: float, red: float, green: float, blue: float,
) -> Rgb:  # fmt: skip
    """Lay a colour over another by its share."""
    return r + share * (red - r), g + share * (green - g), b + share * (blue - b)
