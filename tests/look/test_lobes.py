"""A rough coat as a mixture of soft mirrors, against the exact coat."""

from __future__ import annotations

import math

import numpy as np
import pytest

from kit.look.lobes import RISES, SPREADS, passed, shares, spots
from kit.look.optics import fresnel, ggx_g1, ggx_g2, ggx_visible_normal, slope_box

pytestmark = pytest.mark.jit

COATS = (0.002, 0.01, 0.043, 0.142, 0.2)


@pytest.mark.parametrize("alpha", COATS)
def test_shares_are_shares(alpha):
    assert shares(alpha).min() >= 0.0
    assert shares(alpha).sum() == pytest.approx(1.0, abs=1e-12)


@pytest.mark.parametrize("alpha", COATS)
def test_as_many_facets_lie_below_any_slope_as_in_the_exact_coat(alpha):
    """Walter 2007 eq. 35 the other way round: below slope m lie m^2 / (m^2 + alpha^2)."""
    slope = np.geomspace(0.3 * alpha, 30.0 * alpha, 60)[:, None]
    below = 1.0 - np.exp(-0.5 * (slope / SPREADS) ** 2)
    exact = slope[:, 0] ** 2 / (slope[:, 0] ** 2 + alpha**2)
    assert below @ shares(alpha) == pytest.approx(exact, abs=0.02)


@pytest.mark.parametrize("alpha", COATS)
def test_as_many_facets_lie_in_a_box_as_in_the_exact_coat(alpha):
    def below(x):
        return 0.5 * np.array([1.0 + math.erf(x / (math.sqrt(2.0) * s)) for s in SPREADS])

    for a, b, c, d in ((-1, 1, -1, 1), (0.5, 2, -1, 0.5), (2, 6, 1, 4)):
        each = (below(b * alpha) - below(a * alpha)) * (below(d * alpha) - below(c * alpha))
        assert each @ shares(alpha) == pytest.approx(slope_box(a, b, c, d), abs=0.012)


def test_rougher_coats_take_softer_mirrors():
    order = np.arange(len(SPREADS))
    means = [float(order @ shares(a)) for a in COATS]
    assert means == sorted(means)
    assert means[-1] > means[0] + 4


@pytest.mark.parametrize("part", [slice(None), slice(0, None, 4), slice(3, None, 4)])
def test_spots_spread_as_two_normals(part):
    some = spots()[part]
    assert some.mean(axis=0) == pytest.approx([0.0, 0.0], abs=0.35)
    assert some.std(axis=0) == pytest.approx([1.0, 1.0], abs=0.35)
    assert spots(256).std(axis=0) == pytest.approx([1.0, 1.0], abs=0.01)


@pytest.mark.parametrize("alpha", [0.002, 0.043, 0.142])
def test_what_a_coat_does_not_mirror_it_passes(alpha):
    """White furnace: mirrored by ray, drawn as the eye meets facets, and passed are one."""
    for rise in (0.25, 0.45, 0.75, 1.0):
        mirrored, rays = 0.0, 4000
        aside = math.sqrt(1.0 - rise * rise)
        for k in range(rays):
            u, v = (k + 0.5) / rays, (k * 0.6180339887) % 1.0
            nx, _, nz = ggx_visible_normal(aside, 0.0, rise, alpha, u, v)
            cos_h = aside * nx + rise * nz
            lz = 2.0 * cos_h * nz - rise
            if lz > 0.0:
                shown = ggx_g2(rise, lz, alpha) / ggx_g1(rise, alpha)
                mirrored += fresnel(cos_h, 1.5) * shown / rays
        through = passed(alpha, 1.5)[round(rise * RISES) - 1] * (1.0 - fresnel(rise, 1.5))
        assert mirrored + through == pytest.approx(1.0, abs=0.012)
