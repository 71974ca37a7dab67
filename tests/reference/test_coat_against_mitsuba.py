"""Formulas of the coat against those of an independent renderer."""

from __future__ import annotations

import math

import numpy as np
import pytest

from kit.look.optics import (
    fresnel,
    fresnel_inside,
    fresnel_outside,
    ggx_d,
    ggx_g1,
    ggx_g2,
)

pytestmark = pytest.mark.jit

COSINES = (0.03, 0.1, 0.3, 0.6, 0.9, 0.999)


@pytest.mark.parametrize("index", [1.46, 1.5, 1.567, 1.6, 1 / 1.5])
def test_fresnel_agrees(mi, index):
    for cos_in in COSINES:
        theirs = mi.fresnel(cos_in, index)[0]
        assert fresnel(cos_in, index) == pytest.approx(theirs, abs=2e-6)


@pytest.mark.parametrize("alpha", [0.005, 0.05, 0.14, 0.4])
def test_facets_and_their_shadows_agree(mi, alpha):
    facets = mi.MicrofacetDistribution(mi.MicrofacetType.GGX, alpha)
    for cos_h in COSINES:
        way = [math.sqrt(1 - cos_h**2), 0.0, cos_h]
        assert ggx_d(cos_h, alpha) == pytest.approx(facets.eval(way), rel=2e-3, abs=1e-12)
        assert ggx_g1(cos_h, alpha) == pytest.approx(
            facets.smith_g1(way, [0.0, 0.0, 1.0]), rel=2e-5
        )


@pytest.mark.parametrize("alpha", [0.05, 0.14, 0.3])
def test_facets_shade_and_hide_a_little_less_together_than_one_by_one(mi, alpha):
    """Height-correlated (Heitz 2014) lies between theirs, uncorrelated, and the lesser."""
    facets = mi.MicrofacetDistribution(mi.MicrofacetType.GGX, alpha)
    for a in COSINES:
        for b in COSINES:
            ways = [[math.sqrt(1 - c * c), 0.0, c] for c in (a, b)]
            one, other = (facets.smith_g1(w, [0.0, 0.0, 1.0]) for w in ways)
            both = ggx_g2(a, b, alpha)
            assert one * other - 1e-5 <= both <= min(one, other) + 1e-5


@pytest.mark.parametrize("alpha", [0.02, 0.1, 0.3])
@pytest.mark.parametrize(("to_eye", "to_light"), [(0.95, 0.9), (0.5, 0.5), (0.3, 0.45)])
def test_the_whole_mirrored_share_agrees(mi, alpha, to_eye, to_light):
    """D F G / 4 of ours against their rough dielectric, shadowing as it is in both."""
    coat = mi.load_dict({
        "type": "roughdielectric", "distribution": "ggx", "alpha": alpha,
        "int_ior": 1.5, "ext_ior": 1.0,
    })  # fmt: skip
    at = mi.SurfaceInteraction3f()
    eye = np.array([math.sqrt(1 - to_eye**2), 0.0, to_eye])
    light = np.array([-math.sqrt(1 - to_light**2), 0.0, to_light])
    at.wi = eye.tolist()
    theirs = coat.eval(mi.BSDFContext(), at, light.tolist())[0]
    half = (eye + light) / np.linalg.norm(eye + light)
    ours = fresnel(float(eye @ half), 1.5) * ggx_d(float(half[2]), alpha) / (4 * to_eye)
    apart = ggx_g1(to_eye, alpha) * ggx_g1(to_light, alpha)
    assert ours * apart == pytest.approx(theirs, rel=2e-3)
    assert ours * ggx_g2(to_eye, to_light, alpha) == pytest.approx(theirs, rel=0.06)


@pytest.mark.parametrize("index", [1.46, 1.5, 1.6])
def test_light_kept_in_and_out_agrees_with_the_refraction_of_an_even_sky(mi, index):
    """Hemispherical means of their Fresnel equations, by quadrature from both sides."""
    nodes, weights = np.polynomial.legendre.leggauss(400)
    c, w = 0.5 * (nodes + 1), 0.5 * weights
    for ours, eta in ((fresnel_outside(index), index), (fresnel_inside(index), 1 / index)):
        theirs = sum(
            2 * x * v * mi.fresnel(float(x), eta)[0] for x, v in zip(c, w, strict=True)
        )
        assert ours == pytest.approx(theirs, abs=6e-4)
