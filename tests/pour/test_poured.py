"""The floor: one answer a place, however it is asked; shares as bought; knobs that show."""

from __future__ import annotations

import numba
import numpy as np
import pytest
from pour.pourings import FT, floor, places_on, plan_of
from scipy.ndimage import uniform_filter
from shapely import box

from kit.errors import PictureError
from kit.knobs import knobs_of
from kit.pour import pigment
from kit.pour.pigment import pigment_in, weigh
from kit.pour.recipe import Flow

pytestmark = pytest.mark.jit
VIEW = {"west_m": 1.0, "north_m": 4.5, "pixel_m": 0.008, "width_px": 150, "height_px": 110}


def planes(film):
    """All planes of a film, one stack."""
    singles = [film.thickness[None], film.veil[None], film.lean]
    return np.concatenate([film.shares, film.veil_shares, *singles])


def test_the_same_recipe_is_the_same_floor(ell, ell_floor):
    again = floor(ell, 0.45, 0.35, 0.20)
    assert np.array_equal(
        planes(ell_floor.film_grid(**VIEW)), planes(again.film_grid(**VIEW))
    )


def test_another_seed_is_another_floor(ell, ell_floor):
    other = floor(ell, 0.45, 0.35, 0.20, seed=8)
    places = *places_on(ell, 3_000), 0.004
    gap = np.abs(ell_floor.film_at(*places).shares - other.film_at(*places).shares)
    assert gap.mean() > 0.2


def test_strips_are_the_whole(ell_floor):
    """Rows asked in strips of 13 differ from the whole by less than half an 8-bit step."""
    whole = planes(ell_floor.film_grid(**VIEW))
    pixel_m, height = VIEW["pixel_m"], VIEW["height_px"]
    strips = [
        planes(ell_floor.film_grid(**{**VIEW, "north_m": VIEW["north_m"] - top * pixel_m,
                                      "height_px": min(13, height - top)}))
        for top in range(0, height, 13)
    ]  # fmt: skip
    gap = np.abs(np.concatenate(strips, axis=1) - whole)
    assert np.percentile(gap, 99.9) < 1 / 510
    assert gap.mean() < 5e-5


def test_single_places_are_the_grid(ell_floor):
    """No block, tile or neighbour has a say: the same places in any order, to rounding."""
    rng = np.random.default_rng(5)
    x, y = rng.uniform(1.0, 3.0, (24, 40)), rng.uniform(1.0, 3.0, (24, 40))
    grid = planes(ell_floor.film_at(x, y, 0.004))
    order = rng.permutation(x.size)
    line = planes(ell_floor.film_at(x.ravel()[order], y.ravel()[order], 0.004))
    gap = np.abs(grid.reshape(len(grid), -1)[:, order] - line)
    assert gap.max() < 1e-4
    assert np.median(gap) == 0.0


def test_threads_change_nothing(ell_floor):
    numba.set_num_threads(1)
    try:
        one = planes(ell_floor.film_grid(**VIEW))
    finally:
        numba.set_num_threads(numba.config.NUMBA_NUM_THREADS)
    assert np.array_equal(one, planes(ell_floor.film_grid(**VIEW)))


def test_two_resolutions_agree_when_both_are_averaged(ell_floor):
    """Shares at 20 mm, from 4 x 4 and from 8 x 8 samples a pixel."""

    def boxed(samples):
        film = ell_floor.film_grid(
            west_m=1.0,
            north_m=4.0,
            pixel_m=0.02,
            width_px=90,
            height_px=70,
            samples=samples,
        )
        return film.shares.reshape(3, 70, samples, 90, samples).mean(axis=(2, 4))

    gap = np.abs(boxed(4) - boxed(8))
    assert gap.mean() < 0.01
    assert np.percentile(gap, 99) < 0.08


def test_shares_sum_to_one_and_stay_in_range(ell_floor):
    film = ell_floor.film_grid(**VIEW)
    for shares in (film.shares, film.veil_shares):
        assert shares.min() >= 0.0
        assert np.abs(shares.sum(axis=0) - 1.0).max() < 1e-5
    assert film.thickness.min() > 0.0
    assert film.thickness.max() < 4.0
    assert film.veil.min() >= 0.0
    assert np.hypot(*film.lean).max() < 1.0


@pytest.mark.parametrize("plan", ["ell", "hall"])
@pytest.mark.parametrize(
    "shares",
    [
        (0.6, 0.4),
        (0.98, 0.02),
        (0.02, 0.08, 0.9),
        (0.4, 0.3, 0.2, 0.1),
        (0.2, 0.2, 0.2, 0.2, 0.2),
        (0.9, 0.02, 0.02, 0.02, 0.02, 0.02),
        (0.5, 0.02, 0.02, 0.02, 0.02, 0.42),
    ],
)
def test_the_whole_floor_holds_the_pigment_that_was_bought(shares, plan, request):
    """Over fresh random places every share is as bought, within one percent of all."""
    plan = request.getfixturevalue(plan)
    x, y = places_on(plan, 100_000, seed=11)
    film = floor(plan, *shares, seed=3 + len(shares)).film_at(x, y, 0.002)
    assert np.abs(pigment_in(film) - shares).max() < 0.01


@pytest.mark.parametrize("shares", [(0.99, 0.01), (0.07, 0.93), (0.4, 0.3, 0.2, 0.1)])
def test_truing_ends_in_few_rounds_at_the_shares_bought(shares, ell, monkeypatch):
    """Scarce colors too, to whose head starts cells add most of what they gain."""
    rounds = []

    def weighed(fields, count, paint, amounts):
        weigh(fields, count, paint, amounts)
        rounds.append(amounts[:, :, 0].sum(axis=0, dtype=float))

    monkeypatch.setattr(pigment, "weigh", weighed)
    floor(ell, *shares).film_at(np.array([2.0]), np.array([2.0]), 0.004)

    assert len(rounds) <= 15
    assert np.abs(rounds[-1] / rounds[-1].sum() - shares).max() < 3e-4


def test_pigment_counts_the_veil_by_its_thickness(ell_floor):
    """By hand: amounts of lower film and veil, place by place."""
    film = ell_floor.film_at(*places_on(ell_floor.plan, 500), 0.004)
    by_hand = [
        sum(c * t + v * u for c, t, v, u in zip(lower, film.thickness, upper, film.veil,
                                                strict=True))
        for lower, upper in zip(film.shares, film.veil_shares, strict=True)
    ]  # fmt: skip
    assert pigment_in(film) == pytest.approx(np.array(by_hand) / sum(by_hand), abs=1e-5)


def test_a_pixel_too_wide_to_resolve_is_the_mix(ell_floor):
    """Far out, a place tends to the palette's own shares and not to one colour."""
    x, y = places_on(ell_floor.plan, 3_000)
    near, far = (ell_floor.film_at(x, y, foot).shares for foot in (0.003, 3.0))
    assert far.max(axis=0).mean() < near.max(axis=0).mean() - 0.2


def test_walls_are_met_by_the_film_and_not_by_a_seam(ell_floor):
    """The film within an inch of a wall is as varied as that a foot away."""
    x = np.linspace(1.0, 8.5, 900)
    close = ell_floor.film_at(x, np.full_like(x, 0.02), 0.01).shares
    inner = ell_floor.film_at(x, np.full_like(x, 0.35), 0.01).shares
    assert close.std() > 0.5 * inner.std()


@pytest.mark.parametrize("knob", [knob.name for knob in knobs_of(Flow)])
def test_every_knob_changes_the_film(knob, ell):
    x, y = places_on(ell, 2_500)
    spec = next(k for k in knobs_of(Flow) if k.name == knob)
    low, high = (
        planes(floor(ell, 0.45, 0.35, 0.20, **{knob: end}).film_at(x, y, 0.004))
        for end in (spec.low, spec.high)
    )
    assert np.abs(low - high).mean() > 0.002


@pytest.mark.parametrize(
    ("given", "about"),
    [
        ((np.nan, 1.0, 0.01), "x_m"),
        ((1.0, np.inf, 0.01), "y_m"),
        ((1.0, 1e9, 0.01), "y_m"),
        ((1.0, 1.0, -0.01), "footprint_m"),
        ((1.0, 1.0, np.nan), "footprint_m"),
        ((np.ones(3), np.ones(4), 0.01), "places"),
        ((np.ones(0), np.ones(0), 0.01), "places"),
        ((np.ones(3), np.ones(3), np.ones(2)), "footprint_m"),
    ],
)
def test_places_that_are_none_are_refused(given, about, ell_floor):
    with pytest.raises(PictureError) as refused:
        ell_floor.film_at(*given)
    assert refused.value.about == about


@pytest.mark.parametrize(
    "change",
    [{"width_px": 0}, {"height_px": -3}, {"pixel_m": 0.0}, {"pixel_m": np.nan},
     {"samples": 9}, {"samples": 1.5}, {"west_m": np.nan}],
)  # fmt: skip
def test_grids_that_are_none_are_refused(change, ell_floor):
    with pytest.raises(PictureError):
        ell_floor.film_grid(**{**VIEW, **change})


FINE_FT = 0.125
NEAR_FT = 3.3


@pytest.mark.slow
@pytest.mark.parametrize("seed", [7, 31])
def test_a_large_floor_never_repeats(seed):
    """Detail of 160 by 100 ft, laid over itself anywhere beyond 3.3 ft, matches nothing."""
    plan = plan_of(box(0, 0, 160 * FT, 100 * FT))
    film = floor(plan, 0.4, 0.35, 0.25, seed=seed).film_grid(
        west_m=0.0, north_m=100 * FT, pixel_m=FINE_FT * FT, width_px=1280, height_px=800
    )
    for ink in (film.shares[0], film.thickness, film.veil, film.lean[0]):
        assert largest_echo(ink) < 0.05


def test_an_echo_is_heard_in_a_floor_that_does_repeat():
    tile = np.random.default_rng(1).normal(size=(50, 64))
    assert largest_echo(np.tile(tile, (3, 4))) > 0.5


def largest_echo(ink):
    """Largest correlation of a plane's detail with itself, beyond NEAR_FT.

    The composition is not meant to be free of large shapes, so detail is what differs
    from the mean within NEAR_FT, in units of how much it differs about there.
    """
    width = int(NEAR_FT / FINE_FT) | 1
    detail = ink - uniform_filter(ink.astype(float), width)
    # where nothing varies a moving mean of squares comes out a hair below nothing
    about = np.sqrt(np.maximum(uniform_filter(detail**2, width), 0.0))
    detail /= about + 1e-3 * detail.std()
    detail -= detail.mean()
    rows, columns = 2 * np.array(detail.shape)
    echo = np.fft.irfft2(np.abs(np.fft.rfft2(detail, s=(rows, columns))) ** 2)
    down, over = np.fft.fftfreq(rows, 1 / rows), np.fft.fftfreq(columns, 1 / columns)
    far = np.hypot(down[:, None], over) * FINE_FT > NEAR_FT
    return np.abs(echo[far]).max() / echo[0, 0]
