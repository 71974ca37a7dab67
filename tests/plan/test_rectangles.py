"""Rectangles are turned, cut and compared by arithmetic: as their polygons would be."""

import math
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString, Polygon, box
from shapely.affinity import rotate

from kit.plan.cells import Cell, contacts, floor_of
from kit.plan.floor import FloorPlan, PlannedRoom, WayOut
from kit.plan.frame import Door
from kit.plan.order import pour_order
from kit.plan.pace import Pace

PAIR = Pace(people=2, rate_m2_h=17.0, edge_min=60.0, lane_min=40.0, buckets_share=0.3)


def one_room(shape, door):
    return FloorPlan(
        (PlannedRoom("room", shape, shape),), (), WayOut("room", door, 0.9), shape
    )


def turned(shape, degrees):
    return rotate(shape, degrees, origin=(0, 0))


@given(wide=st.floats(2.0, 9.0), deep=st.floats(2.0, 9.0), degrees=st.floats(0.0, 360.0))
@settings(max_examples=25)
def test_a_room_in_its_own_frame_is_a_rectangle_however_it_stands(wide, deep, degrees):
    angle = math.radians(degrees)
    floor = floor_of(turned(box(1.0, 2.0, 1.0 + wide, 2.0 + deep), degrees), angle)

    assert floor.is_box
    assert floor.bounds == pytest.approx((1.0, 2.0, 1.0 + wide, 2.0 + deep))
    assert floor.area_m2 == pytest.approx(wide * deep)
    door = Door(turned(LineString([(1.0, 3.0), (1.0, 3.9)]), degrees), angle)
    assert door.bounds == pytest.approx((1.0, 3.0, 1.0, 3.9))


def test_a_room_that_stands_askew_in_a_frame_or_has_a_fifth_corner_is_none():
    room = box(0.0, 0.0, 5.0, 4.0)

    assert not floor_of(room, 0.1).is_box
    assert not floor_of(Polygon([(0, 0), (5, 0), (5, 4), (1, 4), (0, 3)]), 0.0).is_box


@given(
    across=st.lists(st.integers(1, 9), min_size=1, max_size=3),
    up=st.lists(st.integers(1, 9), min_size=1, max_size=3),
)
@settings(max_examples=25)
def test_rectangles_touch_where_their_polygons_do(across, up):
    xs = [sum(across[:n]) for n in range(len(across) + 1)]
    ys = [sum(up[:n]) for n in range(len(up) + 1)]
    sides = [
        (float(x0), float(y0), float(x1), float(y1))
        for x0, x1 in pairwise(xs)
        for y0, y1 in pairwise(ys)
    ]
    for a in sides:
        for b in sides:
            if a is not b:
                by_shape = contacts(Cell(box(*a)), Cell(box(*b)))
                assert contacts(Cell(a), Cell(b)) == by_shape


@given(
    wide=st.floats(3.0, 9.0), deep=st.floats(3.0, 8.0), along=st.floats(0.1, 0.9),
    people=st.integers(1, 4),
)  # fmt: skip
@settings(max_examples=20)
def test_a_corner_amid_a_straight_wall_changes_no_lane(wide, deep, along, people):
    """With it the room is cut as any other is, by its profile and as polygons."""
    pace = Pace(people, 17.0, edge_min=70.0, lane_min=50.0, buckets_share=0.25)
    door = LineString([(wide, 0.3), (wide, 1.2)])
    plain = pour_order(one_room(box(0, 0, wide, deep), door), pace)
    corner = (along * wide, 0.0)
    shape = Polygon([(0, 0), corner, (wide, 0), (wide, deep), (0, deep)])
    cornered = pour_order(one_room(shape, door), pace)

    assert len(plain.lanes) == len(cornered.lanes)
    for one, other in zip(plain.lanes, cornered.lanes, strict=True):
        assert one.shape.symmetric_difference(other.shape).area < 0.01 * one.area_m2
        assert one.onto == other.onto
        assert one.to_min == pytest.approx(other.to_min, rel=0.01)
