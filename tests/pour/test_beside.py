"""Beside walls: the film is drawn as far as a pixel shows it, and does not tear."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from pour.pourings import FT, floor, plan_of
from shapely import Polygon, box

pytestmark = pytest.mark.jit

JUT = plan_of(
    Polygon([(0, 0), (24 * FT, 0), (24 * FT, 16 * FT), (0, 16 * FT)]).difference(
        box(11.75 * FT, 9 * FT, 12.25 * FT, 16 * FT)
    )
)
"""A room of 24 by 16 ft into which a wall half a foot thick stands."""
GRID = {"pixel_m": 0.0131, "width_px": 200, "height_px": 120}
WEST_M, NORTH_M = 9 * FT, 13 * FT


@settings(max_examples=6, deadline=None)
@given(seed=st.integers(0, 2**31 - 1))
def test_film_is_drawn_out_past_the_end_of_a_wall_but_never_torn(seed):
    """Along lines past its end, places a fifth of a millimetre apart stay within a few.

    The slope of a velocity that jumped there would throw them inches apart.
    """
    poured = floor(JUT, 0.5, 0.3, 0.2, seed=seed)
    step_m = 0.0002
    for feet in (6.0, 7.0, 8.0):
        x = 10.5 * FT + np.arange(round(3 * FT / step_m)) * step_m
        origins = poured.came_from(x, np.full_like(x, feet * FT))
        gaps = np.hypot(*np.diff(np.asarray(origins, np.float64), axis=1))
        assert gaps.max() < 40 * step_m


def test_pixels_that_a_wall_cuts_have_the_film_of_their_middles():
    """Also where the middle lies in the wall: a pixel's width off, none is left out."""
    poured = floor(JUT, 0.5, 0.3, 0.2)
    x = WEST_M + (np.arange(GRID["width_px"]) + 0.5) * GRID["pixel_m"]
    y = NORTH_M - (np.arange(GRID["height_px"]) + 0.5) * GRID["pixel_m"]
    x, y = np.meshgrid(x, y)
    grid = poured.film_grid(west_m=WEST_M, north_m=NORTH_M, **GRID)
    each = poured.film_at(x, y, GRID["pixel_m"])
    off = ~shapely.contains_xy(JUT.surface, x, y)
    cut = off & shapely.contains_xy(JUT.surface.buffer(1.0 * GRID["pixel_m"]), x, y)
    assert cut.sum() > 50
    assert np.abs(grid.shares - each.shares)[:, cut].mean() < 2e-3
    assert np.abs(grid.thickness - each.thickness)[cut].mean() < 2e-3
