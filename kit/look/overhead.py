"""What the coat mirrors straight up: even grey, two long panes, one soft light aside."""

from __future__ import annotations

import math
from typing import Any, NamedTuple

import numpy as np
from numba import prange

from kit.look.compiled import Grid, formula, inlined, loop
from kit.look.optics import fade, fresnel, slope_box
from kit.look.relief import Grit, add_waves, grains
from kit.look.strip import N

_F = np.float32
ACROSS, ALONG = (0.82, 0.57), (-0.57, 0.82)
"""Directions across and along the panes."""
ENDS = (0.05, -0.35)
PANES = ((0.135, 0.215), (0.025, 0.105))
"""Where the panes hang, as slopes that mirror their ends and their sides."""
KEY = (0.16, -0.18)
"""Slope of what mirrors the soft light."""
KEY_POWER = 0.361
"""Its irradiance over pi, such that flakes mirror it at the strength they have."""
MIRROR_STEP = 1.25 / 65_535
"""Light of one count of what the coat mirrors."""
LOWEST_M = 1.1
SOFT = 3e-6
"""Squared slope by which the panes' own edges are soft."""


class SheetFrame(NamedTuple):
    """A `sheet.Sheet` of which all or some rows are seen."""

    west_m: float
    north_m: float
    pixel_m: float
    width_px: int
    tall_px: int
    first_px: int


@loop
def fill_slopes(pixels: Grid, frame: SheetFrame, grit: Grit, out: Grid) -> None:
    """Fill `out` (strips, 4, N) with slopes at which the coat sees straight up.

    Slope across and along the panes, its variance in a pixel, and how far the coat is
    from mirroring the soft light, as a slope squared.

    The panes hang at a height in proportion to what is seen, but no lower than a hand
    could hold them; the coat has waves and maybe grains.
    """
    far = max(1.1 * frame.pixel_m * max(frame.width_px, frame.tall_px), LOWEST_M)
    west = -0.5 * frame.width_px * frame.pixel_m
    north = 0.5 * frame.tall_px * frame.pixel_m
    for strip in prange(len(out)):
        s = np.zeros((5, N))
        x, y, px, py, lost = s[0], s[1], s[2], s[3], s[4]
        count = min(N, len(pixels) - strip * N)
        for i in range(count):
            pixel = pixels[strip * N + i]
            row, col = pixel // frame.width_px, pixel % frame.width_px
            x[i] = frame.west_m + (col + 0.5) * frame.pixel_m
            y[i] = frame.north_m - (row + frame.first_px + 0.5) * frame.pixel_m
        lost[:] = add_waves(x, y, frame.pixel_m, px, py)
        if grit.per_m2 > 0.0:
            for i in range(count):
                gx, gy, more = grains(x[i], y[i], frame.pixel_m, grit)
                px[i] += gx
                py[i] += gy
                lost[i] += more
        for i in range(N):
            sx = (x[i] - frame.west_m + west) / far * 0.5 + px[i]
            sy = (y[i] - frame.north_m + north) / far * 0.5 + py[i]
            out[strip, 0, i] = ACROSS[0] * sx + ACROSS[1] * sy
            out[strip, 1, i] = ALONG[0] * sx + ALONG[1] * sy
            out[strip, 2, i] = lost[i]
            out[strip, 3, i] = (px[i] - KEY[0]) ** 2 + (py[i] - KEY[1]) ** 2


@loop
def mirrored(
    slopes: Grid, alpha: float, index: float, strength: float, out: Grid,
) -> None:  # fmt: skip
    """Fill `out` (strips, N) from slopes (strips, 4, N), the panes as strong as asked.

    It is uint16 and counts light in steps of `MIRROR_STEP`.
    """
    mirror = _F(fresnel(1.0, index))
    own = _F(alpha * alpha + SOFT)
    least = _F(0.09 * alpha * alpha + SOFT)
    panes, key = _F(1.6 * strength), _F(KEY_POWER / math.pi)
    for strip in prange(len(out)):
        _mirror(slopes[strip].reshape(4 * N), mirror, own, least, panes, key, out[strip])


@formula
def _mirror(
    slopes: Grid, mirror: Any, own: Any, least: Any, panes: Any, key: Any, out: Grid,
) -> None:  # fmt: skip
    for i in range(N):
        squared = max(own + _F(2.0) * slopes[2 * N + i], least)
        rough = np.sqrt(squared)
        fine = _F(1.0) / rough
        left, right = (slopes[i] - _F(ENDS[0])) * fine, (slopes[i] - _F(ENDS[1])) * fine
        v = slopes[N + i]
        seen = _side(right, v, fine) - _side(left, v, fine)
        haze = _F(1.0) - fade(_F(8.0) * rough)
        past = squared + slopes[3 * N + i]
        aside = key * squared / (past * past)
        light = mirror * (_F(0.04) + _F(0.62) * haze + panes * seen + aside)
        out[i] = np.uint16(min(light * _F(1.0 / MIRROR_STEP), _F(65_534.0)) + _F(0.5))


def panes_seen(across: float, along: float, rough: float) -> float:
    """Share of facets about a slope that mirror either pane, as the loop has it."""
    left, right = (across - ENDS[0]) / rough, (across - ENDS[1]) / rough
    return sum(
        slope_box(left, right, (along - far) / rough, (along - near) / rough)
        for near, far in PANES
    )


@inlined
def _side(u: Any, v: Any, fine: Any) -> Any:
    """Share of facets this side of u that mirror either pane."""
    (a, b), (c, d) = PANES
    near = _corner(u, (v - _F(a)) * fine) - _corner(u, (v - _F(b)) * fine)
    return near + _corner(u, (v - _F(c)) * fine) - _corner(u, (v - _F(d)) * fine)


@inlined
def _corner(p: Any, q: Any) -> Any:
    """`optics.slope_corner` in single precision, no branch."""
    a = _F(1.0) / np.sqrt(_F(1.0) + p * p)
    b = _F(1.0) / np.sqrt(_F(1.0) + q * q)
    return (p * a * _arctan(q * a) + q * b * _arctan(p * b)) * _F(0.15915494309189535)


@inlined
def _arctan(x: Any) -> Any:
    """`optics.arctan` in single precision, no branch."""
    y = abs(x)
    z = min(y, _F(1.0) / max(y, _F(1e-20)))
    z2 = z * z
    r = z * (
        _F(0.9998660) + z2 * (
            _F(-0.3302995) + z2 * (
                _F(0.1801410) + z2 * (_F(-0.0851330) + z2 * _F(0.0208351))))
    )  # fmt: skip
    r = _F(1.5707963267948966) - r if y > _F(1.0) else r
    return r if x >= _F(0.0) else -r
