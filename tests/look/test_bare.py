"""What is kept of a floor before it is poured: for every pour of it, and for no other."""

import numpy as np
import pytest
import shapely
from look.conftest import planned

from kit.look import bare as module
from kit.look.bare import bare_floor
from kit.look.paints import paints_for
from kit.look.sheet import coverage, fitted
from kit.look.sight import above

SIZE = {"width_px": 240, "height_px": 160}
OUTLINE = [(0, 0), (6.0, 0), (6.0, 4.0), (0, 4.0)]


@pytest.fixture
def here():
    return planned(OUTLINE, columns=(shapely.Point(2.0, 2.0).buffer(0.3),))


@pytest.fixture
def moved():
    """The same room, its column elsewhere: pictures of both lie alike."""
    return planned(OUTLINE, columns=(shapely.Point(4.0, 2.0).buffer(0.3),))


def test_walls_are_drawn_once_for_every_pour(here, pour):
    one, two = (above(pour(), here, **SIZE).view for _ in range(2))
    assert one.bare is two.bare
    assert above(pour(), here, width_px=120, height_px=80).view.bare is not one.bare


def test_walls_of_one_plan_are_never_those_of_another(here, moved, pour):
    sheet = fitted(here, **SIZE)
    assert sheet == fitted(moved, **SIZE)
    one, two = (above(pour(), plan, **SIZE).view.bare for plan in (here, moved))
    assert np.array_equal(one.cover, coverage(here.surface, sheet))
    assert np.array_equal(two.cover, coverage(moved.surface, sheet))
    assert not np.array_equal(one.cover, two.cover)


@pytest.mark.parametrize("mood", ["day", "evening"])
def test_a_pour_over_kept_walls_is_shown_as_over_new_ones(
    here, pour, pigments, tints, finishes, mood
):
    """Two colors and then three, in every finish, to the bit."""
    three = list(pigments.values())[:3]
    paints = [paints_for(tuple(three[:n]), next(iter(tints.values()))) for n in (2, 3)]

    def shown(count):
        sight = above(pour(count), here, **SIZE)
        paint = paints[count - 2]
        return [sight.shown(paint, coat, mood=mood).rgb for coat in finishes.values()]

    shown(2)
    over_kept = shown(3)
    module._kept.cache_clear()
    assert all(map(np.array_equal, over_kept, shown(3)))


def test_walls_of_a_print_are_not_kept(here, monkeypatch):
    monkeypatch.setattr(module, "MOST_KEPT_PX", 10_000)
    small, large = fitted(here, 100, 100), fitted(here, 101, 100)
    assert bare_floor(here.surface, small) is bare_floor(here.surface, small)
    assert bare_floor(here.surface, large) is not bare_floor(here.surface, large)
