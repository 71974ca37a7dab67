"""A room that has no dry way out is given one: a second exit, another day, spiked shoes."""

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from plan.raster_checker import first_trapped
from shapely import LineString, Polygon, box, union_all

from kit.errors import PlanError
from kit.plan.cells import Cell, Contact
from kit.plan.floor import FloorPlan, PlannedRoom, Threshold, WayOut
from kit.plan.mending import in_parts, with_an_exit
from kit.plan.order import pour_order
from kit.plan.pace import PASSES_M, TURN_MIN, Pace
from kit.plan.refusing import NoOrderError
from kit.plan.room_lanes import Laid, way_in_shoes
from kit.plan.sequence import Step
from kit.work.layers import zones_of

PAIR = Pace(people=2, rate_m2_h=17.0, edge_min=60.0, lane_min=40.0, buckets_share=0.3)
ALONE = Pace(people=1, rate_m2_h=8.5, edge_min=60.0, lane_min=40.0)
HALL = box(0, 0, 16, 16)


def one_room(shape, door, *others, joins=()):
    made = (PlannedRoom("room", Polygon(shape.exterior), shape), *others)
    surface = union_all([room.poured for room in made])
    return FloorPlan(made, joins, WayOut("room", LineString(door), 0.9), surface)


def dumbbell(neck_m=0.3, west_m=4.0, deep_m=4.0):
    """Two squares with a neck between, left by the eastern one."""
    half = deep_m / 2
    shape = union_all(
        [
            box(0, 0, west_m, deep_m),
            box(west_m, half - neck_m / 2, west_m + 1, half + neck_m / 2),
            box(west_m + 1, 0, west_m + 5, deep_m),
        ]
    )
    return one_room(shape, [(west_m + 5, 1), (west_m + 5, 2)])


def refusal(plan, pace):
    with pytest.raises(NoOrderError) as caught:
        pour_order(plan, pace)
    return caught.value


def check_ways_out(order):
    """Each lane's way: lanes laid later, or in shoes over film that is not too old."""
    began = {lane.number: lane.from_min for lane in order.lanes}
    for lane in order.lanes:
        assert lane.way_out[-1] == "out"
        for words in lane.way_out[:-1]:
            if not (step := re.match(r"lane (\d+)( in shoes)?$", words)):
                continue
            number = int(step[1])
            if step[2]:
                age_min = lane.to_min + TURN_MIN - began[number]
                assert lane.in_shoes
                assert age_min <= order.pace.shoes_min
            else:
                assert number > lane.number


def test_what_lies_behind_a_neck_gets_a_door_of_its_own():
    plan = dumbbell()
    why = refusal(plan, PAIR)
    assert why.behind is not None
    assert not why.is_slow

    mended = next(with_an_exit(plan, why.room, why.behind))
    order = pour_order(mended.plan, PAIR)
    assert mended.says.startswith("a second exit in the ")
    assert mended.plan.exits[0].room == "room, far side"
    assert sum(lane.area_m2 for lane in order.lanes) == pytest.approx(plan.surface.area)
    check_ways_out(order)
    assert first_trapped(mended.plan, order) == ""


def test_a_second_exit_leads_outside_and_not_into_a_niche_or_another_room():
    other = PlannedRoom("other", *[box(-5, 0, -0.1, 4)] * 2)
    plan = dumbbell()
    joined = Threshold(("room", "other"), (LineString([(0, 1), (0, 2)]),) * 2, None, 1.0)
    plan = one_room(plan.rooms[0].poured, [(9, 1), (9, 2)], other, joins=(joined,))
    for mended in with_an_exit(plan, "room", box(0.3, 0.3, 3.7, 3.7)):
        door = mended.plan.exits[0].opening
        west, _, east, _ = door.bounds
        assert not (west == east == 0.0), "into the other room"
        assert not (west == east == 4.0), "into the niche before the neck"


def test_a_hall_too_wide_for_one_is_laid_on_two_days_with_tape_between():
    plan = one_room(HALL, [(16, 1), (16, 2)])
    assert refusal(plan, ALONE).is_slow

    mended = next(in_parts(plan, "room"))
    zones = zones_of(mended.plan, HALL.area, 1)
    order = pour_order(mended.plan, ALONE, zones=zones)
    assert order.days == 2
    assert [zone.rooms for zone in zones] == [("room, part 1",), ("room, part 2",)]
    (tape,) = order.taped
    assert tape.line.length == pytest.approx(16.0)
    assert order.headings[-1].through is None
    check_ways_out(order)
    assert first_trapped(mended.plan, order) == ""


def test_in_spiked_shoes_one_lays_what_cannot_be_left_dry():
    plan = one_room(HALL, [(16, 6), (16, 7)])
    refusal(plan, ALONE)

    order = pour_order(plan, Pace(1, 8.5, 60.0, 40.0, shoes_min=20.0))
    assert any(lane.in_shoes for lane in order.lanes)
    assert sum(lane.area_m2 for lane in order.lanes) == pytest.approx(HALL.area)
    check_ways_out(order)
    for lane in order.lanes:
        assert lane.in_shoes == (
            lane.width_m < PASSES_M or "in shoes" in " ".join(lane.way_out)
        )


@pytest.mark.parametrize(("lane_min", "path"), [(5.0, (0,)), (9.0, (0,)), (10.0, None)])
def test_a_lane_is_crossed_in_shoes_while_its_oldest_spot_is_young(lane_min, path):
    """The lane at the door first, then the one behind it, a minute to turn: the door lane
    is 2 t + 2 min old when the other is left over it; 20 at t = 9. By hand."""
    over = Contact("x", 1.0, 0.0, 3.0)
    door = Contact("x", 2.0, 1.0, 2.0)
    near, far = (Cell(box(x, 0, x + 1, 3)) for x in (1.0, 0.0))
    laid = [
        Laid(Step(near, -1, door), 0.0, lane_min, (0.0,), 3.0),
        Laid(Step(far, 0, over), lane_min + 1, 2 * lane_min + 1, (0.0,), 3.0),
    ]
    pace = Pace(1, 8.5, 60.0, 40.0, shoes_min=20.0)

    assert way_in_shoes(1, laid, [{-1: door, 1: over}, {0: over}], pace) == path


def test_a_room_that_can_be_left_dry_is_laid_so_though_there_are_shoes():
    plan = one_room(box(0, 0, 8, 6), [(8, 2.5), (8, 3.5)])
    shod = Pace(2, 17.0, 60.0, 40.0, 0.3, shoes_min=20.0)

    order = pour_order(plan, shod)
    assert not any(lane.in_shoes for lane in order.lanes)
    plain = pour_order(plan, PAIR)
    assert [lane.area_m2 for lane in order.lanes] == [lane.area_m2 for lane in plain.lanes]


@given(neck_m=st.floats(0.1, 0.4), west_m=st.floats(2.5, 7.0), deep_m=st.floats(2.5, 7.0))
@settings(max_examples=15, deadline=None)
def test_a_second_exit_frees_every_floor_behind_a_neck(neck_m, west_m, deep_m):
    plan = dumbbell(neck_m, west_m, deep_m)
    why = refusal(plan, PAIR)

    for mended in with_an_exit(plan, why.room, why.behind):
        try:
            order = pour_order(mended.plan, PAIR)
        except PlanError:
            continue
        check_ways_out(order)
        assert sum(lane.area_m2 for lane in order.lanes) == pytest.approx(
            plan.surface.area, rel=1e-6
        )
        return
    pytest.fail("no second exit gives an order")


@given(wide_m=st.floats(13.0, 22.0), deep_m=st.floats(13.0, 22.0), at=st.floats(0.1, 0.9))
@settings(max_examples=12, deadline=None)
def test_parts_of_a_hall_are_its_floor_and_never_of_one_day(wide_m, deep_m, at):
    y = at * (deep_m - 1.0)
    plan = one_room(box(0, 0, wide_m, deep_m), [(wide_m, y), (wide_m, y + 1.0)])
    for count, mended in enumerate(in_parts(plan, "room"), start=2):
        rooms = mended.plan.rooms
        assert len(rooms) == count
        assert sum(r.poured.area for r in rooms) == pytest.approx(wide_m * deep_m)
        assert len(mended.plan.apart) == count - 1
        for zone in zones_of(mended.plan, wide_m * deep_m, 1):
            assert not any(set(pair) <= set(zone.rooms) for pair in mended.plan.apart)
