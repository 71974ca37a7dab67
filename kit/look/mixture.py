"""What the paint loop needs of a palette under a coat: four bands stand for eight.

Films of one palette differ little in kind, so the light in four bands tells
that in the other four. How each of the four weighs in red, green and blue is
fitted, a palette at a time, to films of every mix and thickness.
"""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from kit.look.colour import BANDS_TO_RGB
from kit.look.optics import fresnel_inside
from kit.look.paints import Paints

Array = NDArray[np.float32]
Exact = NDArray[np.float64]

MOST_OTHERS = 6
"""Pigments beside the last one that a strip has room for, an even number."""
VEIL_WEIGHT = 0.55
"""Scattering power of the floated veil against the poured film, per build."""
_BANDS = (1, 3, 4, 6)
_FILMS = 256
_THICKEST, _VEILS = 2.2, 1.8


class Mixture(NamedTuple):
    """A palette as the loop adds it up: the last colour, and how others differ.

    Parameters
    ----------
    pairs : int
        Pairs of other pigments, the last one maybe filled up with nothing.
    total, scattering : (4,) array
        K + S and S of the last pigment, in the four bands.
    more_total, more_scattering : (4, 6) array
        What each other pigment has more.
    ground : (4,) array
        Reflectance of the seal coat.
    to_rgb : (4, 3) array
        Weight of each band in linear sRGB.
    flakes : (6,) array
        Face, then flop colour of the last pigment.
    more_flakes : (6, 6) array
        What each other pigment (rows) has more.
    inside : float32
        Share of scattered light that the coat keeps in.
    """

    pairs: int
    total: Array
    scattering: Array
    more_total: Array
    more_scattering: Array
    ground: Array
    to_rgb: Array
    flakes: Array
    more_flakes: Array
    inside: np.float32


def mixture_of(paints: Paints, index: float) -> Mixture:
    """Prepare a palette for the loop, under a coat of this refractive index."""
    bands = list(_BANDS)
    inside = _inside(index)
    scattering = paints.scattering[:, bands]
    total = paints.absorption[:, bands] + scattering
    flakes = np.concatenate([paints.face, paints.flop], axis=1)
    return Mixture(
        pairs=pairs_of(paints.count),
        total=total[-1],
        scattering=scattering[-1],
        more_total=np.ascontiguousarray(_more(total).T),
        more_scattering=np.ascontiguousarray(_more(scattering).T),
        ground=paints.ground[bands],
        to_rgb=_weights(paints, inside),
        flakes=flakes[-1],
        more_flakes=_more(flakes),
        inside=np.float32(inside),
    )


def pairs_of(colours: int) -> int:
    """Pairs that the colours beside the last one make, at least one."""
    return max(1, colours // 2)


@lru_cache(maxsize=32)
def _inside(index: float) -> float:
    return float(fresnel_inside(index))


def _more(rows: Array) -> Array:
    """What every row but the last has more than it, filled up with zeros."""
    out = np.zeros((MOST_OTHERS, rows.shape[1]), dtype=np.float32)
    out[: len(rows) - 1] = rows[:-1] - rows[-1]
    return out


def _weights(paints: Paints, inside: float) -> Array:
    """Fit (4, 3) weights to the colour that all eight bands give, by least squares.

    Dark films count more, as to the eye. [Weight: one over the light squared]
    """
    shares, veiled, thick, veil = _films(paints.count)
    light = _laid(paints, shares, thick, paints.ground)
    light = _laid(paints, veiled, VEIL_WEIGHT * veil, light)
    light = light / (1.0 - inside * light)
    few = light[:, _BANDS]
    heeded = (few / (light.mean(axis=1, keepdims=True) + 0.02) ** 2).T
    wanted = heeded @ (light @ BANDS_TO_RGB.T)
    return np.asarray(np.linalg.solve(heeded @ few, wanted), dtype=np.float32)


def _laid(paints: Paints, shares: Exact, thick: Exact, ground: Exact | Array) -> Exact:
    """`optics.kubelka_munk` of films (N, P) in all bands at once, (N, 8)."""
    k, s = shares @ paints.absorption, shares @ paints.scattering
    a = 1.0 + k / s
    b = np.sqrt(np.maximum(a * a - 1.0, 1e-6))
    t = np.tanh(b * s * thick[:, None])
    return np.asarray((t * (1.0 - ground * a) + ground * b) / (t * (a - ground) + b))


@lru_cache(maxsize=8)
def _films(count: int) -> tuple[Exact, Exact, Exact, Exact]:
    """Films to fit to: mostly one colour with a little of others, any thickness."""
    chance = np.random.default_rng(8)
    shares, veiled = chance.dirichlet(np.full(count, 0.4), (2, _FILMS))
    return (
        shares,
        veiled,
        _THICKEST * chance.random(_FILMS) ** 2,
        chance.uniform(0.0, _VEILS, _FILMS),
    )
