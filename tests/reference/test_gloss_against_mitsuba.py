"""Gloss units against an independent renderer, its reflection summed over the meter."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest

from kit.look.optics import fresnel_polarised
from kit.look.sheen import alpha_of, gloss_of

pytestmark = pytest.mark.jit

# Geometry of ISO 2813:2014 and ASTM D523 table 1 at 60 degrees, from memory: source image
# 0.75 in plane by 2.5 across, receptor 4.4 by 11.7 degrees.
SLIT_DEG, RECEPTOR_DEG = (0.75, 2.5), (4.4, 11.7)


def direction(off_deg, aside_deg):
    off, aside = math.radians(off_deg), math.radians(aside_deg)
    return [
        math.sin(off) * math.cos(aside),
        math.sin(aside),
        math.cos(off) * math.cos(aside),
    ]


def meter(mi, alpha, index, receptor_places=40, slit_places=3):
    """Reading at 60 degrees by Gauss-Legendre quadrature over slit and receptor. [GU]"""
    coat = mi.load_dict({
        "type": "roughdielectric", "distribution": "ggx", "alpha": alpha,
        "int_ior": index, "ext_ior": 1.0,
    })  # fmt: skip
    context, at = mi.BSDFContext(), mi.SurfaceInteraction3f()
    slit = list(zip(*np.polynomial.legendre.leggauss(slit_places), strict=True))
    window = list(zip(*np.polynomial.legendre.leggauss(receptor_places), strict=True))
    flux = 0.0
    for (a, wa), (b, wb) in itertools.product(slit, slit):
        at.wi = direction(60 + a * SLIT_DEG[0] / 2, b * SLIT_DEG[1] / 2)
        for (u, wu), (v, wv) in itertools.product(window, window):
            aside = v * RECEPTOR_DEG[1] / 2
            x, y, z = direction(60 + u * RECEPTOR_DEG[0] / 2, aside)
            sent = coat.eval(context, at, [-x, y, z])[0]
            flux += wa * wb * wu * wv / 16 * sent * math.cos(math.radians(aside))
    flux *= math.radians(RECEPTOR_DEG[0]) * math.radians(RECEPTOR_DEG[1])
    return 100.0 * flux / np.mean(fresnel_polarised(0.5, 1.567))


@pytest.mark.parametrize("alpha", [0.02, 0.035, 0.06, 0.1, 0.18, 0.3])
@pytest.mark.parametrize("index", [1.5, 1.58])
def test_gloss_of_a_roughness_is_what_the_meter_reads(mi, alpha, index):
    assert gloss_of(alpha, index) == pytest.approx(meter(mi, alpha, index), abs=0.1)


@pytest.mark.parametrize("gloss", [6.0, 8.0, 35.0, 60.0])
def test_a_coat_made_for_a_reading_reads_it(mi, gloss):
    assert meter(mi, alpha_of(gloss, 1.5), 1.5) == pytest.approx(gloss, abs=0.1)
