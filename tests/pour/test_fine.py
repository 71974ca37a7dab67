"""What only a close look resolves has the mean of what is seen from afar."""

from __future__ import annotations

import numpy as np
import pytest
from pour.pourings import floor, places_on

from kit.kernels import kernel
from kit.pour.block import FRAY0, FRAY1, FRAYED, NDX, NDY, NV, NX, NY, REACH, SIZE, N
from kit.pour.fine import fray
from kit.pour.lace import HOLE_MEAN, RIM_MEAN, cell_at
from kit.pour.noise import F, cells, noise
from kit.pour.pigment import pigment_in

pytestmark = pytest.mark.jit


def scattered(rng: np.random.Generator) -> np.ndarray:
    s = np.zeros(SIZE, np.float32)
    s[NX : NX + N], s[NY : NY + N] = rng.uniform(0, 4000, (2, N))
    return s


@kernel()
def _told(s, open_, holes, rims):
    for i in range(N):
        holes[i], rims[i] = cell_at(s[NV + i], s[NDX + i], s[NDY + i], open_, F(0.01))


@pytest.mark.parametrize("open_", [0.1, 0.4, 0.7, 1.0])
def test_cells_too_small_to_see_are_told_by_their_mean(open_):
    rng, holes, rims = np.random.default_rng(2), [], []
    for _ in range(250):
        s = scattered(rng)
        cells(s, 3, np.uint32(41))
        hole, rim = np.empty((2, N), np.float32)
        _told(s, F(open_), hole, rim)
        holes.append(hole)
        rims.append(rim)
    for seen, (one, two) in ((holes, HOLE_MEAN), (rims, RIM_MEAN)):
        told = max(open_ * (one + open_ * two), 0.0)
        assert np.mean(seen) == pytest.approx(told, abs=0.008)
        assert np.max(seen) <= 1.0


def test_a_fraying_edge_sways_as_much_as_is_taken_from_its_smoke():
    """Both of the pair have the variance told, and know nothing of each other."""
    rng, pairs, told = np.random.default_rng(3), [], []
    for _ in range(300):
        s = scattered(rng)
        noise(s, np.uint32(7))
        s[NX : NX + N], s[REACH : REACH + N] = 0.8, 1.0
        fray(s, F(0.5))
        pairs.append([s[FRAY0 : FRAY0 + N].copy(), s[FRAY1 : FRAY1 + N].copy()])
        told.append(s[FRAYED : FRAYED + N].copy())
    one, two = np.array(pairs).transpose(1, 0, 2).reshape(2, -1)
    assert np.mean(told) == pytest.approx(0.16)
    assert one.var() == pytest.approx(0.16, rel=0.03)
    assert two.var() == pytest.approx(0.16, rel=0.03)
    assert abs(np.mean(one * two)) < 0.005


def boxed(poured, samples):
    """Shares of pixels of 16 mm in six parts of a floor, means of so many places a side."""
    parts = []
    corners = ((0.4, 3.6), (1.2, 3.6), (2.5, 3.6), (1.2, 6.5), (2.5, 2.5), (3.8, 5.0))
    for west_m, north_m in corners:
        film = poured.film_grid(
            west_m=west_m, north_m=north_m, pixel_m=0.016, width_px=70, height_px=50,
            samples=samples,
        )  # fmt: skip
        parts.append(film.shares.reshape(3, 50, samples, 70, samples).mean(axis=(2, 4)))
    return np.hstack(parts)


def test_near_and_far_agree_when_both_are_averaged(ell_floor):
    """Shares of 16 mm from places 8, 4 and 2 mm apart: threads come and the mean stays."""
    far, mid, near = (boxed(ell_floor, samples) for samples in (2, 4, 8))
    assert np.abs(far - near).mean() < 0.025
    assert np.abs(mid - near).mean() < 0.012
    assert np.abs((far - near).mean(axis=(1, 2))).max() < 0.008


def test_a_close_look_finds_edges_that_a_farther_one_cannot(ell_floor):
    """Over the same 15 mm shares change more where a place is finer."""
    x, y = places_on(ell_floor.plan, 4_000)
    swings = []
    for foot_m in (0.0003, 0.012):
        ends = [ell_floor.film_at(x + shift, y, foot_m).shares for shift in (0.0, 0.004)]
        swings.append(np.abs(ends[0] - ends[1]).mean())
    assert swings[0] > 1.5 * swings[1]


@pytest.mark.parametrize("foot_m", [0.0002, 0.006])
def test_pigment_is_as_bought_however_near_one_looks(foot_m, ell):
    x, y = places_on(ell, 100_000, seed=12)
    shares = (0.45, 0.35, 0.20)
    film = floor(ell, *shares).film_at(x, y, foot_m)
    assert np.abs(pigment_in(film) - shares).max() < 0.01
