"""From light to screen: one curve on luminance, so that colours keep their hue."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from kit.lanes import room_for
from kit.look.colour import srgb_encoded
from kit.look.compiled import Grid, formula, inlined, loop, prange
from kit.look.strip import N

_STEPS = 16_384
CODES = np.floor(
    srgb_encoded(np.minimum((np.arange(_STEPS + 2) + 0.5) / _STEPS, 1.0)) * 255.0 + 0.5
).astype(np.uint8)
"""Eight-bit sRGB by linear light; a step is a fifth of a code where it is darkest.

White, at `_STEPS`, has room to be rounded up.
"""

_F = np.float32
_DARKEST = 1e-7


def screen(
    light: NDArray[np.float32], exposure: float, power: float, soft: float = 0.0
) -> NDArray[np.uint8]:
    """Turn linear light (H, W, 3) into eight-bit sRGB.

    Parameters
    ----------
    exposure : float
        Multiplies the light, > 0.
    power : float
        Contrast in the shadows, 1 for none.
    soft : float
        How early highlights are held back, 0 for not at all.
    """
    out = np.empty(light.shape, dtype=np.uint8)
    _screen(light.reshape(-1, 3), exposure, power, soft, CODES, out.reshape(-1))
    return out


@loop
def _screen(
    light: Grid, exposure: Any, power: Any, soft: Any, codes: Grid, out: Grid,
) -> None:  # fmt: skip
    """Fill `out` (K * 3,) from light (K, 3)."""
    for strip in prange((len(light) + N - 1) // N):
        s = room_for(3 * N)
        pixels = np.arange(N)
        first = strip * N
        count = min(N, len(light) - first)
        for c in range(3):
            for i in range(count):
                s[c * N + i] = light[first + i, c]
        expose(s, 0, exposure, power, soft)
        write_codes(s, 0, pixels, 0, count, codes, out[3 * first :])


@formula
def expose(s: Grid, at: int, exposure: Any, power: Any, soft: Any) -> None:
    """Turn linear light in three rows of a strip from `at` on into places in `CODES`.

    Luminance y, exposed, is held back to y / (1 + soft y) and becomes 1 - exp(-y^power);
    what is then too vivid for the screen moves towards its own grey.
    """
    exposure, above_one, soft = _F(exposure), _F(power) - _F(1.0), _F(soft)
    red, green, blue = at, at + N, at + 2 * N
    for i in range(N):
        r = max(s[red + i] * exposure, _F(0.0))
        g = max(s[green + i] * exposure, _F(0.0))
        b = max(s[blue + i] * exposure, _F(0.0))
        y = max(_F(0.2126) * r + _F(0.7152) * g + _F(0.0722) * b, _F(_DARKEST))
        held = y / (_F(1.0) + soft * y)
        e = grown(min(held * raised(held, above_one), _F(30.0)))
        scale = _F(_STEPS) * (e - _F(1.0)) / (e * y)
        t = scale * y
        r, g, b = r * scale, g * scale, b * scale
        over = max(r, g, b)
        keep = (_F(_STEPS) - t) / (over - t) if over > _F(_STEPS) else _F(1.0)
        s[red + i] = t + (r - t) * keep
        s[green + i] = t + (g - t) * keep
        s[blue + i] = t + (b - t) * keep


@formula
def write_codes(s: Grid, at: int, pixels: Grid, first: int, count: int, codes: Grid,
                out: Grid) -> None:  # fmt: skip
    """Write the screen's codes of `count` pixels into `out` (H * W * 3,)."""
    for i in range(count):
        # unsigned: numba would look for indices below zero
        to = np.uintp(3) * np.uintp(pixels[first + i])
        out[to] = codes[np.uintp(np.uint32(s[at + i]))]
        out[to + np.uintp(1)] = codes[np.uintp(np.uint32(s[at + N + i]))]
        out[to + np.uintp(2)] = codes[np.uintp(np.uint32(s[at + 2 * N + i]))]


@inlined
def raised(y: Any, power: Any) -> Any:
    """Give y to a power in float32 to 3e-4 of its value, y in 1e-7 to 1e4, no branch.

    Logarithm and exponential by two: the exponent's bits, and a polynomial fitted
    on one octave.
    """
    bits = _F(y).view(np.int32)
    octave = _F((bits >> np.int32(23)) - np.int32(127))
    m = np.int32((bits & np.int32(0x7FFFFF)) | np.int32(0x3F800000)).view(np.float32)
    log = octave + (
        _F(-2.1449507) + m * (_F(3.0294951) + m * (_F(-1.039267) + m * _F(0.15544726)))
    )
    x = log * power
    whole = np.floor(x)
    f = x - whole
    part = _F(0.99989677) + f * (_F(0.69639016) + f * (_F(0.22451668) + f * _F(0.07908576)))
    return (
        np.int32((np.int32(whole) + np.int32(127)) << np.int32(23)).view(np.float32) * part
    )


@inlined
def grown(x: Any) -> Any:
    """Grow like exp(x), x in [0, 30], in float32; its inverse is exp(-x) to 3e-5."""
    y = x * _F(0.125)
    p = _F(1.0) + y * (_F(1.0) + y * (_F(0.5) + y * (_F(0.1666667) + y * _F(0.0416667))))
    p = p * p
    p = p * p
    return p * p
