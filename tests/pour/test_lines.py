"""What is little of is poured in lines: the zero set of a noise instead of its peaks."""

from __future__ import annotations

import numpy as np
import pytest
from pour.pourings import floor

from kit.pour.block import NDX, NV, SIZE, N
from kit.pour.colours import draw_in_lines
from kit.pour.noise import F

pytestmark = pytest.mark.jit


def drawn(part):
    """Field and slope of a colour over noise that runs evenly from -0.8 to 0.8."""
    noise = np.linspace(-0.8, 0.8, N, dtype=np.float32)
    s = np.zeros(SIZE, np.float32)
    s[NV : NV + N], s[NDX : NDX + N] = noise, 1.0
    draw_in_lines(s, F(part))
    return noise, s[NV : NV + N], s[NDX : NDX + N]


def test_a_line_is_strongest_where_its_noise_is_none_and_alike_on_both_sides():
    noise, field, _ = drawn(1.0)
    assert abs(noise[field.argmax()]) < noise[1] - noise[0]
    assert field == pytest.approx(field[::-1], abs=1e-5)
    assert np.all(np.diff(field[: N // 2]) > 0)


def test_its_slope_is_that_of_what_is_drawn():
    for part in (0.4, 1.0):
        noise, field, slope = drawn(part)
        assert slope == pytest.approx(np.gradient(field, noise), abs=0.35)
        assert slope.mean() == pytest.approx(np.ptp(field[[0, -1]]) / 1.6, abs=0.05)


def test_a_patch_stays_as_it_was():
    noise, field, slope = drawn(0.0)
    assert np.array_equal(field, noise)
    assert np.all(slope == 1.0)


def test_the_two_largest_lie_in_patches_and_the_fewer_the_more_in_lines(ell):
    lines = floor(ell, 0.05, 0.33, 0.17, 0.10, 0.35)._paint.lines
    assert lines[1] == lines[4] == 0.0
    assert 0.0 < lines[2] < lines[3] <= lines[0] <= 1.0
