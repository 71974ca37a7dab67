"""Paint a film: what its body and its flakes send back, before any light or coat is chosen.

One pass over the kept film turns shares and thickness into nine numbers a
place, linear sRGB: body (scattered light), flake faces and flake flops. Lights,
sheen and mood then only weigh them.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numba import prange
from numpy.typing import NDArray

from kit.look.colour import BANDS_TO_RGB
from kit.look.compiled import Grid, formula, loop
from kit.look.optics import fade, fresnel_inside
from kit.look.paints import Paints
from kit.pour.film import Film

Array = NDArray[np.float32]

FLAKE_SHARE = 0.62
"""Of the light that a fully covered film returns, the part that flakes mirror."""
VEIL_WEIGHT = 0.55
"""Scattering power of the floated veil against the poured film, per build."""

_TO_RGB = np.ascontiguousarray(BANDS_TO_RGB.T.astype(np.float32))
_ONE = np.float32(1.0)
_EVERY = np.zeros(0, dtype=np.bool_)


def painted(
    film: Film, paints: Paints, index: float, needed: NDArray[np.bool_] | None = None
) -> Array:
    """Body, face and flop colour of every place of a film.

    Parameters
    ----------
    film : Film
        Any shape of places.
    paints : Paints
        As many colours as the film has shares.
    index : float
        Of the coat on top: the denser it is the more light it keeps inside,
        which is why a coated floor is darker and fuller than its powder.
    needed : (N,) bool array, optional
        Places to paint; what is returned for others means nothing.

    Returns
    -------
    (N, 9) float32 array
        Linear sRGB of body, face, flop; in a white furnace body and face sum
        to at most 1.
    """
    places = film.thickness.size
    count = len(film.shares)
    out = np.empty((places, 9), dtype=np.float32)
    _paint(
        film.shares.reshape(count, places),
        film.thickness.reshape(places),
        film.veil_shares.reshape(count, places),
        film.veil.reshape(places),
        paints.absorption, paints.scattering, paints.face, paints.flop, paints.ground,
        _TO_RGB, float(fresnel_inside(index)), _EVERY if needed is None else needed, out,
    )  # fmt: skip
    return out


@loop
def _paint(
    shares: Grid, thickness: Grid, veil_shares: Grid, veil: Grid, k: Grid, s: Grid,
    face: Grid, flop: Grid, ground: Grid, to_rgb: Grid, inside: Any, needed: Grid,
    out: Grid,
) -> None:  # fmt: skip
    """Fill `out` (N, 9)."""
    block = 256
    places = thickness.size
    inside = np.float32(inside)
    for start in prange((places + block - 1) // block):
        k_mix = np.empty(8, dtype=np.float32)
        s_mix = np.empty(8, dtype=np.float32)
        light = np.empty(8, dtype=np.float32)
        for i in range(start * block, min(places, (start + 1) * block)):
            if len(needed) > 0 and not needed[i]:
                continue
            _mix(shares, i, k, s, k_mix, s_mix)
            for b in range(8):
                light[b] = _film(k_mix[b], s_mix[b], thickness[i], ground[b])
            _mix(veil_shares, i, k, s, k_mix, s_mix)
            thin = veil[i] * np.float32(VEIL_WEIGHT)
            for b in range(8):
                light[b] = _film(k_mix[b], s_mix[b], thin, light[b])
            low, high = flake_cover(thickness[i], veil[i])
            _body(light, (_ONE - low - high) * (_ONE - inside), inside, to_rgb, out[i])
            for c in range(3, 9):
                out[i, c] = 0.0
            for p in range(len(k)):
                weight = low * shares[p, i] + high * veil_shares[p, i]
                for c in range(3):
                    out[i, 3 + c] += weight * face[p, c]
                    out[i, 6 + c] += weight * flop[p, c]


@formula
def _body(light: Grid, weight: Any, inside: Any, to_rgb: Grid, out: Grid) -> None:
    """Write what the film scatters out of the coat, [Saunderson1942]_, as linear sRGB."""
    for c in range(3):
        out[c] = 0.0
    for b in range(8):
        r = weight * light[b] / (_ONE - inside * light[b])
        for c in range(3):
            out[c] += r * to_rgb[b, c]
    for c in range(3):
        out[c] = max(out[c], np.float32(0.0))


@formula
def _mix(shares: Grid, i: int, k: Grid, s: Grid, k_mix: Grid, s_mix: Grid) -> None:
    """Add K and S of the pigments by share: they lie mixed, [Kubelka1948]_."""
    for b in range(8):
        k_mix[b] = 0.0
        s_mix[b] = 0.0
    for p in range(len(k)):
        share = shares[p, i]
        for b in range(8):
            k_mix[b] += share * k[p, b]
            s_mix[b] += share * s[p, b]


@formula
def _film(k: Any, s: Any, thickness: Any, ground: Any) -> Any:
    """`optics.kubelka_munk` in float32 with `fade`, so that eight bands go abreast."""
    a = _ONE + k / s
    b = np.sqrt(max(a * a - _ONE, np.float32(1e-4)))
    e = fade(min(np.float32(2.0) * b * s * thickness, np.float32(60.0)))
    t = (_ONE - e) / (_ONE + e)
    return (t * (_ONE - ground * a) + ground * b) / (t * (a - ground) + b)


@formula
def flake_cover(thickness: Any, veil: Any) -> tuple[Any, Any]:
    """Share of light met by flakes of film and veil, together at most `FLAKE_SHARE`."""
    low = _ONE - fade(np.float32(1.5) * thickness * thickness)
    high = np.float32(0.55) * (_ONE - fade(np.float32(1.1) * veil))
    through = fade(np.float32(0.9) * veil)
    return np.float32(FLAKE_SHARE) * low * through, np.float32(FLAKE_SHARE) * high
