"""A rough coat as a mixture of softer and softer mirrors, so that its sheen is a weight.

What a mirror of one softness shows does not depend on the coat. A coat of any
roughness is then a weighted sum of a few pictures that are kept.
"""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from kit.look.compiled import Grid, formula
from kit.look.optics import fresnel, ggx_g2

Array = NDArray[np.float64]

SHARPEST = 0.001
SHARP, SOFT = 4, 6
"""Mirrors worked out for every pixel, and those worked out on a coarse grid."""
SPREADS = SHARPEST * 2.0 ** np.arange(SHARP + SOFT)
"""Facet slopes of each mirror, standard deviation along an axis. [rise over run]"""
ROUGHEST = 0.12
"""GGX roughness of the deepest shadows among facets: that of a matt coat."""
RISES = 64
SPOTS = 32
"""Facets of a soft mirror, shared out among four neighbours of the grid."""


def shares(alpha: float) -> Array:
    r"""Share of each mirror of `SPREADS` in a coat of GGX roughness `alpha`.

    Returns
    -------
    (SHARP + SOFT,) array
        Shares >= 0 that sum to one.

    Notes
    -----
    GGX slopes are a bivariate Student t with two degrees of freedom, scale
    :math:`\alpha^2/2` [Walter2007]_ eq. 33, and a Student t is a mixture of
    normals whose variance is :math:`\alpha^2/2E` with E exponential
    [Andrews1974]_. So the share of variances below v is
    :math:`\exp(-\alpha^2/2v)`; it is cut half-way, in logarithms, between
    neighbours. Within 2 % of the exact share of slopes below any bound.
    """
    variance = SPREADS**2
    cuts = np.exp(-0.5 * alpha * alpha / np.sqrt(variance[1:] * variance[:-1]))
    return np.diff(np.concatenate([[0.0], cuts, [1.0]]))


@formula
def sent_by(
    cos_h: float, vz: float, lz: float, hz: float, spread: float, index: float,
) -> float:  # fmt: skip
    """Light a facet sends to the eye, by its share among slopes.

    [Walter2007]_ eq. 20 over slopes: a piece of slopes is hz³ times as many facet
    directions, each 4 cos_h of mirrored ones. Shadows are those of the GGX coat that
    has most of its facets spread so, of coats that are laid.
    """
    masked = ggx_g2(vz, lz, min(1.4 * spread, ROUGHEST))
    return fresnel(cos_h, index) * masked * cos_h / (vz * hz)


def passed(alpha: float, index: float) -> Array:
    """What a rough coat passes of an even sky against a smooth one, by the look's rise.

    Returns
    -------
    (RISES,) array
        For looks whose sine of elevation is 1 / RISES to 1. What a coat does not
        mirror it passes, so that a white film under it is white in a white furnace.
    """
    smooth, mirrored = _mirrored(index)
    return (1.0 - shares(alpha) @ mirrored) / (1.0 - smooth)


@lru_cache(maxsize=8)
def _mirrored(index: float) -> tuple[Array, Array]:
    """Share of an even sky that a smooth coat and each of `SPREADS` mirror, by rise."""
    mirrored = np.empty((len(SPREADS), RISES))
    _mirror_sky(spots(256), SPREADS, index, mirrored)
    rises = (np.arange(RISES) + 1.0) / RISES
    return np.array([fresnel(float(r), index) for r in rises]), mirrored


@formula
def _mirror_sky(spots: Grid, spreads: Grid, index: float, out: Grid) -> None:
    """Fill `out` (SPREADS, RISES)."""
    for layer in range(len(spreads)):
        for k in range(out.shape[1]):
            vz = (k + 1.0) / out.shape[1]
            vx = math.sqrt(1.0 - vz * vz)
            total = 0.0
            for spot in spots:
                sx, sy = spreads[layer] * spot[0], spreads[layer] * spot[1]
                hz = 1.0 / math.sqrt(1.0 + sx * sx + sy * sy)
                cos_h = (vz - vx * sx) * hz
                lz = 2.0 * cos_h * hz - vz
                if lz > 1e-3 and cos_h > 0.0:
                    total += sent_by(cos_h, vz, lz, hz, spreads[layer], index)
            out[layer, k] = total / len(spots)


@lru_cache(maxsize=2)
def spots(count: int = SPOTS) -> Array:
    """Slopes (count, 2) spread as two standard normals, along four golden spirals.

    Every fourth slope is on the same spiral, [Vogel1979]_.
    """
    k = np.arange(count)
    radius = np.sqrt(-2.0 * np.log(1.0 - (k + 0.5) / count))
    radius *= math.sqrt(2.0 / float(np.mean(radius**2)))
    turn = k // 4 * math.pi * (3.0 - math.sqrt(5.0)) + k % 4 * 0.25 * math.pi
    return np.stack([radius * np.cos(turn), radius * np.sin(turn)], axis=1)
