"""Seats and table tops throw shadows under lamps, told as rays to the lamps tell them."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from floors import one_room

from kit.look.cast import apart, cast_shadows
from kit.look.contact import LUMINANCE
from kit.look.direct import clear, lamps_of
from kit.look.lights import USUAL, lit_room, traced_bounces
from kit.look.room import solid_room
from kit.look.texels import between
from kit.look.trace import hit, stopped

pytestmark = [pytest.mark.jit]

SEAT_M = (0.3, 0.6)
"""Heights between which a top is taken for a seat."""


@pytest.fixture(scope="module")
def room():
    plan = one_room(shapely.box(0, 0, 7, 6))
    return solid_room(plan, plan.largest_room)


@pytest.fixture(scope="module")
def bounces(room):
    return traced_bounces(room)


def on_disc(lamp, count):
    """Places on a ceiling lamp's face, all over it."""
    k = np.arange(count) + 0.5
    turn, out = k * 2.39996, lamp[3] * np.sqrt(k / count)
    level = np.full(count, lamp[2] - 1e-3)
    return np.column_stack(
        [lamp[0] + out * np.cos(turn), lamp[1] + out * np.sin(turn), level]
    )


def straight_from_lamps(room, x, y):
    """Luminance over pi that lamps lay on the floor, by a hundred rays to each."""
    total = 0.0
    for lamp in lamps_of(room, True):
        if lamp[4]:
            continue
        lit = np.mean([clear(x, y, 2e-3, *p, room.solids) for p in on_disc(lamp, 100)])
        d2 = (lamp[0] - x) ** 2 + (lamp[1] - y) ** 2 + lamp[2] ** 2
        total += lit * lamp[5:] @ LUMINANCE * lamp[3] ** 2 * lamp[2] ** 2 / d2**2
    return total


def shadows(room):
    """Middles of the shadows of seats, and places as far out of each as it is wide."""
    seats = [d for d in room.solids.drums if d[2] > 0.1 and SEAT_M[0] < d[3] < SEAT_M[1]]
    for x, y, radius, _, top in seats:
        for lamp in lamps_of(room, True):
            if lamp[4]:
                continue
            part = top / (lamp[2] - top)
            middle = np.array([x, y]) + part * (np.array([x, y]) - lamp[:2])
            if np.linalg.norm(middle - lamp[:2]) < 2.5:
                yield middle, (1.0 + part) * radius


def test_the_shadow_of_a_seat_is_as_deep_as_rays_to_the_lamps_tell(room, bounces):
    """A step from inside its edge to outside, which texels alone tell by half or less."""
    light = lit_room(room, bounces, "evening")
    cast = cast_shadows(room, light)
    lit = (light.on(np.full(3, USUAL)) @ LUMINANCE)[:, None].astype(np.float32)
    faces, steps = room.faces, []
    for middle, radius in shadows(room):
        for turn in np.linspace(0.0, 2.0 * np.pi, 8, endpoint=False):
            way = np.array([np.cos(turn), np.sin(turn)])
            ends = np.array([middle + 0.7 * radius * way, middle + 1.3 * radius * way])
            if not room.outline.buffer(-0.1).contains(shapely.MultiPoint(ends)):
                continue
            inner, outer = (straight_from_lamps(room, *end) for end in ends)
            told = [between(faces.floor_face, *e, faces.table, lit, 0) for e in ends]
            ours = np.diff(np.array(told) * cast.at(ends))[0]
            steps.append((outer - inner, ours, np.diff(told)[0]))
    true, ours, texels = np.array(steps).T
    assert len(true) > 8
    assert np.abs(true).max() > 0.1 * np.median(lit[faces.floor])
    assert float(ours @ true / (true @ true)) == pytest.approx(1.0, abs=0.15)
    assert float(texels @ true / (true @ true)) < 0.6
    assert np.corrcoef(ours, true)[0, 1] > 0.85


def test_by_day_windows_throw_no_edges(room, bounces):
    cast = cast_shadows(room, lit_room(room, bounces, "day"))
    assert (cast.left == 1.0).all()


def test_things_are_taken_apart_whole(room):
    """All boxes and drums are in one half or the other, and a ray meets what it met."""
    high, low = apart(room.solids)
    for kind in ("boxes", "drums"):
        both = np.vstack([getattr(high, kind), getattr(low, kind)])
        assert sorted(map(tuple, both)) == sorted(map(tuple, getattr(room.solids, kind)))
    bare = room.solids._replace(
        walls=room.solids.walls[:0], windows=room.solids.windows[:0],
        doorways=room.solids.doorways[:0], globes=room.solids.globes[:0],
    )  # fmt: skip
    rng = np.random.default_rng(5)
    met = 0
    for _ in range(2000):
        one, other = rng.uniform((0, 0, 0.01), (7, 6, 2.5), (2, 3))
        way = other - one
        far = hit(*one, *way, bare)[0]
        told = [
            stopped(*one, *way, some) for some in (high, low._replace(walls=bare.walls))
        ]
        assert any(told) == (far < 1.0)
        met += any(told)
    assert met > 40
