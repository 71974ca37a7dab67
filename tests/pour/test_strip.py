"""A dozen distinct floors of one recipe; and one large floor a strip at a time."""

from __future__ import annotations

import resource
import tracemalloc
from itertools import combinations

import numba
import numpy as np
import pytest
from pour.pourings import FT, floor, plan_of
from shapely import Polygon

from kit.errors import MeasureError, PictureError
from kit.pour.poured import PouredFloor
from kit.pour.strip import DISTINCT, colour_map, distance, seed_strip

pytestmark = pytest.mark.jit
VIEW = {"west_m": 0.5, "north_m": 4.0, "pixel_m": 0.01, "width_px": 120, "height_px": 96}


@pytest.fixture(scope="module")
def recipe(ell):
    return floor(ell, 0.45, 0.35, 0.20).recipe


@pytest.fixture(scope="module")
def dozen(recipe, ell):
    return seed_strip(recipe, ell)


def test_a_strip_is_a_dozen_floors_of_one_recipe(dozen, recipe):
    assert len({offered.seed for offered in dozen} | {recipe.seed}) == 13
    assert all(offered.changed(seed=recipe.seed) == recipe for offered in dozen)


def test_no_two_floors_of_a_strip_are_near_twins(dozen, recipe, ell):
    maps = [colour_map(offered, ell) for offered in (recipe, *dozen)]
    assert min(distance(*pair) for pair in combinations(maps, 2)) >= DISTINCT


def test_near_twins_are_passed_over(recipe, ell):
    """Looking on from a seed, every floor that is skipped was too near to another."""
    found = [r.seed for r in seed_strip(recipe, ell, 24, start=5)]
    seed, maps, skipped = 5, {recipe.seed: colour_map(recipe, ell)}, 0
    while found:
        seed = (seed + 2_654_435_761) % 2**31
        here = colour_map(recipe.changed(seed=seed), ell)
        if seed == found[0]:
            maps[found.pop(0)] = here
            continue
        skipped += 1
        assert min(distance(here, other) for other in maps.values()) < DISTINCT
    assert skipped > 0


def test_the_same_question_gets_the_same_strip(dozen, recipe, ell):
    assert seed_strip(recipe, ell) == dozen


def test_a_strip_goes_on_where_the_last_one_ended(recipe, ell, dozen):
    more = seed_strip(recipe, ell, 6, start=dozen[-1].seed)
    assert not {r.seed for r in more} & {r.seed for r in dozen}


def test_a_floor_is_at_no_distance_from_itself_and_strangers_are_at_one(recipe, ell):
    maps = [colour_map(recipe.changed(seed=seed), ell) for seed in range(12)]
    assert distance(maps[0], maps[0]) == 0.0
    gaps = [distance(*pair) for pair in combinations(maps, 2)]
    assert np.mean(gaps) == pytest.approx(1.0, abs=0.08)


@pytest.mark.parametrize("count", [0, -1, 49, 2.5, "ten"])
def test_a_strip_of_no_length_is_refused(count, recipe, ell):
    with pytest.raises(PictureError, match=r"count: .* 1 to 48"):
        seed_strip(recipe, ell, count)


@pytest.mark.parametrize("start", [-1, 2**31, 0.5])
def test_a_start_that_is_no_seed_is_refused(start, recipe, ell):
    with pytest.raises(PictureError, match="start"):
        seed_strip(recipe, ell, start=start)


def test_strips_of_rows_are_the_whole(ell_floor):
    whole = ell_floor.film_grid(**VIEW)
    firsts, films = zip(*ell_floor.film_strips(**VIEW, rows_px=36), strict=True)
    assert firsts == (0, 36, 72)
    for plane in ("shares", "veil_shares", "thickness", "veil", "lean"):
        joined = np.concatenate([getattr(film, plane) for film in films], axis=-2)
        gap = np.abs(joined - getattr(whole, plane))
        assert np.percentile(gap, 99.9) < 1e-3


def test_strips_come_with_their_samples(ell_floor):
    first, film = next(iter(ell_floor.film_strips(**VIEW, samples=2, rows_px=10)))
    assert first == 0
    assert film.thickness.shape == (20, 240)


@pytest.fixture
def one_thread():
    """Each has a scratch of its own, and whether two are at work at once is chance."""
    threads = numba.get_num_threads()
    numba.set_num_threads(1)
    yield
    numba.set_num_threads(threads)


@pytest.mark.usefixtures("one_thread")
def test_a_longer_picture_takes_no_more_memory(ell_floor):
    """Peak of 3 strips and of 12 strips of one size, within a twentieth.

    The least of three peaks counts: what other threads of the tests take is seen too.
    """
    ell_floor.film_grid(**VIEW)  # laid and trued beforehand

    def peak(height):
        tracemalloc.start()
        for _, film in ell_floor.film_strips(**{**VIEW, "height_px": height}, rows_px=30):
            assert film.shares.shape[-2] == 30
        most = tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()
        return most

    short, long = (min(peak(height) for _ in range(3)) for height in (90, 360))
    assert long < 1.05 * short


@pytest.mark.slow
def test_a_floor_of_4000_square_feet_at_80_megapixels_fits_in_a_strip(hall):
    """The process grows by less than 200 MB; all planes at once would be 3.2 GB."""
    poured = floor(hall, 0.45, 0.35, 0.20)
    pixel_m = 80 * FT / 11_314
    view = {"west_m": 0.0, "north_m": 50 * FT, "pixel_m": pixel_m}
    poured.film_grid(**view, width_px=1000, height_px=1000)
    before_kb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    rows = 0
    for first, film in poured.film_strips(**view, width_px=11_314, height_px=7_071):
        assert first == rows
        rows += film.thickness.shape[0]
    assert rows == 7_071
    assert resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before_kb < 200_000


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"rows_px": 0}, "rows_px"),
        ({"width_px": 0}, "width_px"),
        ({"samples": 9}, "at most 8"),
        ({"pixel_m": float("nan")}, "pixel_m"),
        ({"north_m": float("inf")}, "north_m"),
        ({"width_px": 60_000_000}, "at most 50000000"),
    ],
)
def test_strips_that_cannot_be_are_refused_before_the_first(change, says, ell_floor):
    with pytest.raises(PictureError, match=says):
        ell_floor.film_strips(**{**VIEW, **change})


def test_a_film_too_large_for_memory_is_refused_with_the_limit(ell_floor):
    with pytest.raises(PictureError, match=r"at most 50000000 samples at once"):
        ell_floor.film_grid(**{**VIEW, "width_px": 20_000, "height_px": 20_000})


@pytest.mark.parametrize("surface", [Polygon(), Polygon([(0, 0), (3, 0), (3, 1e-4)])])
def test_nothing_to_pour_on_is_refused(surface, recipe, ell):
    nothing = plan_of(Polygon([(0, 0), (1, 0), (1, 1)]))
    empty = type(nothing)(nothing.rooms, (), nothing.way_out, surface)
    with pytest.raises(MeasureError, match="sq ft"):
        PouredFloor(recipe, empty)
