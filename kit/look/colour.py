"""Colour for the eye: eight bands to sRGB, CIE XYZ and Lab, difference, contrast.

Arrays carry colour on the last axis. Linear RGB is that of sRGB, 1 for white.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

BANDS_TO_RGB = np.array(
    [
        [0.0370, 0.0190, -0.2065, -0.2588, 0.3174, 0.7296, 0.3197, 0.0425],
        [-0.0340, -0.0437, 0.1947, 0.5149, 0.3723, 0.0274, -0.0271, -0.0045],
        [0.2548, 0.6841, 0.1750, -0.0404, -0.0520, -0.0181, -0.0031, -0.0003],
    ]
)
"""Reflectance in eight bands to linear sRGB under D65, CIE 1931 observer (3, 8).

Colour matching functions times daylight summed over each band, white scaled to
(1, 1, 1); computed from the tables of [CIE15], checked in the tests.
"""

RGB_TO_XYZ = np.array(
    [
        [0.4124, 0.3576, 0.1805],
        [0.2126, 0.7152, 0.0722],
        [0.0193, 0.1192, 0.9505],
    ]
)
"""Four decimals as printed in [IEC61966]."""

D65_XY = (0.3127, 0.3290)


def white_xyz(x: float, y: float) -> Array:
    """XYZ of a white point from its chromaticity, Y = 1."""
    return np.array([x / y, 1.0, (1.0 - x - y) / y])


def srgb_decoded(shown: ArrayLike) -> Array:
    """Linear light from sRGB values in [0, 1], [IEC61966]."""
    v = np.asarray(shown, dtype=np.float64)
    return np.where(v <= 0.04045, v / 12.92, ((np.maximum(v, 0.0) + 0.055) / 1.055) ** 2.4)


def srgb_encoded(linear: ArrayLike) -> Array:
    """SRGB values from linear light in [0, 1], [IEC61966]."""
    v = np.asarray(linear, dtype=np.float64)
    return np.where(
        v <= 0.0031308, 12.92 * v, 1.055 * np.maximum(v, 0.0) ** (1.0 / 2.4) - 0.055
    )


def rgb_of_bands(reflectance: ArrayLike) -> Array:
    """Linear sRGB under daylight of (..., 8) reflectances; vivid ones leave [0, 1]."""
    rgb: Array = np.asarray(reflectance, dtype=np.float64) @ BANDS_TO_RGB.T
    return rgb


def luminance(linear_rgb: ArrayLike) -> Array:
    """CIE Y of linear sRGB, 1 for white."""
    y: Array = np.asarray(linear_rgb, dtype=np.float64) @ RGB_TO_XYZ[1]
    return y


def light_reflectance_value(reflectance: ArrayLike) -> Array:
    """Light reflectance value, CIE Y from 0 (black) to 100, of (..., 8) reflectances."""
    return 100.0 * luminance(rgb_of_bands(reflectance))


def lab(linear_rgb: ArrayLike) -> Array:
    """CIE L*a*b* under D65 of linear sRGB, [CIE15]."""
    xyz = np.asarray(linear_rgb, dtype=np.float64) @ RGB_TO_XYZ.T / white_xyz(*D65_XY)
    knee = 6.0 / 29.0
    f = np.where(xyz > knee**3, np.cbrt(xyz), xyz / (3.0 * knee**2) + 4.0 / 29.0)
    x, y, z = f[..., 0], f[..., 1], f[..., 2]
    return np.stack([116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z)], axis=-1)


def difference(lab_a: ArrayLike, lab_b: ArrayLike) -> Array:
    """Colour difference CIEDE2000 between two (..., 3) Lab arrays, [Sharma2005]."""
    l1, a1, b1 = np.moveaxis(np.asarray(lab_a, dtype=np.float64), -1, 0)
    l2, a2, b2 = np.moveaxis(np.asarray(lab_b, dtype=np.float64), -1, 0)
    mean_chroma7 = (0.5 * (np.hypot(a1, b1) + np.hypot(a2, b2))) ** 7
    stretch = 1.5 - 0.5 * np.sqrt(mean_chroma7 / (mean_chroma7 + 25.0**7))
    c1, c2 = np.hypot(stretch * a1, b1), np.hypot(stretch * a2, b2)
    h1 = np.degrees(np.arctan2(b1, stretch * a1)) % 360.0
    h2 = np.degrees(np.arctan2(b2, stretch * a2)) % 360.0
    turn = (h2 - h1 + 180.0) % 360.0 - 180.0
    turn = np.where((turn == -180.0) & (h2 > h1), 180.0, turn)
    colourless = c1 * c2 == 0.0
    turn = np.where(colourless, 0.0, turn)
    mean_h = np.where(colourless, h1 + h2, (h1 + 0.5 * turn) % 360.0)
    return _weighted(l1, l2, c1, c2, turn, mean_h)


def _weighted(
    l1: Array, l2: Array, c1: Array, c2: Array, turn: Array, mean_h: Array
) -> Array:
    """Weigh lightness, chroma and hue and join them, [Sharma2005] eqs 15 to 22."""
    mean_l, mean_c = 0.5 * (l1 + l2), 0.5 * (c1 + c2)
    hue = np.radians(mean_h)
    t = (
        1.0
        - 0.17 * np.cos(hue - np.radians(30.0))
        + 0.24 * np.cos(2.0 * hue)
        + 0.32 * np.cos(3.0 * hue + np.radians(6.0))
        - 0.20 * np.cos(4.0 * hue - np.radians(63.0))
    )
    s_l = 1.0 + 0.015 * (mean_l - 50.0) ** 2 / np.sqrt(20.0 + (mean_l - 50.0) ** 2)
    s_c = 1.0 + 0.045 * mean_c
    s_h = 1.0 + 0.015 * mean_c * t
    swing = np.radians(30.0) * np.exp(-(((mean_h - 275.0) / 25.0) ** 2))
    r_t = -2.0 * np.sqrt(mean_c**7 / (mean_c**7 + 25.0**7)) * np.sin(2.0 * swing)
    d_l, d_c = (l2 - l1) / s_l, (c2 - c1) / s_c
    d_h = 2.0 * np.sqrt(c1 * c2) * np.sin(np.radians(0.5 * turn)) / s_h
    return np.asarray(np.sqrt(np.maximum(d_l**2 + d_c**2 + d_h**2 + r_t * d_c * d_h, 0.0)))


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two ``#rrggbb`` colours, 1 to 21, [WCAG22].

    >>> round(contrast("#777777", "#ffffff"), 4)
    4.4781
    """
    light, dark = sorted((_hex_luminance(one), _hex_luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def _hex_luminance(colour: str) -> float:
    text = colour.removeprefix("#")
    eight_bit = np.array([int(text[i : i + 2], 16) for i in (0, 2, 4)])
    return float(luminance(srgb_decoded(eight_bit / 255.0)))


def hex_of(linear_rgb: ArrayLike) -> str:
    """``#rrggbb`` of one linear sRGB colour, clipped to what a screen shows."""
    shown = srgb_encoded(np.clip(np.asarray(linear_rgb, dtype=np.float64), 0.0, 1.0))
    return "#" + "".join(f"{round(float(v) * 255):02x}" for v in shown)
