"""What the coat mirrors straight up: even grey from all round and two long panes."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np
from numba import prange

from kit.look.compiled import Grid, formula, inlined, loop
from kit.look.grain import peel
from kit.look.optics import fade, fresnel
from kit.look.strip import N

_F = np.float32
_ACROSS, _ALONG = (0.82, 0.57), (-0.57, 0.82)
"""Directions across and along the panes."""


class SheetFrame(NamedTuple):
    """A `sheet.Sheet` of which all or some rows are seen."""

    west_m: float
    north_m: float
    pixel_m: float
    width_px: int
    tall_px: int
    first_px: int


@loop
def fill_slopes(pixels: Grid, frame: SheetFrame, out: Grid) -> None:
    """Fill `out` (3, N): slope across and along the panes, and its variance in a pixel.

    The panes hang at a height in proportion to the floor; the coat is wavy.
    """
    far = 1.1 * frame.pixel_m * max(frame.width_px, frame.tall_px)
    for k in prange(len(pixels)):
        row, col = pixels[k] // frame.width_px, pixels[k] % frame.width_px
        row += frame.first_px
        x = (col - 0.5 * frame.width_px) * frame.pixel_m
        y = (0.5 * frame.tall_px - row) * frame.pixel_m
        px, py, lost = peel(
            frame.west_m + (col + 0.5) * frame.pixel_m,
            frame.north_m - (row + 0.5) * frame.pixel_m,
            frame.pixel_m,
        )
        sx, sy = x / far * 0.5 + px, y / far * 0.5 + py
        out[0, k] = _ACROSS[0] * sx + _ACROSS[1] * sy
        out[1, k] = _ALONG[0] * sx + _ALONG[1] * sy
        out[2, k] = lost


@loop
def mirrored(
    slopes: Grid, alpha: float, index: float, texture_m: float, strength: float, out: Grid,
) -> None:  # fmt: skip
    """Fill `out` (strips, N) from slopes (strips, 3, N), the panes as strong as asked."""
    mirror = _F(fresnel(1.0, index))
    own = _F(alpha * alpha + 2.5e-5 + (texture_m * 300.0) ** 2)
    panes = _F(1.6 * strength)
    for strip in prange(len(out)):
        _mirror(slopes[strip].reshape(3 * N), mirror, own, panes, out[strip])


@formula
def _mirror(slopes: Grid, mirror: Any, own: Any, panes: Any, out: Grid) -> None:
    for i in range(N):
        rough = np.sqrt(own + _F(2.0) * slopes[2 * N + i])
        fine = _F(1.0) / rough
        left, right = (slopes[i] - _F(0.05)) * fine, (slopes[i] + _F(0.35)) * fine
        v = slopes[N + i]
        seen = _side(right, v, fine) - _side(left, v, fine)
        haze = _F(1.0) - fade(_F(8.0) * rough)
        out[i] = mirror * (_F(0.04) + _F(0.62) * haze + panes * seen)


@inlined
def _side(u: Any, v: Any, fine: Any) -> Any:
    """Share of facets this side of u that mirror either pane."""
    near = _corner(u, (v - _F(0.135)) * fine) - _corner(u, (v - _F(0.215)) * fine)
    return near + _corner(u, (v - _F(0.025)) * fine) - _corner(u, (v - _F(0.105)) * fine)


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
