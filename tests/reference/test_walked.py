"""The walk that the room's reference is made of, held to laws and to Mitsuba."""

from __future__ import annotations

import math

import numpy as np
import pytest
from reference import twin, walked

RISES = (0.12, 0.25, 0.5, 0.8, 0.95)
INDEX, SPREAD = 1.5, 0.2
WHITE, BLACK = (1.0, 1.0, 1.0), (0.0, 0.0, 0.0)
ROOM = (-400.0, -400.0, 400.0, 400.0)


def wide(mi, bsdf):
    plane = mi.ScalarTransform4f().scale(400.0)
    return {"f": {"type": "rectangle", "to_world": plane, "bsdf": bsdf}}


@pytest.mark.parametrize("alpha", [0.0, 0.043, 0.142, 0.4])
def test_a_white_film_is_white_under_any_coat(alpha):
    sent = walked.returned(RISES, 2_000, INDEX, alpha, WHITE, WHITE, 0.0, SPREAD)
    assert sent == pytest.approx(1.0, abs=1e-9)


def test_mitsubas_coat_loses_what_this_one_keeps(mi):
    """Why the reference is walked: theirs, white film under a rough coat, is not white."""
    theirs = twin.in_a_furnace(mi, wide(mi, twin.under_a_coat(WHITE, 0.142, INDEX)), 0.7)
    assert 0.8 < theirs < 0.99


@pytest.mark.parametrize(
    ("film", "flakes", "cover"), [(0.5, 0.0, 0.0), (0.0, 0.54, 1.0), (0.34, 0.45, 0.5)]
)
def test_under_a_smooth_coat_it_is_mitsubas_two_layers(mi, film, flakes, cover):
    floor = twin.layered(mi, ROOM, 0.0, INDEX, [film] * 3, [flakes] * 3, cover)
    ours = walked.returned(
        RISES, 60_000, INDEX, 0.0, [film] * 3, [flakes] * 3, cover, SPREAD
    )[:, 0]
    theirs = [twin.in_a_furnace(mi, floor, rise, samples=900) for rise in RISES]
    assert ours == pytest.approx(theirs, rel=0.02)


@pytest.mark.parametrize("alpha", [0.043, 0.142])
def test_what_one_facet_mirrors_is_mitsubas_rough_dielectric(mi, alpha):
    """But at grazing looks, where theirs hides facets one by one and these together."""
    once, _ = walked.counted(RISES, 150_000, INDEX, alpha, BLACK, BLACK, 0.0, SPREAD)
    coat = {
        "type": "roughdielectric", "distribution": "ggx", "alpha": alpha,
        "int_ior": INDEX, "ext_ior": 1.0, "specular_transmittance": 0.0,
    }  # fmt: skip
    theirs = [twin.in_a_furnace(mi, wide(mi, coat), rise, 2000) for rise in RISES]
    assert once[1:, 0] == pytest.approx(theirs[1:], rel=0.03)
    assert theirs[0] - 1e-3 < once[0, 0] < 1.06 * theirs[0]


def test_facets_met_more_than_once_matter_for_rough_coats_at_grazing_looks():
    _, more = walked.counted((0.12, 0.95), 60_000, INDEX, 0.142, BLACK, BLACK, 0, SPREAD)
    low, high = more.sum(axis=(1, 2))[:, 0]
    assert low > 0.01 > high


def test_the_walk_is_the_same_both_ways():
    """Reflection per projected steradian from eye to light and from light to eye."""
    rises = (np.arange(walked.HEIGHTS) + 0.5) / walked.HEIGHTS
    _, rest = walked.counted(
        rises, 60_000, INDEX, 0.142, (0.4,) * 3, (0.5,) * 3, 0.5, SPREAD
    )
    there = walked._per_projected(rest).mean(axis=2)[..., 0]
    ratio = (there / there.T)[np.triu_indices(walked.HEIGHTS, 1)]
    assert np.median(ratio) == pytest.approx(1.0, abs=0.01)
    assert np.percentile(np.abs(ratio - 1.0), 90) < 0.15


@pytest.mark.slow
@pytest.mark.parametrize(("alpha", "cover"), [(0.0015, 0.5), (0.043, 0.0), (0.142, 1.0)])
def test_the_table_that_mitsuba_reads_sends_back_what_was_walked(
    mi, tmp_path, alpha, cover
):
    film, flakes = (0.4,) * 3, (0.5,) * 3
    file = tmp_path / "floor.bsdf"
    floor = walked.surface(file, INDEX, alpha, film, flakes, cover, SPREAD)
    theirs = [twin.in_a_furnace(mi, wide(mi, floor), rise, 1500) for rise in RISES]
    rough = alpha if alpha > walked.SHARPEST else 0.0
    ours = walked.returned(RISES, 100_000, INDEX, rough, film, flakes, cover, SPREAD)
    assert theirs == pytest.approx(ours[:, 0], rel=0.015)
    assert math.isfinite(sum(theirs))
