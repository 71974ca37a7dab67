"""Peers of the bare walk do the same work: each gives the sums that the kit gives."""

from __future__ import annotations

import shutil

import numpy as np
import pytest

from kit.measure.rivals import SIDES, STROKES, Everywhere
from kit.measure.works import Demo

pytestmark = pytest.mark.jit


@pytest.fixture(scope="module")
def everywhere():
    return Everywhere()


@pytest.fixture(scope="module")
def sums(everywhere):
    return everywhere.added()().copy()


def test_every_stroke_acts_at_every_place(everywhere, sums):
    """Stream function and velocity by the formula of the compact stroke, in float64."""
    x, y, records = (
        a.astype(float) for a in (everywhere.x, everywhere.y, everywhere.records)
    )
    psi, east = np.zeros((2, x.size))
    for per, u, v, at_x, at_y, wide in records:
        px, py = (x - at_x) * per, (y - at_y) * per
        m = np.maximum(0.0, 1.0 - px * px - py * py)
        psi += wide * (u * py - v * px) * m**3
        east += u * m**3 - 6.0 * (u * py - v * px) * m**2 * py
    assert sums.shape == (6, SIDES[0] * SIDES[1])
    assert len(records) == STROKES
    assert np.abs(sums[0] - psi).max() < 1e-6
    assert np.abs(sums[1] - east).max() < 2e-6


def test_c_gives_the_same(everywhere, sums):
    if shutil.which("cc") is None:
        pytest.skip("no C compiler")
    work = everywhere.in_c()
    if work is None:
        pytest.skip("no C compiler for this kind of processor")
    assert np.abs(work() - sums).max() < 3e-6
    # a library linked for fast mathematics would flush such numbers all through the process
    assert 5e-324 * len(sums) > 0.0


def test_jax_gives_the_same(everywhere, sums):
    pytest.importorskip("jax")
    assert np.abs(np.stack(everywhere.in_jax()()) - sums).max() < 3e-6


def test_a_shader_gives_the_same(everywhere, sums):
    pytest.importorskip("moderngl")
    work = everywhere.in_glsl()
    if work is None:
        pytest.skip("no llvmpipe")
    some, others = (np.frombuffer(t.read(), np.float32).reshape(-1, 4) for t in work())
    assert np.abs(np.vstack([some.T, others.T[:2]]) - sums).max() < 3e-6


def test_an_index_leaves_out_no_stroke_that_reaches():
    """Where film came from, with and without one, to a hundredth of a pixel of 7 mm."""
    hall = Demo().hall(270.0)
    some = hall.dragged()().copy()
    assert np.abs(hall.dragged(everywhere=True)() - some).max() < 0.01 * 0.025
