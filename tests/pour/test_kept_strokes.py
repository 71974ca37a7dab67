"""Strokes are kept for every floor that is worked alike, and for no other."""

import numpy as np
import pytest
import shapely
from pour.pourings import floor, plan_of

from kit.knobs import knobs_of
from kit.pour.ground import Ground
from kit.pour.laid import lay
from kit.pour.recipe import Flow
from kit.pour.walls import nearest, obstacles_ft
from kit.units import M_PER_FT

IN_THE_FILM = {
    "ribbon_m", "crisp", "meld", "wisps", "veil", "glow", "silk", "veins", "lace",
}  # fmt: skip
"""Knobs that move no stroke."""
SHARES = (0.45, 0.35, 0.20)


def are_same(one, other):
    return all(map(np.array_equal, one, other))


def laid_anew(poured):
    recipe = poured.recipe
    return lay(Ground(poured.plan, recipe.flow, recipe.seed), recipe.flow.motions)


@pytest.mark.parametrize("knob", knobs_of(Flow), ids=lambda knob: knob.name)
def test_a_knob_finds_its_own_strokes(knob, ell, ell_floor):
    poured = floor(ell, *SHARES, **{knob.name: 0.3 * knob.low + 0.7 * knob.high})
    assert are_same(poured.laid, laid_anew(poured))
    assert (poured.laid is ell_floor.laid) == (knob.name in IN_THE_FILM)


def test_another_seed_plan_or_motion_finds_its_own_strokes(ell, ell_floor):
    smaller = plan_of(shapely.affinity.scale(ell.surface, 0.9, 0.9))
    stiff = [*Flow().motions[:-1], Flow().motions[0]]
    for poured in (
        floor(ell, *SHARES, seed=8),
        floor(smaller, *SHARES),
        floor(ell, *SHARES, motions=stiff),
    ):
        assert are_same(poured.laid, laid_anew(poured))
        assert not are_same(poured.laid, ell_floor.laid)


def test_the_nearest_wall_is_as_near_as_shapely_finds_it(ell):
    """Over the L and around it; a round column is a ring of many corners there."""
    rng = np.random.default_rng(2)
    west, south, east, north = ell.bounds_m
    x_m, y_m = rng.uniform(west - 2, east + 2, 400), rng.uniform(south - 2, north + 2, 400)
    away_ft, heading = nearest(obstacles_ft(ell.surface), x_m / M_PER_FT, y_m / M_PER_FT)
    at = shapely.points(x_m, y_m)
    far_m = shapely.distance(at, ell.surface.boundary)
    assert np.abs(away_ft) * M_PER_FT == pytest.approx(far_m, abs=0.003)

    # a step along the wall leaves it as far away; but past its end, at a corner
    along = shapely.points(x_m + 0.01 * np.cos(heading), y_m + 0.01 * np.sin(heading))
    step_m = np.abs(shapely.distance(along, ell.surface.boundary) - far_m)
    assert np.quantile(step_m, 0.7) < 1e-4
