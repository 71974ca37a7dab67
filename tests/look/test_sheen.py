"""Gloss units and roughness."""

from __future__ import annotations

import pytest

from kit.errors import PictureError
from kit.look.sheen import (
    SMOOTHEST,
    alpha_of,
    gloss_by_ray,
    gloss_of,
    level_of,
    mirror_gloss,
    words_for,
)

pytestmark = pytest.mark.jit

# ISO 2813:2014 def. 3.3: share of Fresnel reflectance at 60 degrees against index 1.567.
SMOOTH = {1.46: 82.40791767, 1.5: 89.13676754, 1.52: 92.43091425, 1.55: 97.28922516,
          1.58: 102.05310968, 1.6: 105.17925776}  # fmt: skip


@pytest.mark.parametrize(("index", "gloss"), SMOOTH.items())
def test_a_perfect_mirror_reads_what_its_index_allows(index, gloss):
    assert mirror_gloss(index) == pytest.approx(gloss, abs=0.01)
    assert gloss_of(1e-6, index) == pytest.approx(gloss, abs=0.05)


def test_the_standard_glass_reads_a_hundred():
    assert mirror_gloss(1.567) == pytest.approx(100.0, abs=1e-9)


@pytest.mark.parametrize("alpha", [0.0079, 0.0241, 0.0474, 0.131, 0.3])
@pytest.mark.parametrize("index", [1.5, 1.55])
def test_the_closed_form_agrees_with_rays_drawn_one_by_one(alpha, index):
    assert gloss_of(alpha, index) == pytest.approx(gloss_by_ray(alpha, index), abs=0.4)


@pytest.mark.parametrize("gloss", [3.0, 8.0, 35.0, 60.0, 85.0])
@pytest.mark.parametrize("index", [1.46, 1.5, 1.6])
def test_gloss_to_roughness_and_back_is_where_it_was(gloss, index):
    if gloss < mirror_gloss(index):
        assert gloss_of(alpha_of(gloss, index), index) == pytest.approx(gloss, abs=2e-3)


def test_glossier_is_always_smoother():
    alphas = [alpha_of(g, 1.5) for g in (2, 5, 8, 20, 35, 60, 80, 88)]
    assert alphas == sorted(alphas, reverse=True)
    assert len(set(alphas)) == len(alphas)


def test_a_reading_beyond_the_index_is_the_smoothest_coat():
    assert alpha_of(95.0, 1.5) == SMOOTHEST


@pytest.mark.parametrize(
    ("gloss", "index"), [(0.0, 1.5), (200.0, 1.5), (40.0, 1.0), (float("nan"), 1.5)]
)
def test_figures_no_coat_has_are_refused(gloss, index):
    with pytest.raises(PictureError, match="expected"):
        alpha_of(gloss, index)


# Levels of the Master Painters Institute; G3 and G4 overlap at 60 degrees, 85 decides.
@pytest.mark.parametrize(
    ("at_60", "at_85", "level"),
    [(4, 8, "G1"), (9, 20, "G2"), (15, 20, "G3"), (25, 40, "G4"), (50, None, "G5"),
     (80, None, "G6"), (92, None, "G7")],
)  # fmt: skip
def test_levels_are_told_apart(at_60, at_85, level):
    assert level_of(at_60, at_85) == level


def test_each_finish_has_words_of_its_own(finishes):
    words = {words_for(f.gloss_gu) for f in finishes.values()}
    assert len(words) >= 3
