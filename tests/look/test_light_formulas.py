"""Fresnel, microfacets and Kubelka-Munk against published and independent numbers."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import dblquad, quad

from kit.look.direct import COAT_INDEX, EVEN_SKY
from kit.look.optics import (
    arctan,
    fade,
    fresnel,
    fresnel_inside,
    fresnel_outside,
    fresnel_polarised,
    ggx_d,
    ggx_g1,
    ggx_g2,
    ggx_visible_normal,
    kubelka_munk,
    masstone,
    slope_box,
    slope_corner,
)

pytestmark = pytest.mark.jit

# Fresnel's equations with Snell's law (Born & Wolf, Principles of Optics, 7th ed., 1.5.2),
# worked out independently of this package: index, degrees, Rs, Rp, mean.
FRESNEL = [
    (1.567, 0, 0.0487881534, 0.0487881534, 0.0487881534),
    (1.567, 20, 0.0570158458, 0.0411403561, 0.0490781010),
    (1.567, 60, 0.1991594908, 0.0009525735, 0.1000560322),
    (1.567, 85, 0.7492231399, 0.4890732836, 0.6191482118),
    (1.5, 0, 0.0400000000, 0.0400000000, 0.0400000000),
    (1.5, 20, 0.0470809334, 0.0334515240, 0.0402662287),
    (1.5, 60, 0.1765714881, 0.0018019375, 0.0891867128),
    (1.5, 85, 0.7323454787, 0.4932538118, 0.6127996453),
    (1.46, 0, 0.0349659594, 0.0349659594, 0.0349659594),
    (1.46, 20, 0.0413452041, 0.0290853809, 0.0352152927),
    (1.46, 60, 0.1625161279, 0.0023920573, 0.0824540928),
    (1.46, 85, 0.7208246200, 0.4948959593, 0.6078602896),
]


@pytest.mark.parametrize(("index", "degrees", "s", "p", "mean"), FRESNEL)
def test_fresnel_matches_fresnels_equations(index, degrees, s, p, mean):
    cos_in = math.cos(math.radians(degrees))
    assert fresnel_polarised(cos_in, index) == pytest.approx((s, p), abs=1e-6)
    assert fresnel(cos_in, index) == pytest.approx(mean, abs=1e-9)


# Schlick (1994): F0 + (1 - F0)(1 - cos)^5 gives these for index 1.567; it must not be used.
@pytest.mark.parametrize(("degrees", "schlick"), [(60, 0.0785135236), (85, 0.6517095398)])
def test_fresnel_is_not_schlicks_fit(degrees, schlick):
    assert abs(fresnel(math.cos(math.radians(degrees)), 1.567) - schlick) > 0.02


# Brewster's angle atan(n) and the critical angle asin(1/n).
@pytest.mark.parametrize(("index", "brewster"), [(1.5, 56.309932), (1.567, 57.455524)])
def test_nothing_polarised_in_plane_comes_back_at_brewsters_angle(index, brewster):
    assert fresnel_polarised(math.cos(math.radians(brewster)), index)[1] < 1e-14


@pytest.mark.parametrize(("index", "critical"), [(1.5, 41.810315), (1.567, 39.654908)])
def test_all_light_stays_inside_past_the_critical_angle(index, critical):
    inside = math.cos(math.radians(critical + 1e-4))
    assert fresnel(inside, 1.0 / index) == 1.0
    assert fresnel(math.cos(math.radians(critical - 0.1)), 1.0 / index) < 0.9


# Hemispherical integrals of Fresnel's equations by adaptive quadrature.
@pytest.mark.parametrize(
    ("index", "outside", "inside"),
    [(1.5, 0.09177795934, 0.59634575971), (1.567, 0.10151846577, 0.63409262504)],
)
def test_diffuse_fresnel_matches_the_integral_on_both_sides(index, outside, inside):
    assert fresnel_outside(index) == pytest.approx(outside, abs=1e-8)
    assert fresnel_inside(index) == pytest.approx(inside, abs=1e-8)
    direct, _ = quad(lambda c: fresnel(c, 1.0 / index) * 2.0 * c, 0.0, 1.0, limit=400)
    assert fresnel_inside(index) == pytest.approx(direct, abs=1e-6)


def test_in_and_out_agree_along_one_ray():
    """Reversibility: a ray and its refracted partner reflect the same share."""
    for degrees in (5.0, 30.0, 60.0, 80.0):
        cos_in = math.cos(math.radians(degrees))
        cos_out = math.sqrt(1.0 - (1.0 - cos_in**2) / 1.55**2)
        assert fresnel(cos_in, 1.55) == pytest.approx(fresnel(cos_out, 1 / 1.55), abs=1e-12)


# Walter, Marschner, Li, Torrance, EGSR 2007, eqs 33 and 34, at 30 and 60 degrees.
@pytest.mark.parametrize(
    ("alpha", "d30", "g60"),
    [
        (0.1, 0.04800601545, 0.9926104339),
        (0.3, 0.28418763476, 0.9403167923),
        (0.5, 0.41575168808, 0.8610017481),
        (1.0, 0.31830988618, 0.6666666667),
    ],
)
def test_ggx_matches_walter_and_others(alpha, d30, g60):
    assert ggx_d(math.cos(math.pi / 6), alpha) == pytest.approx(d30, rel=1e-9)
    assert ggx_d(1.0, alpha) == pytest.approx(1.0 / (math.pi * alpha**2), rel=1e-12)
    assert ggx_g1(0.5, alpha) == pytest.approx(g60, rel=1e-9)


@pytest.mark.parametrize("alpha", [0.1, 0.4])
def test_facets_cover_the_ground_exactly_once(alpha):
    total, _ = quad(lambda c: ggx_d(c, alpha) * c * 2 * math.pi, 0.0, 1.0, limit=400)
    assert total == pytest.approx(1.0, abs=1e-7)


def test_masking_treats_both_ways_alike():
    assert ggx_g2(0.3, 0.8, 0.4) == pytest.approx(ggx_g2(0.8, 0.3, 0.4), rel=1e-14)


@pytest.mark.parametrize("alpha", [0.05, 0.3, 0.6])
@pytest.mark.parametrize("cos_v", [0.15, 0.5, 0.95])
def test_a_coat_never_sends_back_more_than_it_gets(alpha, cos_v):
    """White furnace: with Fresnel at one, drawn facets carry G2 / G1, at most one."""
    sin_v = math.sqrt(1.0 - cos_v**2)
    kept = []
    for k in range(4000):
        u, v = (k + 0.5) / 4000, (k * 0.6180339887) % 1.0
        nx, ny, nz = ggx_visible_normal(sin_v, 0.0, cos_v, alpha, u, v)
        assert nx * nx + ny * ny + nz * nz == pytest.approx(1.0, abs=1e-9)
        cos_h = sin_v * nx + cos_v * nz
        lz = 2.0 * cos_h * nz - cos_v
        kept.append(ggx_g2(cos_v, lz, alpha) / ggx_g1(cos_v, alpha) if lz > 0.0 else 0.0)
    assert max(kept) <= 1.0 + 1e-9
    assert 0.5 < np.mean(kept) <= 1.0


@pytest.mark.parametrize("alpha", [0.1, 0.3, 0.6])
def test_drawn_facets_weigh_as_the_integral_over_directions(alpha):
    """Straight from above, the mean of G2 / G1 is the integral of D G2 / 4."""

    def sent(theta: float) -> float:
        density = (
            ggx_d(math.cos(theta / 2), alpha) * ggx_g2(1.0, math.cos(theta), alpha) / 4
        )
        return density * 2 * math.pi * math.sin(theta)

    whole, _ = quad(sent, 0.0, math.pi / 2 - 1e-9, limit=400)
    kept = 0.0
    for k in range(20_000):
        u, v = (k + 0.5) / 20_000, (k * 0.6180339887) % 1.0
        _, _, nz = ggx_visible_normal(0.0, 0.0, 1.0, alpha, u, v)
        lz = 2.0 * nz * nz - 1.0
        kept += ggx_g2(1.0, lz, alpha) / ggx_g1(1.0, alpha) / 20_000 if lz > 0.0 else 0.0
    assert kept == pytest.approx(whole, abs=2e-3)


def test_drawn_facets_follow_the_density_they_are_meant_to():
    """The mean slope seen from straight above has GGX's median: half lie within alpha."""
    alpha = 0.3
    slopes = []
    for k in range(20_000):
        nx, ny, nz = ggx_visible_normal(
            0.0, 0.0, 1.0, alpha, (k + 0.5) / 20_000, (k * 0.6180339887) % 1.0
        )
        slopes.append(math.hypot(nx, ny) / nz)
    # atan(alpha sqrt(u / (1 - u))) at u = 0.5 (Walter 2007 eq. 35): tan = alpha
    assert np.median(slopes) == pytest.approx(alpha, rel=0.01)


@pytest.mark.parametrize(("p", "q"), [(0.7, 0.3), (2.5, 0.1), (-1.2, 3.0)])
def test_a_box_of_slopes_is_integrated_exactly(p, q):
    whole, _ = dblquad(lambda y, x: 1 / (math.pi * (1 + x * x + y * y) ** 2), 0, p, 0, q)
    assert slope_corner(p, q) == pytest.approx(whole, abs=4e-6)


def test_all_slopes_together_are_one():
    assert slope_box(-1e7, 1e7, -1e7, 1e7) == pytest.approx(1.0, abs=3e-5)


def test_the_cheap_arctangent_and_fade_are_close_enough():
    x = np.linspace(-40.0, 40.0, 4001)
    assert max(abs(arctan(float(v)) - math.atan(v)) for v in x) < 1.2e-5
    y = np.linspace(0.0, 30.0, 400).astype(np.float32)
    assert max(abs(float(fade(v)) - math.exp(-float(v))) for v in y) < 5e-5


# Kubelka, JOSA 38 (1948) 448, worked out with coth in plain double precision.
@pytest.mark.parametrize(
    ("k", "s", "x", "ground", "expected"),
    [
        (0.1, 1.0, 1.0, 0.0, 0.46103362328),
        (0.1, 1.0, 1.0, 0.8, 0.71234728687),
        (0.1, 1.0, 1.0, 1.0, 0.8289193),
        (0.5, 1.0, 2.0, 0.05, 0.37865930475),
        (0.0, 1.0, 1.0, 0.0, 0.5),
    ],
)
def test_film_matches_kubelka_and_munk(k, s, x, ground, expected):
    assert kubelka_munk(k, s, x, ground) == pytest.approx(expected, abs=2e-7)


def test_no_film_shows_the_ground_and_much_film_the_masstone():
    assert kubelka_munk(3.0, 2.0, 0.0, 0.37) == pytest.approx(0.37, abs=1e-12)
    assert kubelka_munk(3.0, 2.0, 60.0, 0.9) == pytest.approx(masstone(3.0, 2.0), abs=1e-9)


# R = 1 + k - sqrt(k^2 + 2k), k = K/S (Kubelka 1948).
@pytest.mark.parametrize(
    ("k", "r"),
    [
        (0.01, 0.8682255),
        (0.1, 0.6417424),
        (0.5, 0.3819660),
        (1.0, 0.2679492),
        (2.0, 0.1715729),
    ],
)
def test_masstone_matches_kubelka(k, r):
    assert masstone(k, 1.0) == pytest.approx(r, abs=1e-6)


def test_equal_parts_of_light_and_dark_are_far_from_their_mean():
    """R = 0.9 and 0.1 mixed one to one: K/S 2.02778, R 0.16990, not 0.5 (Kubelka 1948)."""
    mixed = 0.5 * (0.1**2 / 1.8) + 0.5 * (0.9**2 / 0.2)
    assert masstone(mixed, 1.0) == pytest.approx(0.1699047, abs=1e-6)


def test_the_coat_of_the_rooms_light_passes_what_its_index_says():
    assert pytest.approx(1.0 - fresnel_outside(COAT_INDEX), abs=1e-6) == EVEN_SKY
