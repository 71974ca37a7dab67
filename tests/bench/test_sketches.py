"""What is shown while a hand moves: nearly the floor, and never in the place of it."""

import numpy as np
import pytest

from kit.bench.scenes import Scene, Side, Studio
from kit.job import Pictures
from kit.pour import poured as module
from kit.pour.pigment import pigment_in

SEEN = {"width_px": 160, "height_px": 112}
TURNED = [
    {"ribbon_m": 0.25},
    {"sweep": 1.8, "turn": 0.2},
    {"calm": 0.9, "crisp": 0.9, "veil": 0.3},
    {"lace": 2.0, "wisps": 3.0, "meld": 3.0},
]
"""Flows unlike each other, by the knobs that are not at their usual."""


@pytest.fixture
def recipe(demo_job):
    return demo_job.recipe


def turned(recipe, **knobs):
    return recipe.changed(flow=recipe.flow.changed(**knobs))


@pytest.mark.parametrize("knobs", TURNED, ids=lambda knobs: " ".join(knobs))
def test_a_sketch_holds_the_shares_that_are_bought_to_a_hundredth(
    recipe, demo_workup, knobs
):
    """Measured on eight thousand places that lie otherwise than those it was trued on."""
    poured = Pictures(turned(recipe, **knobs), demo_workup.plan).sketched
    rng = np.random.default_rng(5)
    west, south, east, north = demo_workup.plan.bounds_m
    step_m = np.sqrt(demo_workup.plan.surface.area / 8_000)
    x_m, y_m = np.meshgrid(np.arange(west, east, step_m), np.arange(south, north, step_m))
    off_m = rng.uniform(0.0, step_m, (2, *x_m.shape))
    from shapely import contains_xy

    x_m, y_m = x_m + off_m[0], y_m + off_m[1]
    on = contains_xy(demo_workup.plan.surface, x_m, y_m)
    laid = pigment_in(poured.film_at(x_m[on], y_m[on], 0.002))
    assert laid == pytest.approx(recipe.palette.shares, abs=0.01)


@pytest.mark.parametrize("view", ["above", "room"])
def test_a_picture_after_a_sketch_is_the_picture_without_one(recipe, demo_workup, view):
    """To the bit, at one size, whatever was kept meanwhile."""
    recipe = turned(recipe, ribbon_m=0.3)
    both = Pictures(recipe, demo_workup.plan)
    sketch = both.shown(view, "gloss", **SEEN, is_sketch=True).rgb
    after = both.shown(view, "gloss", **SEEN).rgb
    again = both.in_colors(recipe).shown(view, "gloss", **SEEN, is_sketch=True).rgb

    module._laid_over.cache_clear()
    without = Pictures(recipe, demo_workup.plan).shown(view, "gloss", **SEEN).rgb
    assert np.array_equal(after, without)
    assert np.array_equal(again, sketch)
    assert not np.array_equal(sketch, without)


def test_a_sketch_is_the_color_of_the_floor(recipe, demo_workup):
    """The mean of the picture to half a step of 255 in each channel."""
    studio = Studio(Pictures(recipe, demo_workup.plan).shelf)
    for knobs in TURNED:
        seen = studio.pictures(turned(recipe, **knobs), demo_workup.plan)
        sketch, exact = (
            seen.shown("above", "satin", **SEEN, is_sketch=is_sketch).rgb.mean(axis=(0, 1))
            for is_sketch in (True, False)
        )
        assert sketch == pytest.approx(exact, abs=0.5)


def test_the_studio_paints_a_sketch_and_then_the_floor(recipe, demo_workup):
    """On a stage so small that both are of one size."""
    side = Side(turned(recipe, veil=0.4), "satin")
    scene = Scene(demo_workup.plan, "above", "day", (side,), 60, 60)
    assert scene.sketched().width_px == scene.sized().width_px
    shelf = Pictures(recipe, demo_workup.plan).shelf
    studio = Studio(shelf)
    sketch, exact = studio.paint(scene.sketched()), studio.paint(scene.sized())
    assert sketch != exact
    assert exact == Studio(shelf).paint(scene.sized())
