"""Facets of a rough coat, drawn as the eye meets them: what fast formulas are held to."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from kit.look.optics import fresnel, ggx_g1, ggx_g2, ggx_visible_normal


def thrown(look, alpha, index, numbers) -> Iterator[tuple[np.ndarray, float]]:
    """Ray that each facet throws up off the coat, and the part of its light the eye gets.

    [Heitz2018]_ listing 1.

    Parameters
    ----------
    look : (3,) array
        Towards the eye, of length 1.
    numbers : (N, 2) array
        In [0, 1); a facet each.
    """
    for u, v in numbers:
        n = np.array(ggx_visible_normal(*look, alpha, u, v))
        ray = 2.0 * (look @ n) * n - look
        if ray[2] > 0.0:
            part = ggx_g2(look[2], ray[2], alpha) / ggx_g1(look[2], alpha)
            yield ray, part * fresnel(float(look @ n), index)
