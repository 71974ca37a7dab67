"""The walk asks no more than it must: strokes by index, one kernel for all places."""

from __future__ import annotations

import numpy as np
import pytest
from pour.pourings import FT, floor, plan_of
from shapely import box

pytestmark = pytest.mark.jit
FRAME_PX = 960


@pytest.mark.parametrize(("wide_ft", "drags"), [(21.0, 256), (53.0, 1_024)])
def test_indexed_strokes_carry_a_place_as_all_strokes_do(wide_ft, drags):
    """Within a hundredth of a pixel of a frame that the floor fills.

    Shuffled, places of one block lie all over the floor, so that every stroke of a
    moment is added to every place. Walls, which are told in another way from afar, are
    taken away.
    """
    wide_m, high_m = wide_ft * FT, wide_ft * FT / 1.6
    poured = floor(plan_of(box(0.0, 0.0, wide_m, high_m)), 0.45, 0.35, 0.20)
    assert len(poured.laid.records) == pytest.approx(drags, rel=0.06)

    vars(poured)["laid"] = poured.laid._replace(
        walls=np.empty((0, 6), np.float32), wall_boxes=np.empty((0, 4), np.float32)
    )
    pixel_m = wide_m / FRAME_PX
    x, y = np.meshgrid(
        np.arange(4.5, FRAME_PX, 9) * pixel_m, np.arange(4.5, FRAME_PX / 1.6, 9) * pixel_m
    )
    shuffled = np.random.default_rng(1).permutation(x.size)
    near = np.stack(poured.came_from(x, y)).reshape(2, -1)[:, shuffled]
    everywhere = np.stack(poured.came_from(x.ravel()[shuffled], y.ravel()[shuffled]))

    assert np.abs(near - everywhere).max() < 0.01 * pixel_m


def test_a_footprint_for_each_place_has_no_kernel_compiled_anew(ell_floor):
    from kit.pour.kernel import fill_planes

    x, y = np.meshgrid(np.linspace(1.0, 2.0, 16), np.linspace(1.0, 2.0, 16))
    ell_floor.film_at(x, y, 0.01)
    compiled = len(fill_planes.signatures)
    ell_floor.film_at(x, y, np.full_like(x, 0.01))

    assert len(fill_planes.signatures) == compiled
