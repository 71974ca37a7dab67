"""The mesh: what is told between its nodes is what drawing each place tells."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pour.pourings import FT
from scipy.interpolate import BarycentricInterpolator
from shapely import points

from kit.pour.mesh import MOST_TAPS, TAPS, cubic_weights
from kit.pour.places import (
    BROAD_FT,
    BROAD_TILES,
    EACH,
    TILE,
    WALK_FT,
    WALK_TILES,
    mesh_of,
    patch_px,
)

pytestmark = pytest.mark.jit


def planes(film):
    """All planes of a film, one stack."""
    singles = [film.thickness[None], film.veil[None], film.lean]
    return np.concatenate([film.shares, film.veil_shares, *singles])


def both_ways(floor, *, west_m, north_m, pixel_m, width_px, height_px):
    """A grid's film on its mesh, and with every place drawn for itself."""
    x = west_m + (np.arange(width_px) + 0.5) * pixel_m
    y = north_m - (np.arange(height_px) + 0.5) * pixel_m
    grid = floor.film_grid(
        west_m=west_m, north_m=north_m, pixel_m=pixel_m, width_px=width_px,
        height_px=height_px,
    )  # fmt: skip
    return planes(grid), planes(floor.film_at(*np.meshgrid(x, y), pixel_m)), x, y


@pytest.mark.parametrize(
    ("pixel_m", "mean", "few"),
    [(0.002, 6e-4, 0.03), (0.004, 6e-4, 0.03), (0.013, 6e-3, 0.17), (0.026, 1e-2, 0.3)],
)
def test_a_mesh_tells_what_drawing_each_place_tells(ell, ell_floor, pixel_m, mean, few):
    """On the floor, columns and walls in it: mean of all, and 99.9 % of all."""
    told, walked, x, y = both_ways(
        ell_floor, west_m=2.0, north_m=4.1, pixel_m=pixel_m, width_px=200, height_px=150
    )
    on = points(*np.meshgrid(x, y))
    on = np.array([[ell.surface.contains(p) for p in row] for row in on])
    off = np.abs(told - walked)[:, on]
    assert off.mean() < mean
    assert np.quantile(off, 0.999) < few


def test_beside_a_wall_every_place_is_drawn_for_itself(ell, ell_floor):
    """A hand's breadth of floor along a wall: to rounding what each place tells."""
    told, walked, _, _ = both_ways(
        ell_floor, west_m=3.0, north_m=0.03, pixel_m=0.004, width_px=128, height_px=7 + 1
    )
    assert np.abs(told - walked)[:, :7].max() < 1e-3


def test_a_place_keeps_its_film_wherever_a_picture_begins(ell_floor):
    """The same pixels in two pictures, one begun 37 columns and 21 rows later."""
    pixel_m = 0.0078125
    ask = {"pixel_m": pixel_m, "width_px": 160, "height_px": 120}
    one = planes(ell_floor.film_grid(west_m=1.0, north_m=4.0, **ask))
    two = planes(
        ell_floor.film_grid(west_m=1.0 + 37 * pixel_m, north_m=4.0 - 21 * pixel_m, **ask)
    )
    gap = np.abs(one[:, 21:, 37:] - two[:, :-21, :-37])
    assert np.percentile(gap, 99.9) < 1 / 510


def test_places_beyond_the_floor_stay_finite(ell_floor):
    """A picture wider than the floor holds no number that is none."""
    film = planes(
        ell_floor.film_grid(
            west_m=-1.0, north_m=29 * FT, pixel_m=0.012, width_px=300, height_px=200
        )
    )
    assert np.isfinite(film).all()


def test_weights_are_those_of_the_cubic_through_four_nodes():
    """Against scipy's barycentric interpolation through -1, 0, 1 and 2."""
    rng = np.random.default_rng(3)
    for t in rng.uniform(0.0, 1.0, 20):
        values = rng.normal(size=4)
        told = float(np.dot(cubic_weights(np.float32(t)), values))
        assert told == pytest.approx(
            float(BarycentricInterpolator([-1.0, 0.0, 1.0, 2.0], values)(t)), abs=1e-5
        )


def test_wide_pixels_have_no_mesh():
    assert mesh_of(0.136) == EACH


@given(st.floats(1e-4, 0.135))
def test_a_patch_has_nodes_about_all_its_places(pixel_ft):
    """Wherever it begins, and with as many nodes across a tile as its kernel tells by."""
    mesh = mesh_of(pixel_ft)
    across = (mesh.tiles * TILE - 1) * pixel_ft / float(mesh.width_ft)
    assert across < TILE - 4
    taps = MOST_TAPS if mesh.tiles == min(WALK_TILES) else TAPS
    assert np.ceil((TILE - 1) * pixel_ft / float(mesh.width_ft)) + 4 <= taps
    assert patch_px(pixel_ft * FT) == mesh.tiles * TILE


@given(st.floats(1e-4, 0.135))
def test_a_mesh_is_as_wide_as_what_it_tells_lets_it_be(pixel_ft):
    mesh = mesh_of(pixel_ft)
    is_all = mesh.width_ft <= BROAD_FT
    sizes, widest_ft = (BROAD_TILES, BROAD_FT) if is_all else (WALK_TILES, WALK_FT)
    assert mesh.width_ft <= widest_ft
    one_more = (mesh.tiles + 1) * TILE - 1
    per_px = float(mesh.width_ft) / (mesh.tiles * TILE - 1)
    assert mesh.tiles == max(sizes) or one_more * per_px > widest_ft


def test_half_a_patch_is_to_the_bit_what_the_whole_is(ell_floor):
    ask = {"west_m": 2.0, "north_m": 4.0, "pixel_m": 0.0021}
    whole = planes(ell_floor.film_grid(**ask, width_px=160, height_px=80))
    part = planes(ell_floor.film_grid(**ask, width_px=160, height_px=33))
    # the rim's last row stands in for those beyond it, so whole tiles are compared
    assert np.array_equal(whole[:, :32], part[:, :32])
