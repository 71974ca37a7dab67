"""The way every room is poured: from its far end, backing out to the door."""

from __future__ import annotations

import math

import pytest
from shapely import LineString, Polygon, box, union_all

from kit.plan.floor import FloorPlan, PlannedRoom, Threshold, WayOut
from kit.plan.heading import headings


def line(x0, y0, x1, y1):
    return LineString([(x0, y0), (x1, y1)])


def plan(rooms: dict[str, Polygon], doors, out) -> FloorPlan:
    planned = tuple(PlannedRoom(name, shape, shape) for name, shape in rooms.items())
    joins = tuple(Threshold(pair, (at, at), None, at.length) for pair, at in doors)
    leaving = WayOut(out[0], out[1], out[1].length)
    return FloorPlan(planned, joins, leaving, union_all(list(rooms.values())))


@pytest.fixture
def three():
    """A store behind a hall, the hall beside a porch with the way out; all 4 m high."""
    rooms = {"hall": box(4, 0, 10, 4), "porch": box(10, 0, 12, 4), "store": box(0, 0, 4, 4)}
    doors = [
        (("store", "hall"), line(4, 1.5, 4, 2.5)),
        (("hall", "porch"), line(10, 1.5, 10, 2.5)),
    ]
    return plan(rooms, doors, ("porch", line(12, 1.5, 12, 2.5)))


def test_rooms_are_poured_from_the_back_of_the_building(three):
    assert [h.room for h in headings(three)] == ["store", "hall", "porch"]
    assert [h.through for h in headings(three)] == ["hall", "porch", None]


def test_a_room_is_poured_towards_the_opening_it_is_left_by(three):
    """All openings lie on one line to the east: so does every heading."""
    for heading in headings(three):
        assert heading.angle == pytest.approx(0.0, abs=0.02)


def test_walks_add_up_from_opening_to_opening(three):
    assert [h.walk_m for h in headings(three)] == pytest.approx([8.0, 2.0, 0.0])


def test_of_two_ways_the_shorter_is_taken():
    """The loft opens to both; by the lane it is 3 m to the door, by the yard 9 m."""
    rooms = {"loft": box(0, 3, 10, 6), "lane": box(0, 0, 3, 3), "yard": box(3, 0, 10, 3)}
    doors = [
        (("loft", "yard"), line(8, 3, 9, 3)),
        (("loft", "lane"), line(1, 3, 2, 3)),
        (("lane", "yard"), line(3, 1, 3, 2)),
    ]
    found = {h.room: h for h in headings(plan(rooms, doors, ("lane", line(1, 0, 2, 0))))}
    assert found["loft"].through == "lane"
    assert found["loft"].walk_m == pytest.approx(3.0)
    assert found["loft"].leaves_m == pytest.approx((1.5, 3.0))
    assert found["yard"].through == "lane"


def test_the_far_end_lies_on_the_far_side():
    """Door in the south-west corner of a long room: pouring comes from the north-east."""
    one = plan({"shed": box(0, 0, 9, 3)}, [], ("shed", line(0, 0, 0.9, 0)))
    (heading,) = headings(one)
    assert heading.far_m[0] > 6.0
    assert math.cos(heading.angle) < -0.9


def test_the_way_depends_on_the_place_of_the_door_alone(three):
    """The same rooms moved far off are poured the same way."""
    from shapely.affinity import translate

    def moved(shape):
        return translate(shape, 1000.0, -500.0)

    rooms = {room.name: moved(room.outline) for room in three.rooms}
    doors = [(t.rooms, moved(t.opening[0])) for t in three.thresholds]
    far = plan(rooms, doors, ("porch", moved(three.way_out.opening)))
    for here, there in zip(headings(three), headings(far), strict=True):
        assert there.angle == pytest.approx(here.angle, abs=1e-9)
