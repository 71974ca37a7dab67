"""What the coat mirrors straight up: even grey, two long panes, one soft light aside."""

from __future__ import annotations

import math
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from kit.lanes import room_for
from kit.look.compiled import Grid, formula, inlined, loop, prange
from kit.look.optics import fade, fresnel, slope_box
from kit.look.relief import Grit, add_waves, grains
from kit.look.strip import N

_F = np.float32
ACROSS, ALONG = (0.82, 0.57), (-0.57, 0.82)
"""Directions across and along the long panes."""
ENDS = (0.05, -0.35)
PANES = ((0.135, 0.215), (0.025, 0.105))
"""Where the panes hang, as slopes that mirror their ends and their sides."""
PANED_M = 1.7
"""Over views as wide as this the long panes have the strength they are told at. [m]"""
NEAR_M = 1.5
"""In views narrower than this a window is mirrored whole instead. [m]"""
_TILT = 0.21
"""Turn of that window in the picture. [radians]"""
_LIGHTS_ACROSS = ((-0.186, -0.138), (-0.130, -0.082))
_LIGHTS_ALONG = ((0.044, 0.098), (0.106, 0.160))
"""Where its four lights are, sash bars between, as slopes that mirror their sides."""
_WINDOW = 5.0
"""Strength of that window, as that of the panes is told."""
_CLEAR = 0.015
"""Roughness of a coat that leaves half of it: where it would be a smear, one takes the
picture from beside it."""
_CLEAR_PANES = 0.03
"""The same of the long panes."""
_SKY = 0.9
"""How much brighter the top of a light is than its foot, against its mean."""
KEY = (0.16, -0.18)
"""Slope of what mirrors the soft light."""
KEY_POWER = 0.361
"""Its irradiance over pi, such that flakes mirror it at the strength they have."""
MIRROR_STEP = 1.25 / 65_535
"""Light of one count of what the coat mirrors."""
LOWEST_M, LOWEST_WINDOW_M = 1.1, 0.55
SOFT = 4e-7
"""Squared slope by which the panes' own edges are soft."""


class SheetFrame(NamedTuple):
    """A `sheet.Sheet` of which all or some rows are seen."""

    west_m: float
    north_m: float
    pixel_m: float
    width_px: int
    tall_px: int
    first_px: int


class Hung(NamedTuple):
    """What bright things hang overhead.

    Parameters
    ----------
    across, along : (float, float)
        Their directions.
    lowest_m : float
        No lower than this. [m]
    boxes : (B, 6) float32 array
        Of each: slopes that mirror its ends across and along, each pair rising;
        strength; how much brighter its far end is than its near one.
    clear : float
        Roughness of a coat over which they have half their strength.
    is_whole : bool
        Whether what hangs is small enough to be mirrored whole, edges and all.
    """

    across: tuple[float, float]
    along: tuple[float, float]
    lowest_m: float
    boxes: NDArray[np.float32]
    clear: float = math.inf
    is_whole: bool = False

    def over(self, alpha: float) -> NDArray[np.float32]:
        """Boxes as strong as they are over a coat so rough, (B, 6)."""
        boxes = self.boxes.copy()
        boxes[:, 4] /= 1.0 + (alpha / self.clear) ** 2
        return boxes

    def edged(self, alpha: float, core: float, hazy: float) -> float:
        """Roughness that blurs the edges of what is mirrored whole; else `alpha`."""
        if not self.is_whole:
            return alpha
        return alpha * max(core, min(1.0, alpha / hazy))


def hung_over(wide_m: float) -> Hung:
    """Hang two long panes over a wide view, fading over a hall; a window over a near one.

    Parameters
    ----------
    wide_m : float
        Longer side of the view. [m]
    """
    if wide_m >= NEAR_M:
        return long_panes(PANED_M / wide_m)._replace(clear=_CLEAR_PANES)
    lights = [
        (*ends, *sides, _WINDOW * (1.0 + 0.5 * _SKY * (top - 0.5)), _SKY)
        for ends in _LIGHTS_ACROSS
        for top, sides in enumerate(_LIGHTS_ALONG)
    ]
    cos, sin = math.cos(_TILT), math.sin(_TILT)
    boxes = np.array(lights, dtype=np.float32)
    return Hung((cos, sin), (-sin, cos), LOWEST_WINDOW_M, boxes, _CLEAR, is_whole=True)


def long_panes(strength: float) -> Hung:
    """Hang the two long panes."""
    boxes = [(ENDS[1], ENDS[0], *sides, strength, 0.0) for sides in PANES]
    return Hung(ACROSS, ALONG, LOWEST_M, np.array(boxes, dtype=np.float32))


@inlined
def middle_of(frame: SheetFrame, pixel: Any, per_row: Any) -> tuple[Any, Any]:
    """Where a pixel's middle lies, counted row after row. [m]

    Parameters
    ----------
    per_row : float
        One over the frame's width: a whole number is not divided by another in a vector.
    """
    row = np.floor((pixel + 0.5) * per_row)
    col = pixel - row * frame.width_px
    return (
        frame.west_m + (col + 0.5) * frame.pixel_m,
        frame.north_m - (row + frame.first_px + 0.5) * frame.pixel_m,
    )


@loop
def fill_slopes(
    pixels: Grid, frame: SheetFrame, grit: Grit, across: tuple[float, float],
    along: tuple[float, float], lowest_m: float, out: Grid,
) -> None:  # fmt: skip
    """Fill `out` (strips, 4, N) with slopes at which the coat sees straight up.

    Slope across and along what hangs there, its variance in a pixel, and how far the
    coat is from mirroring the soft light, as a slope squared.

    It hangs at a height in proportion to what is seen, but no lower than a hand
    could hold them; the coat has waves and maybe grains.
    """
    far = max(1.1 * frame.pixel_m * max(frame.width_px, frame.tall_px), lowest_m)
    left = _F(frame.west_m + 0.5 * frame.width_px * frame.pixel_m)
    top = _F(frame.north_m - 0.5 * frame.tall_px * frame.pixel_m)
    per_far = _F(0.5 / far)
    per_row = 1.0 / frame.width_px
    for strip in prange(len(out)):
        s = room_for(5 * N).reshape(5, N)
        x, y, px, py, lost = s[0], s[1], s[2], s[3], s[4]
        told, count = out[strip], min(N, len(pixels) - strip * N)
        for i in range(count):
            x[i], y[i] = middle_of(frame, pixels[strip * N + i], per_row)
        lost[:] = add_waves(x, y, frame.pixel_m, px, py)
        if grit.per_m2 > 0.0:
            for i in range(count):
                gx, gy, more = grains(x[i], y[i], frame.pixel_m, grit)
                px[i] += gx
                py[i] += gy
                lost[i] += more
        for i in range(N):
            sx = (x[i] - left) * per_far + px[i]
            sy = (y[i] - top) * per_far + py[i]
            told[0, i] = _F(across[0]) * sx + _F(across[1]) * sy
            told[1, i] = _F(along[0]) * sx + _F(along[1]) * sy
            told[2, i] = lost[i]
            key_x, key_y = px[i] - _F(KEY[0]), py[i] - _F(KEY[1])
            told[3, i] = key_x * key_x + key_y * key_y


@loop
def mirrored(
    slopes: Grid, alpha: float, index: float, boxes: Grid, keeps: float, out: Grid,
) -> None:  # fmt: skip
    """Fill `out` (strips, N) from slopes (strips, 4, N), under the boxes of a `Hung`.

    It is uint16 and counts light in steps of `MIRROR_STEP`.

    Parameters
    ----------
    keeps : float
        Part of the squared roughness that no relief a pixel resolves takes away.
    """
    mirror = _F(fresnel(1.0, index))
    own = _F(alpha * alpha + SOFT)
    least = _F(keeps * alpha * alpha + SOFT)
    key = _F(KEY_POWER / math.pi)
    for strip in prange(len(out)):
        _mirror(slopes[strip].reshape(4 * N), mirror, own, least, boxes, key, out[strip])


@formula
def _mirror(
    slopes: Grid, mirror: Any, own: Any, least: Any, boxes: Grid, key: Any, out: Grid,
) -> None:  # fmt: skip
    seen = room_for(N)
    for box in range(len(boxes)):
        a, b, c, d = boxes[box, 0], boxes[box, 1], boxes[box, 2], boxes[box, 3]
        strength, brighter = _F(1.6) * boxes[box, 4], boxes[box, 5]
        middle, long = _F(0.5) * (c + d), _F(1.0) / (d - c)
        for i in range(N):
            fine = _F(1.0) / np.sqrt(max(own + _F(2.0) * slopes[2 * N + i], least))
            left, right = (slopes[i] - b) * fine, (slopes[i] - a) * fine
            near, far = (slopes[N + i] - d) * fine, (slopes[N + i] - c) * fine
            part = _sides(left, right, near, far) + _sides(near, far, left, right)
            up = min(max((slopes[N + i] - middle) * long, _F(-0.5)), _F(0.5))
            seen[i] += strength * (_F(1.0) + brighter * up) * part
    for i in range(N):
        squared = max(own + _F(2.0) * slopes[2 * N + i], least)
        haze = _F(1.0) - fade(_F(8.0) * np.sqrt(squared))
        past = squared + slopes[3 * N + i]
        aside = key * squared / (past * past)
        light = mirror * (_F(0.04) + _F(0.62) * haze + seen[i] + aside)
        out[i] = np.uint16(min(light * _F(1.0 / MIRROR_STEP), _F(65_534.0)) + _F(0.5))


def panes_seen(across: float, along: float, rough: float) -> float:
    """Share of facets about a slope that mirror either pane, as the loop has it."""
    left, right = (across - ENDS[0]) / rough, (across - ENDS[1]) / rough
    return sum(
        slope_box(left, right, (along - far) / rough, (along - near) / rough)
        for near, far in PANES
    )


@inlined
def _sides(left: Any, right: Any, near: Any, far: Any) -> Any:
    """Half of the corners' sum in `optics.slope_box`: that of a box's two sides."""
    one = _F(1.0) / np.sqrt(_F(1.0) + left * left)
    other = _F(1.0) / np.sqrt(_F(1.0) + right * right)
    wide = right * other * _between(near * other, far * other)
    return (wide - left * one * _between(near * one, far * one)) * _F(0.15915494309189535)


@inlined
def _between(x: Any, y: Any) -> Any:
    """Arctangent of `y` less that of `x`, which is no more, by one division."""
    up, on = y - x, _F(1.0) + x * y
    steep = abs(on)
    z = min(up, steep) / max(up, steep, _F(1e-20))
    z2 = z * z
    r = z * (
        _F(0.9998660) + z2 * (
            _F(-0.3302995) + z2 * (
                _F(0.1801410) + z2 * (_F(-0.0851330) + z2 * _F(0.0208351))))
    )  # fmt: skip
    r = _F(1.5707963267948966) - r if up > steep else r
    return r if on >= _F(0.0) else _F(3.1415926535897932) - r
