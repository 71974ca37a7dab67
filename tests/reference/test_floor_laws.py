"""Laws of a floor under its coat, and one place of it against a path tracer."""

from __future__ import annotations

import math

import numpy as np
import pytest
from reference import twin

from kit.look.flakes import FACE_SHARE, WAYS_IN, _disc, _spread, kept_in
from kit.look.optics import fresnel, fresnel_inside, ggx_d, ggx_g2

pytestmark = pytest.mark.jit

INDEX = 1.5
RISES = (0.25, 0.4, 0.6, 0.8, 0.95)


def under_an_even_sky(rise, body, face, cover):
    """What the kit sees of a smooth floor in a white furnace; all but `rise` in [0, 1]."""
    look = np.array([[math.sqrt(1.0 - rise * rise), 0.0]])
    mirror = fresnel(rise, INDEX)
    kept = fresnel_inside(INDEX)
    matt = (1.0 - cover) * body * (1.0 - kept) / (1.0 - kept * body)
    flakes = cover * FACE_SHARE * face
    early = flakes * float(_spread(look, _disc(WAYS_IN), INDEX).sum())
    return mirror + (1.0 - mirror) * (early + matt + kept_in(flakes, matt))


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


@pytest.mark.parametrize(
    ("cover", "face", "body", "off"),
    [(0.0, 0.0, 0.5, 0.01), (1.0, 0.6, 0.0, 0.045), (1.0, 1.0, 0.0, 0.10),
     (0.5, 0.6, 0.5, 0.035)],
)  # fmt: skip
def test_one_place_under_an_even_sky_is_as_bright_as_the_path_tracer_says(
    mi, cover, face, body, off
):
    room = (-400.0, -400.0, 400.0, 400.0)
    floor = twin.layered(mi, room, 0.0, INDEX, [body] * 3, [FACE_SHARE * face] * 3, cover)
    whole = {
        "type": "scene", **floor, "sky": {"type": "constant"},
        "integrator": {"type": "path", "max_depth": 40, "rr_depth": 20},
    }  # fmt: skip
    scene = mi.load_dict(whole)
    for rise in RISES:
        eye = [3.0 * math.sqrt(1.0 - rise * rise), 0.0, 3.0 * rise]
        sensor = mi.load_dict({
            "type": "perspective", "fov": 0.5,
            "to_world": mi.ScalarTransform4f().look_at(eye, [0, 0, 0], [0, 1, 0]),
            "film": {"type": "hdrfilm", "width": 8, "height": 8, "pixel_format": "rgb",
                     "rfilter": {"type": "box"}},
            "sampler": {"type": "independent", "sample_count": 1000},
        })  # fmt: skip
        theirs = float(np.array(mi.render(scene, sensor=sensor, seed=2)).mean())
        ours = under_an_even_sky(rise, body, face, cover)
        assert ours == pytest.approx(theirs, rel=off)


def test_the_path_tracers_rough_coat_loses_light_that_ours_keeps(mi):
    """Why matte floors differ: theirs, white film under a rough coat, is not white."""
    scene = mi.load_dict({
        "type": "scene", "sky": {"type": "constant"},
        "integrator": {"type": "path", "max_depth": 3},
        "floor": {
            "type": "rectangle", "to_world": mi.ScalarTransform4f().scale(400.0),
            "bsdf": twin.under_a_coat([1.0] * 3, 0.142, INDEX),
        },
        "sensor": {
            "type": "perspective", "fov": 0.5,
            "to_world": mi.ScalarTransform4f().look_at([2, 0, 2], [0, 0, 0], [0, 1, 0]),
            "film": {"type": "hdrfilm", "width": 8, "height": 8, "pixel_format": "rgb",
                     "rfilter": {"type": "box"}},
            "sampler": {"type": "independent", "sample_count": 1000},
        },
    })  # fmt: skip
    lost = 1.0 - float(np.array(mi.render(scene, seed=2)).mean())
    assert 0.01 < lost < 0.2
