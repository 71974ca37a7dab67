"""From light to screen: one curve on luminance, so that colours keep their hue."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
from numba import prange
from numpy.typing import NDArray

from kit.look.colour import srgb_encoded
from kit.look.compiled import Grid, loop

_FINE = (srgb_encoded((np.arange(4097) / 4096.0) ** 2) * 255.0).astype(np.float32)


def screen(light: NDArray[np.float32], exposure: float, power: float) -> NDArray[np.uint8]:
    """Turn linear light (H, W, 3) into eight-bit sRGB.

    Parameters
    ----------
    exposure : float
        Multiplies the light, > 0.
    power : float
        Contrast in the shadows, 1 for none.
    """
    out = np.empty(light.shape, dtype=np.uint8)
    _screen(light, exposure, power, _FINE, out)
    return out


@loop
def _screen(light: Grid, exposure: Any, power: Any, table: Grid, out: Grid) -> None:
    """Fill `out` (H, W, 3)."""
    height, width, _ = light.shape
    exposure, power = np.float32(exposure), np.float32(power)
    for row in prange(height):
        for col in range(width):
            r = max(light[row, col, 0] * exposure, np.float32(0.0))
            g = max(light[row, col, 1] * exposure, np.float32(0.0))
            b = max(light[row, col, 2] * exposure, np.float32(0.0))
            y = np.float32(0.2126) * r + np.float32(0.7152) * g + np.float32(0.0722) * b
            if y > 1e-7:
                t = np.float32(1.0 - math.exp(-(y**power)))
                scale = t / y
                r, g, b = r * scale, g * scale, b * scale
                over = max(r, g, b)
                if over > 1.0:  # too vivid for the screen: towards its grey
                    keep = (np.float32(1.0) - t) / (over - t)
                    r, g, b = t + (r - t) * keep, t + (g - t) * keep, t + (b - t) * keep
            for c in range(3):
                v = r if c == 0 else (g if c == 1 else b)
                v = min(max(v, np.float32(0.0)), np.float32(1.0))
                out[row, col, c] = np.uint8(table[int(math.sqrt(v) * 4096.0)] + 0.5)
