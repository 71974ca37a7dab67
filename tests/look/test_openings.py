"""Doors and windows of a room: those of the plan where they are, ours where they may be."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely

from kit.look.camera import camera_at
from kit.look.eye import look
from kit.look.openings import LOW_HIGH_M
from kit.look.room import solid_room
from kit.look.skins import BEYOND, DOOR, LEAF, PANE, SECTIONAL
from kit.look.trace import hit
from kit.plan.floor import FloorPlan, PlannedRoom, Threshold, WayOut

pytestmark = [pytest.mark.jit]

THICK_M = 0.15


def hall_and_cell(*, below_grade=False, door_m=0.9, way_m=1.0):
    """A hall of 6 by 5 m; a cell of 3 by 4 m behind its east wall; the way out is west."""
    hall, cell = shapely.box(0, 0, 6, 5), shapely.box(6 + THICK_M, 0, 9 + THICK_M, 4)
    low, high = 2.0 - way_m / 2, 2.0 + way_m / 2
    here = shapely.LineString([(6, low), (6, high)])
    there = shapely.LineString([(6 + THICK_M, low), (6 + THICK_M, high)])
    gap = shapely.box(6, low, 6 + THICK_M, high)
    rooms = (PlannedRoom("Hall", hall, hall), PlannedRoom("Cell", cell, cell))
    out = shapely.LineString([(0, 0.05), (0, 0.05 + door_m)])
    return FloorPlan(
        rooms, (Threshold(("Hall", "Cell"), (here, there), gap, way_m),),
        WayOut("Hall", out, door_m), shapely.union_all([hall, cell, gap]), below_grade,
    )  # fmt: skip


@pytest.fixture(scope="module")
def hall():
    plan = hall_and_cell()
    return solid_room(plan, plan.largest_room)


def kinds(room):
    return set(room.skins[:, 0].astype(int))


def test_a_doorway_between_rooms_stands_open_and_its_floor_runs_on(hall):
    floor = len(hall.solids.walls)
    far, face, x, y = hit(5.0, 2.0, 1.0, 1.0, 0.0, -0.5, hall.solids)
    assert face == floor
    assert (far, x, y) == pytest.approx((2.0, 7.0, 2.0))
    far, face, _, _ = hit(5.0, 2.0, 1.0, 1.0, 0.0, 0.0, hall.solids)
    assert hall.skins[face, 0] == BEYOND
    assert far == pytest.approx(1.0 + THICK_M + 3.0)


def test_the_space_beyond_opens_to_its_own_sides(hall):
    """Through the doorway at a slant: past the jamb, onto the cell's side wall at y = 4."""
    far, face, u, _ = hit(5.0, 1.6, 1.0, 1.0, 0.62, 0.0, hall.solids)
    assert hall.skins[face, 0] == BEYOND
    assert not 0.0 <= u <= 1.0
    assert 1.6 + 0.62 * far == pytest.approx(4.0, abs=0.02)


def test_a_ray_that_starts_beyond_ends_beyond(hall):
    _, face, _, _ = hit(7.0, 2.0, 1e-4, 1.0, 0.0, 0.05, hall.solids)
    assert hall.skins[face, 0] == BEYOND


def test_the_wall_beside_a_doorway_is_wall(hall):
    _, face, _, _ = hit(5.0, 3.2, 2.2, 1.0, 0.0, 0.0, hall.solids)
    assert face < len(hall.solids.walls)
    _, face, _, _ = hit(5.0, 2.0, 1.0, 1.0, 0.0, 1.5, hall.solids)
    assert face < len(hall.solids.walls)


def leaf_faces(room):
    return np.flatnonzero(room.skins[:, 0] == LEAF)


def test_a_door_between_rooms_is_folded_back_beside_its_doorway(hall):
    """Hinged on the side of the nearer corner, its other edge a hand off the wall."""
    assert len(leaf_faces(hall)) == 2
    far, face, _, _ = hit(4.0, 1.0, 1.0, 1.0, 0.0, 0.0, hall.solids)
    assert hall.skins[face, 0] == LEAF
    assert 1.6 < far < 1.95
    _, face, _, _ = hit(4.0, 2.0, 1.0, 1.0, 0.0, 0.0, hall.solids)
    assert hall.skins[face, 0] == BEYOND


@pytest.mark.parametrize(
    ("columns", "door_m", "leaves"),
    [
        ((), 1.0, 1),
        (((5.4, 1.0),), 1.0, 1),
        (((5.4, 1.0), (5.4, 3.0)), 1.0, 0),
        ((), 1.6, 2),
        ((), 2.4, 0),
    ],
)
def test_a_leaf_hangs_where_it_can_swing(columns, door_m, leaves):
    """A door on the side no column bars, none where both are; a pair; none that wide."""
    plan = hall_and_cell(way_m=door_m)
    poured = plan.rooms[0].poured
    for x, y in np.reshape(columns, (-1, 2)):
        poured = poured.difference(shapely.Point(x, y).buffer(0.15))
    hall = replace(plan.rooms[0], poured=poured)
    plan = replace(plan, rooms=(hall, plan.rooms[1]))
    assert len(leaf_faces(solid_room(plan, hall))) == 2 * leaves


def test_the_door_of_a_closet_opens_out_of_it():
    plan = hall_and_cell()
    closet = shapely.box(6 + THICK_M, 0, 9 + THICK_M, 2.95)
    cell = replace(plan.rooms[1], outline=closet, poured=closet)
    plan = replace(plan, rooms=(plan.rooms[0], cell))
    assert len(leaf_faces(solid_room(plan, cell))) == 0


def test_no_window_looks_into_another_room(hall):
    for wall, low, high, *_ in hall.solids.windows:
        row = hall.solids.walls[int(wall)]
        for at in np.linspace(low, high, 5):
            x, y = row[:2] + at * row[2:4] - 0.3 * row[5:7]
            assert not shapely.box(6, 0, 9 + THICK_M, 4).contains(shapely.Point(x, y))


def test_no_window_cuts_a_door(hall):
    for wall, low, high, *_ in hall.solids.windows:
        for other, start, stop, *_ in hall.solids.doorways:
            assert wall != other or high < start or low > stop


@pytest.mark.parametrize(("door_m", "kind"), [(0.9, DOOR), (1.8, DOOR), (4.8, SECTIONAL)])
def test_the_way_out_is_shut_by_what_fits_its_width(door_m, kind):
    plan = hall_and_cell(door_m=door_m)
    room = solid_room(plan, plan.largest_room)
    shut = {DOOR, SECTIONAL} & kinds(room)
    assert shut == {kind}


def test_a_cellar_has_low_windows_under_its_ceiling_and_its_lamps_on_by_day(hall):
    plan = hall_and_cell(below_grade=True)
    cellar = solid_room(plan, plan.largest_room)
    high = cellar.solids.windows[:, 4] - cellar.solids.windows[:, 3]
    assert high == pytest.approx(LOW_HIGH_M)
    assert cellar.solids.windows[:, 3].min() > 1.6
    assert len(cellar.lamps_lit(evening=False)) == len(cellar.lamps) > 0
    assert len(hall.lamps_lit(evening=False)) == 0
    assert len(hall.lamps_lit(evening=True)) == len(hall.lamps) > 0


def test_lamps_hang_within_the_room(hall):
    for x, y, z, _ in hall.lamps:
        assert hall.outline.buffer(-0.3).contains(shapely.Point(x, y))
        assert z == hall.solids.height


def test_all_floor_that_a_ray_can_meet_is_underfoot(hall):
    random = np.random.default_rng(5)
    eye, floor = (2.0, 2.0, 1.6), len(hall.solids.walls)
    for _ in range(400):
        turn, fall = random.uniform(-0.5, 0.5), random.uniform(0.15, 1.0)
        _, face, x, y = hit(*eye, np.cos(turn), np.sin(turn), -fall, hall.solids)
        if face == floor:
            assert hall.underfoot.buffer(1e-3).contains(shapely.Point(x, y))
    assert hall.underfoot.contains(shapely.Point(8.0, 2.0))
    assert not hall.underfoot.contains(shapely.Point(5.0, 5.5))


def test_the_view_to_the_window_shows_a_door_where_it_can():
    studio = shapely.box(0, 0, 4.6, 6.2)
    out = shapely.LineString([(4.6, 1.2), (4.6, 2.1)])
    room = PlannedRoom("Studio", studio, studio)
    plan = FloorPlan((room,), (), WayOut("Studio", out, 0.9), studio)
    solid = solid_room(plan, room)
    seen = look(solid, camera_at(solid.stands["room"], 120, 75), 1)
    shown = {
        int(solid.skins[face, 0]) for hits in seen.others for face in np.unique(hits.face)
    }
    assert {DOOR, PANE} <= shown
