"""Laws of a floor under its coat, and one place of it against a path tracer."""

from __future__ import annotations

import math

import numpy as np
import pytest
from reference import walked

from kit.look.flakes import (
    FACE_SHARE,
    FLAKE_ALPHA,
    WAYS_IN,
    _disc,
    _spread,
    later,
    straight_out,
)
from kit.look.lobes import RISES as PLACES
from kit.look.lobes import passed
from kit.look.optics import fresnel, fresnel_inside, ggx_d, ggx_g2

pytestmark = pytest.mark.jit

INDEX = 1.5
RISES = (0.25, 0.4, 0.6, 0.8, 0.95)


def under_an_even_sky(rise, film, face, cover, alpha=0.0):
    """What the kit sees of a floor in a white furnace; all but `rise` in [0, 1]."""
    look = np.array([[math.sqrt(1.0 - rise * rise), 0.0]])
    clear = 1.0 - fresnel(rise, INDEX)
    through = clear * (
        float(passed(alpha, INDEX)[round(rise * PLACES) - 1]) if alpha else 1
    )
    kept = fresnel_inside(INDEX)
    body = (1.0 - cover) * film * (1.0 - kept) / (1.0 - kept * film)
    place = np.array([[body] * 3 + [cover * face] * 3 + [0.0] * 3 + [cover]], np.float32)
    flakes = cover * FACE_SHARE * face * straight_out(alpha)
    early = flakes * float(_spread(look, _disc(WAYS_IN), INDEX).sum())
    return 1.0 - through + through * (early + float(later(place, INDEX, alpha)[0, 0]))


@pytest.mark.parametrize("rise", RISES)
def test_a_white_film_in_a_white_furnace_is_white(rise):
    assert under_an_even_sky(rise, 1.0, 0.0, 0.0) == pytest.approx(1.0, abs=1e-6)


@pytest.mark.parametrize("rise", [0.1, *RISES, 1.0])
@pytest.mark.parametrize("face", [0.2, 0.6, 1.0])
def test_flakes_send_back_no_more_than_they_get(rise, face):
    assert under_an_even_sky(rise, 0.0, face, 1.0) <= 1.0


@pytest.mark.parametrize("alpha", [0.002, 0.02, 0.14, 0.4])
def test_the_coat_is_the_same_both_ways(alpha):
    for to_eye, to_light in ((0.2, 0.9), (0.5, 0.55), (0.05, 0.4)):
        eye = np.array([math.sqrt(1 - to_eye**2), 0.0, to_eye])
        light = np.array([0.3, -math.sqrt(1 - to_light**2 - 0.09), to_light])
        half = (eye + light) / np.linalg.norm(eye + light)
        there, back = (
            fresnel(float(a @ half), INDEX) * ggx_d(float(half[2]), alpha)
            * ggx_g2(float(a[2]), float(b[2]), alpha) / (4.0 * a[2] * b[2])
            for a, b in ((eye, light), (light, eye))
        )  # fmt: skip
        assert there == pytest.approx(back, rel=1e-9)


def test_flakes_are_the_same_both_ways():
    """Swap eye and lamp: only what the coat passes of the one that comes in differs."""
    ways = _disc(7)
    ways = ways[(ways**2).sum(axis=1) < 0.98]
    passed = [1.0 - fresnel(math.sqrt(1.0 - w @ w), INDEX) for w in ways]
    through = _spread(ways, ways, INDEX) / np.array(passed)
    assert through == pytest.approx(through.T, rel=1e-12)


@pytest.mark.parametrize("alpha", [0.0, 0.043, 0.142])
@pytest.mark.parametrize(
    ("cover", "face", "film", "off"),
    [(0.0, 0.0, 0.5, 0.02), (0.3, 0.6, 0.3, 0.025), (0.6, 0.3, 0.6, 0.035),
     (0.6, 0.9, 0.9, 0.09), (1.0, 0.6, 0.0, 0.045), (1.0, 1.0, 0.0, 0.125)],
)  # fmt: skip
def test_a_place_under_an_even_sky_is_as_bright_as_walking_its_facets_says(
    alpha, cover, face, film, off
):
    floor = (INDEX, alpha, [film] * 3, [FACE_SHARE * face] * 3, cover, FLAKE_ALPHA)
    theirs = walked.returned(RISES, 60_000, *floor)[:, 0]
    mine = [under_an_even_sky(rise, film, face, cover, alpha) for rise in RISES]
    assert mine == pytest.approx(theirs, rel=off)


def test_an_even_flake_sends_back_what_the_exact_facets_do():
    """The table's kernel against [Walter2007] eq. 20 with the half vector itself."""
    ways = _disc(60)
    ways = ways[(ways**2).sum(axis=1) < 1.0]
    for rise in RISES:
        out = np.array([math.sqrt(1.0 - rise * rise), 0.0])
        up = math.sqrt(1.0 - out @ out / INDEX**2)
        rises = np.sqrt(1.0 - (ways**2).sum(axis=1) / INDEX**2)
        half = np.column_stack([(ways - out) / INDEX, up + rises])
        cosine = half[:, 2] / np.linalg.norm(half, axis=1)
        passes = [1.0 - fresnel(math.sqrt(1.0 - w @ w), INDEX) for w in ways]
        dense = np.array([ggx_d(float(c), FLAKE_ALPHA) for c in cosine])
        exact = (dense / (4.0 * up * rises * INDEX**2) * passes).sum() * (2.0 / 60) ** 2
        table = float(_spread(out[None], _disc(WAYS_IN), INDEX).sum())
        assert table == pytest.approx(exact, rel=0.02)
