"""Places to look from: in any room an eye stands free, level, and sees mostly floor."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.look.camera import EYE_M, LENSES, camera_at, floor_part
from kit.look.eye import look
from kit.look.room import solid_room
from kit.look.skins import DOOR
from kit.look.trace import MISS
from kit.plan.floor import FloorPlan, PlannedRoom, Threshold, WayOut
from kit.plan.views import STANDINGS

pytestmark = [pytest.mark.jit]

LEAST_FLOOR = 0.35
SIZES = [(160, 100), (120, 78), (120, 120)]


@st.composite
def plans(draw):
    """Boxes, L shapes, passages, closets, with columns and doors of any width."""
    wide, deep = (draw(st.floats(1.5, 26.0)) for _ in range(2))
    shape = shapely.box(0.0, 0.0, wide, deep)
    if draw(st.booleans()) and min(wide, deep) > 3.0:
        x, y = draw(st.floats(0.4, 0.75)) * wide, draw(st.floats(0.4, 0.75)) * deep
        shape = shape.difference(shapely.box(x, y, wide + 1.0, deep + 1.0))
    shape = shapely.affinity.rotate(shape, draw(st.sampled_from([0.0, 0.0, 17.0])))
    poured = shape
    for _ in range(draw(st.integers(0, 6))):
        west, south, east, north = shape.bounds
        x = west + draw(st.floats(0.1, 0.9)) * (east - west)
        y = south + draw(st.floats(0.1, 0.9)) * (north - south)
        column = shapely.Point(x, y).buffer(0.18)
        inner = shape.buffer(-0.9)
        if inner.contains(column):
            poured = poured.difference(column)
    ring = shapely.geometry.polygon.orient(shape, 1.0).exterior
    corners = np.asarray(ring.coords)
    wall = draw(st.integers(0, len(corners) - 2))
    start, step = corners[wall], corners[wall + 1] - corners[wall]
    length = float(np.linalg.norm(step))
    width = min(draw(st.sampled_from([0.7, 0.9, 1.8, 4.8])), 0.9 * length)
    low = draw(st.floats(0.0, 1.0)) * (length - width)
    ends = [start + (low + w) / length * step for w in (0.0, width)]
    way = shapely.LineString(ends)
    room = PlannedRoom("Room", shape, poured)
    below = draw(st.booleans())
    if draw(st.booleans()):
        return FloorPlan((room,), (), WayOut("Room", way, width), poured, below)
    thick = draw(st.sampled_from([0.0, 0.15]))
    outward = np.array([step[1], -step[0]]) / length
    near, far = thick * outward, (thick + draw(st.floats(0.5, 0.9))) * outward
    cell = shapely.Polygon([ends[0] + near, ends[1] + near, ends[1] + far, ends[0] + far])
    there = shapely.LineString([ends[0] + near, ends[1] + near])
    beyond = PlannedRoom("Cell", cell, cell)
    through = Threshold(("Room", "Cell"), (way, there), None, width)
    surface = shapely.union(poured, cell)
    return FloorPlan(
        (room, beyond), (through,), WayOut("Cell", there, width), surface, below
    )


def stands_free(room, plan, stand) -> bool:
    """In the room clear of all that stands there, or before a wall that is taken away."""
    eye = shapely.Point(stand.x, stand.y)
    if stand.near_m:
        ahead = np.array(stand.ahead)
        through = shapely.Point(np.array([stand.x, stand.y]) + stand.near_m * ahead)
        return (
            not room.outline.covers(eye) and room.outline.exterior.distance(through) < 0.01
        )
    if not plan.rooms[0].poured.buffer(-0.11).covers(eye):
        return False
    for x, y, z, a, b, h, c, s in room.solids.boxes:
        east, north = stand.x - x, stand.y - y
        inside = abs(c * east + s * north) < a and abs(c * north - s * east) < b
        if inside and z - h < EYE_M < z + h:
            return False
    return all(
        math.dist((x, y), (stand.x, stand.y)) > r for x, y, r, _, _ in room.solids.drums
    )


@settings(max_examples=40, deadline=None)
@given(plan=plans())
def test_any_room_is_seen_from_three_free_places_and_is_mostly_floor(plan):
    room = solid_room(plan, plan.rooms[0])
    assert tuple(room.stands) == STANDINGS
    for name, stand in room.stands.items():
        assert stands_free(room, plan, stand), name
        assert math.hypot(*stand.ahead) == pytest.approx(1.0)
        assert LENSES[0] <= stand.half_wide <= LENSES[-1]
        seen = look(room, camera_at(stand, 80, 50), 1)
        assert float(seen.cover.sum()) / 4000 >= LEAST_FLOOR, name


@pytest.mark.parametrize(
    ("size_m", "door_m", "behind"),
    [((1.7, 1.5), 0.9, True), ((2.5, 2.31), 1.8, False)],
    ids=["through the doorway's wall", "through the window's wall"],
)
def test_nothing_of_a_wall_that_is_taken_away_stands_before_the_floor(
    size_m, door_m, behind
):
    """Neither the space beyond its doorway nor its window's board."""
    shape = shapely.box(0.0, 0.0, *size_m)
    east = size_m[0]
    way, there = (shapely.LineString([(x, 0.0), (x, door_m)]) for x in (east, east + 0.15))
    room = PlannedRoom("Room", shape, shape)
    plan = FloorPlan((room,), (), WayOut("Room", way, door_m), shape)
    if behind:
        cell = shapely.box(east + 0.15, 0.0, east + 0.9, door_m)
        rooms = (room, PlannedRoom("Cell", cell, cell))
        through = Threshold(("Room", "Cell"), (way, there), None, door_m)
        plan = FloorPlan(rooms, (through,), WayOut("Cell", there, door_m), shape)
    solid = solid_room(plan, room)
    assert any(stand.near_m for stand in solid.stands.values())
    for stand in solid.stands.values():
        seen = look(solid, camera_at(stand, 80, 50), 1)
        assert float(seen.cover.sum()) / 4000 >= LEAST_FLOOR


@pytest.mark.parametrize(
    ("size_m", "door"),
    [
        ((4, 7), [(0, 2), (0, 2.9)]),
        ((10, 6), [(2, 0), (2.9, 0)]),
        ((7, 9), [(0, 0.2), (0, 1.1)]),
    ],
    ids=["west", "south", "corner"],
)
def test_one_of_the_three_views_shows_a_door(size_m, door):
    studio = shapely.box(0, 0, *size_m)
    room = PlannedRoom("Studio", studio, studio)
    way = shapely.LineString(door)
    solid = solid_room(FloorPlan((room,), (), WayOut("Studio", way, 0.9), studio), room)
    shown = 0.0
    for stand in solid.stands.values():
        for hits in look(solid, camera_at(stand, 80, 50), 1).others:
            is_door = solid.skins[hits.face, 0] == DOOR
            shown = max(shown, float(is_door.mean(axis=1).sum()) / 4000)
    assert shown > 0.01


@settings(max_examples=15, deadline=None)
@given(plan=plans())
def test_every_look_ends_on_something(plan):
    """No crack between walls, floor and ceiling, whatever the room."""
    room = solid_room(plan, plan.rooms[0])
    for stand in room.stands.values():
        seen = look(room, camera_at(stand, 48, 30), 1)
        whole, _ = seen.others
        assert not np.any(whole.face == MISS)


@pytest.mark.parametrize("size", SIZES)
def test_the_floor_told_without_a_ray_is_the_floor_that_rays_meet(ell, size):
    room = solid_room(ell, ell.largest_room)
    for stand in room.stands.values():
        camera = camera_at(stand, *size)
        seen = look(room, camera, 1)
        told = floor_part(stand.reach_m, stand.half_wide * size[1] / size[0], camera.shift)
        met = float(seen.cover.sum()) / (size[0] * size[1])
        assert met == pytest.approx(float(told), abs=0.08)


def test_the_three_views_of_a_room_differ(ell):
    stands = list(solid_room(ell, ell.largest_room).stands.values())
    for i, one in enumerate(stands):
        for other in stands[i + 1 :]:
            apart = math.dist((one.x, one.y), (other.x, other.y))
            turned = math.degrees(math.acos(min(1.0, np.dot(one.ahead, other.ahead))))
            assert apart > 1.0 or turned > 30.0


def test_furniture_stands_on_the_floor_clear_of_doors_and_eyes(ell):
    room = solid_room(ell, ell.largest_room)
    for stand in room.stands.values():
        for x, y, r, foot, _ in room.solids.drums:
            assert foot >= 0.0
            assert math.dist((x, y), (stand.x, stand.y)) > r + 0.5
