"""The composition follows the way each room is poured, and runs on through doors."""

from __future__ import annotations

import numpy as np
import pytest
from pour.pourings import FT, places_on, plan_of
from shapely import LineString, Polygon, box, union_all

from kit.plan.floor import FloorPlan, PlannedRoom, Threshold, WayOut
from kit.plan.heading import headings
from kit.pour.bearings import bearings_of, take_bearings
from kit.pour.block import CX, CY, LONG, LONG_X, LONG_Y, SIZE, WIDE, WIDE_X, WIDE_Y, N
from kit.pour.ground import Ground
from kit.pour.motions.stroke import Hand, lay_strokes
from kit.pour.recipe import Flow

pytestmark = pytest.mark.jit


@pytest.fixture(scope="module")
def corner() -> FloorPlan:
    """Two long rooms at right angles: one is poured east, then the other north."""
    rooms = {"west": box(0, 0, 12, 4), "north": box(12.2, 0, 16.2, 14)}
    planned = tuple(PlannedRoom(name, shape, shape) for name, shape in rooms.items())
    gap = box(12, 1, 12.2, 3)
    faces = LineString([(12, 1), (12, 3)]), LineString([(12.2, 1), (12.2, 3)])
    door = Threshold(("west", "north"), faces, gap, 2.0)
    out = WayOut("north", LineString([(13.7, 14), (14.7, 14)]), 1.0)
    return FloorPlan(
        planned, (door,), out, union_all([*rooms.values(), gap], grid_size=1e-6)
    )


def bearings(plan, x_m, y_m):
    """Along and across the pour with their slopes, (6, M), at places in metres."""
    rooms = bearings_of(plan, 0.0)
    s = np.zeros(SIZE, np.float32)
    rows = (LONG, LONG_X, LONG_Y, WIDE, WIDE_X, WIDE_Y)
    out = np.empty((6, x_m.size))
    for first in range(0, x_m.size, N):
        lanes = min(N, x_m.size - first)
        s[CX : CX + lanes] = x_m[first : first + lanes] / FT
        s[CY : CY + lanes] = y_m[first : first + lanes] / FT
        take_bearings(s, rooms)
        for k, row in enumerate(rows):
            out[k, first : first + lanes] = s[row : row + lanes]
    return out


def test_slopes_of_the_bearings_are_their_differences(corner):
    rng = np.random.default_rng(2)
    x, y = rng.uniform(-2, 18, 800), rng.uniform(-2, 16, 800)
    h = 0.02
    here = bearings(corner, x, y)
    east, west = bearings(corner, x + h, y), bearings(corner, x - h, y)
    north, south = bearings(corner, x, y + h), bearings(corner, x, y - h)
    for value in (0, 3):
        assert here[value + 1] == pytest.approx(
            (east - west)[value] / (2 * h / FT), abs=0.01
        )
        assert here[value + 2] == pytest.approx(
            (north - south)[value] / (2 * h / FT), abs=0.01
        )


def test_deep_in_a_room_the_bearings_are_its_own(corner):
    for heading, (x, y) in zip(headings(corner), [(3.0, 2.0), (14.2, 11.0)], strict=True):
        _, east, north, *_ = bearings(corner, np.array([x]), np.array([y]))[:, 0]
        off = np.arctan2(north, east) - heading.angle
        assert np.sin(off) == pytest.approx(0.0, abs=0.05)


def test_through_a_doorway_the_bearings_run_on(corner):
    """No jump and no fold on the way from room to room."""
    x = np.linspace(8.0, 15.0, 700)
    along, ax, ay, across, bx, by = bearings(corner, x, np.full_like(x, 2.0))
    for value in (along, across):
        assert np.abs(np.diff(value)).max() < 0.06
    assert (ax * by - ay * bx).min() > 0.3


def test_currents_lie_along_the_pour_of_each_room(corner):
    """Over many seeds: contours of the field lean to the room's heading, not across."""
    ways = {heading.room: heading.angle for heading in headings(corner)}
    rng = np.random.default_rng(4)
    for room in corner.rooms:
        west, south, east, north = room.outline.buffer(-0.8).bounds
        x, y = rng.uniform(west, east, 300), rng.uniform(south, north, 300)
        lean = []
        for seed in range(40):
            _, q_x, q_y = Ground(corner, Flow(), seed).current(x, y)
            off = np.arctan2(-q_x, q_y) - ways[room.name]
            lean.append(np.cos(2 * off).mean())
        assert np.mean(lean) > 0.15


def test_slopes_of_the_current_are_its_differences_beside_walls_and_columns_too(ell):
    ground = Ground(ell, Flow(), 7)
    x, y = places_on(ell, 4_000)
    h = 0.004
    _, q_x, q_y = ground.current(x, y)
    east, west = ground.current(x + h, y)[0], ground.current(x - h, y)[0]
    north, south = ground.current(x, y + h)[0], ground.current(x, y - h)[0]
    per_ft = FT / (2 * h)
    for slope, rise in ((q_x, east - west), (q_y, north - south)):
        off = np.abs(slope - rise * per_ft)
        assert np.percentile(off, 99) < 0.02
        assert np.abs(slope).mean() > 0.03


def along_walls(plan, x, y, tangent, seeds=range(30)):
    """How far contours lie along a face: 1 all of them, 0 any way, -1 across it."""
    lean = []
    for seed in seeds:
        _, q_x, q_y = Ground(plan, Flow(), seed).current(x, y)
        lean.append(np.cos(2 * (np.arctan2(-q_x, q_y) - tangent)).mean())
    return np.mean(lean)


def test_currents_turn_along_a_wall_that_lies_across_the_pour(corner):
    """By the far wall of a room contours run into it less than a stride further in."""
    x = np.full(60, 0.6)
    y = np.linspace(0.6, 3.4, 60)
    by_the_wall = along_walls(corner, x, y, np.pi / 2)
    further_in = along_walls(corner, x + 1.9, y, np.pi / 2)
    assert by_the_wall > further_in + 0.25


def test_currents_turn_around_a_column(ell):
    turn = np.linspace(0, 2 * np.pi, 90)
    x, y = 11 * FT + 0.9 * FT * np.cos(turn), 9 * FT + 0.9 * FT * np.sin(turn)
    assert along_walls(ell, x, y, turn + np.pi / 2) > 0.15
    filled = plan_of(Polygon(ell.surface.exterior))
    assert abs(along_walls(filled, x, y, turn + np.pi / 2)) < 0.1


def test_strokes_follow_the_current_that_they_are_pulled_along(ell):
    """Every moment of an even pull heads along the contour where it stands."""
    ground = Ground(ell, Flow(turn=0.0), 7)
    hand = Hand(
        spacing_m=1.0, radius_m=0.5, length_m=2.5, curve=0.0, spread=0.0, back=0.0,
        alternate=False, moments=16,
    )  # fmt: skip
    pulls = lay_strokes(ground, 3, hand, lambda x, _: np.ones_like(x))
    x, y = pulls.x_m.ravel(), pulls.y_m.ravel()
    away, _ = ground.walls(x, y)
    off = np.arctan2(pulls.v_m, pulls.u_m).ravel() - ground.way(x, y)
    inside = away > 1.3
    assert inside.sum() > 200
    assert np.percentile(np.abs(np.sin(off[inside])), 90) < 0.2
