"""The veil over the film: it runs out where its colours meet, and smears what it covers."""

from __future__ import annotations

import numpy as np
import pytest
from pour.pourings import floor, places_on

from kit.pour.block import SHARP, SIZE, VEIL, N
from kit.pour.colours import thin_veil

pytestmark = pytest.mark.jit


def left_of(lead, sharp, ell_floor, *, start=None):
    """What is left of a veil one thick where one colour leads another by so much."""
    paint = ell_floor._paint
    fields = np.full((paint.share.size, N), -5.0, np.float32)
    fields[0], fields[1] = lead, 0.0
    nobody_ahead = np.zeros_like(paint.start) if start is None else start
    s = np.zeros(SIZE, np.float32)
    s[VEIL : VEIL + N], s[SHARP : SHARP + N] = 1.0, sharp
    thin_veil(s, fields, paint._replace(start=nobody_ahead))
    return s[VEIL : VEIL + N]


def test_a_veil_runs_out_where_its_colours_meet_and_is_whole_within_one(ell_floor):
    lead = np.linspace(-2.0, 2.0, N, dtype=np.float32)
    left = left_of(lead, 300.0, ell_floor)
    assert left.min() < 0.01
    assert left[0] > 0.95
    assert np.all(np.diff(left[N // 2 :]) > 0)
    assert left == pytest.approx(left[::-1], abs=1e-5)


def test_a_head_start_moves_the_seam_of_a_veil(ell_floor):
    lead = np.linspace(-0.8, 0.8, N, dtype=np.float32)
    start = np.zeros(3, np.float32)
    start[0] = 0.3
    seam = lead[left_of(lead, 300.0, ell_floor, start=start).argmin()]
    assert seam == pytest.approx(-0.3, abs=0.01)


def test_a_seam_that_no_pixel_shows_leaves_the_veil_its_mean(ell_floor):
    """Leads as they lie over a floor, near enough: even to either side."""
    lead = np.linspace(-0.8, 0.8, N, dtype=np.float32)
    shown, unseen = (left_of(lead, sharp, ell_floor) for sharp in (300.0, 0.2))
    assert np.ptp(unseen) < 0.03
    assert unseen.mean() == pytest.approx(shown.mean(), abs=0.08)


def test_no_edge_of_the_veil_of_a_floor_is_a_cut_one(ell):
    """Where two colours of the veil meet there is next to nothing of it."""
    poured = floor(ell, 0.45, 0.35, 0.20)
    film = poured.film_at(*places_on(ell, 40_000), 0.002)
    strongest = film.veil_shares.max(axis=0)
    seams, within = film.veil[strongest < 0.6], film.veil[strongest > 0.999]
    assert seams.size > 50
    assert seams.mean() < 0.12 * within.mean()
