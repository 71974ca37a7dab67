"""What is seen through the windows: a meadow, a lake, a wood on the far bank, hills.

Out of focus, as the eye has it when it rests on the floor, and hazy: no edge is
sharper than a finger is wide. Radiances are against a wall in the room, linear sRGB.
"""

from __future__ import annotations

import math

from kit.look.compiled import Rgb, formula
from kit.look.skins import LOW_WINDOW_M, smooth, wave

_SHORE, _MEADOW = 0.285, 0.175
"""Heights, as parts of a window's, of the far bank's foot and of the near bank."""
_ABOVE_CELLAR = 0.335
"""Lowest that one sees out of a cellar, on that scale."""
_BLUR = 0.013
"""Half of the width over which edges far off run into each other, likewise."""
_TALL = 1.25
"""How much taller things stand in the water than on its bank."""


@formula
def outside(u: float, v: float, wide: float, high: float, evening: bool) -> Rgb:
    """Radiance seen through a place of a window."""
    if high <= LOW_WINDOW_M:
        v = _ABOVE_CELLAR + (1.0 - _ABOVE_CELLAR) * v
    x = u * wide
    r, g, b = _valley(x, v, 1.0, evening)
    water = 1.0 - smooth(v, _SHORE - _BLUR, _SHORE + 0.4 * _BLUR)
    if water > 0.0:
        # in the water the valley stands on its head, softer the nearer it lies
        near = smooth(_SHORE - v, 0.0, _SHORE - _MEADOW)
        below = _SHORE + _TALL * (_SHORE - min(v, _SHORE))
        wr, wg, wb = _valley(x, below, 1.0 + 1.5 * near, evening)
        k = 0.66 + 0.20 * near
        k *= (
            1.0
            + 0.05 * near * wave(x * 0.8, v * 46.0, 22)
            + 0.03 * wave(x * 0.4, v * 24.0, 23)
        )
        r, g, b = _over(r, g, b, water, 0.93 * k * wr, 0.99 * k * wg, 1.04 * k * wb)
    bank = _MEADOW + 0.020 * math.sin(0.9 * x + 4.0) + 0.012 * wave(x * 1.1, 0.5, 24)
    meadow = 1.0 - smooth(v, bank - 1.6 * _BLUR, bank + 1.6 * _BLUR)
    nearer = smooth(bank - v, 0.0, 0.20)
    tuft = 1.0 + 0.10 * wave(x * 4.0, v * 13.0, 25) + 0.10 * wave(x * 1.3, v * 5.0, 26)
    if evening:
        return _over(r, g, b, meadow, 0.011 * tuft, 0.012 * tuft, 0.014 * tuft)
    light = tuft * (1.0 - 0.30 * nearer)
    return _over(r, g, b, meadow, 1.02 * light, 1.22 * light, 0.62 * light)


@formula
def _valley(x: float, v: float, blur: float, evening: bool) -> Rgb:
    """Sky over hills over the wood on the bank, edges so many times as soft."""
    r, g, b = _sky(x, v, evening)
    soft = _BLUR * blur
    far = 0.445 + 0.038 * math.sin(0.7 * x + 0.4) + 0.016 * math.sin(1.9 * x + 1.0)
    middle = 0.385 + 0.026 * math.sin(0.9 * x + 2.9) + 0.014 * wave(x * 1.1, 0.5, 45)
    far_on = 1.0 - smooth(v, far - soft, far + soft)
    middle_on = 1.0 - smooth(v, middle - soft, middle + soft)
    # round crowns, a few of them tall
    crowns = 0.322 + 0.018 * math.sin(0.8 * x + 2.6) + 0.030 * wave(x * 1.1, 0.5, 41)
    crowns += 0.044 * abs(wave(x * 2.6, 0.5, 42)) + 0.022 * abs(wave(x * 6.2, 0.5, 46))
    wood = 1.0 - smooth(v, crowns - 0.9 * soft, crowns + 0.9 * soft)
    mist = smooth(far - v, 0.0, 0.11)
    if evening:
        r, g, b = _over(r, g, b, 0.92 * far_on, 0.056, 0.046, 0.064)
        r, g, b = _over(
            r, g, b, middle_on, 0.030 + 0.012 * mist, 0.029 + 0.010 * mist, 0.043
        )
        return _over(r, g, b, wood, 0.0095, 0.0100, 0.0140)
    r, g, b = _over(
        r, g, b, 0.85 * far_on, 2.35 + 0.9 * mist, 2.80 + 0.8 * mist, 3.20 + 0.6 * mist
    )
    mist = smooth(middle - v, 0.0, 0.08)
    r, g, b = _over(
        r, g, b, 0.95 * middle_on, 1.32 + 0.7 * mist, 1.62 + 0.7 * mist, 1.62 + 0.7 * mist
    )
    depth = smooth(crowns - v, 0.0, 0.10)
    leafy = 1.0 + 0.26 * wave(x * 3.6, v * 17.0, 43) + 0.16 * wave(x * 7.5, v * 34.0, 44)
    leafy *= 1.0 - 0.34 * depth
    return _over(r, g, b, wood, 0.66 * leafy, 0.84 * leafy, 0.56 * leafy)


@formula
def _sky(x: float, v: float, evening: bool) -> Rgb:
    """Sky, pale over the hills and deeper above, with thin cloud that has no edge."""
    height = max(0.0, v - _SHORE) / (1.0 - _SHORE)
    billow = wave(x * 0.42 + 3.0, height * 2.1, 31) + 0.5 * wave(x * 0.95, height * 4.6, 32)
    billow += 0.22 * wave(x * 2.0, height * 9.0, 33)
    cloud = smooth(billow, -0.55, 1.15)
    if evening:
        glow = math.exp(-height * 3.4)
        r, g, b = 0.022 + 0.230 * glow, 0.037 + 0.108 * glow, 0.086 + 0.034 * glow
        warm = math.exp(-height * 1.8)
        return _over(
            r,
            g,
            b,
            0.5 * cloud,
            0.036 + 0.15 * warm,
            0.037 + 0.062 * warm,
            0.062 + 0.040 * warm,
        )
    fall = smooth(height, -0.15, 1.0)
    r, g, b = 5.5 - 2.7 * fall, 5.5 - 1.8 * fall, 5.35 - 0.45 * fall
    return _over(r, g, b, 0.8 * cloud, 5.9, 5.8, 5.6)


@formula
def _over(
    r: float, g: float, b: float, share: float, red: float, green: float, blue: float,
) -> Rgb:  # fmt: skip
    """Lay a colour over another by its share."""
    return r + share * (red - r), g + share * (green - g), b + share * (blue - b)
