"""The pour order: nobody trapped, every edge met wet, the whole floor laid once."""

from __future__ import annotations

import math
from itertools import permutations
from typing import NamedTuple

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from plan.raster_checker import first_trapped
from shapely import LineString, Point, Polygon, box, union_all
from shapely.affinity import rotate

from kit.errors import PlanError
from kit.plan.cells import Cell
from kit.plan.floor import FloorPlan, PlannedRoom, Threshold, WayOut
from kit.plan.frame import Door
from kit.plan.heading import headings
from kit.plan.order import pour_order
from kit.plan.pace import REACH_M, WIDEST_M, Pace
from kit.plan.sequence import in_turn

FT = 0.3048
PAIR = Pace(people=2, rate_m2_h=17.0, edge_min=60.0, lane_min=40.0, buckets_share=0.3)


class Part(NamedTuple):
    rooms: tuple[str, ...]
    area_m2: float


def line(x0, y0, x1, y1):
    return LineString([(x0, y0), (x1, y1)])


def one_room(shape: Polygon, door: LineString, name="room") -> FloorPlan:
    outline = Polygon(shape.exterior)
    return FloorPlan(
        (PlannedRoom(name, outline, shape),), (), WayOut(name, door, 0.9), shape
    )


def row_of_rooms(widths, depth, doors) -> FloorPlan:
    """Rooms side by side, each left into the next; the last one outside."""
    rooms, joins, west = [], [], 0.0
    for n, wide in enumerate(widths):
        shape = box(west, 0, west + wide, depth)
        rooms.append(PlannedRoom(f"room {n}", shape, shape))
        west += wide
        if n < len(widths) - 1:
            at = line(west, doors[n], west, doors[n] + 0.9)
            joins.append(Threshold((f"room {n}", f"room {n + 1}"), (at, at), None, 0.9))
    out = WayOut(rooms[-1].name, line(west, depth / 3, west, depth / 3 + 0.9), 0.9)
    surface = union_all([room.poured for room in rooms])
    return FloorPlan(tuple(rooms), tuple(joins), out, surface)


@pytest.fixture(scope="module")
def demo_order(demo_workup):
    return pour_order(demo_workup.plan, PAIR)


def check_laws(plan: FloorPlan, order) -> None:
    lanes = order.lanes
    assert [lane.number for lane in lanes] == list(range(1, len(lanes) + 1))
    assert sum(lane.area_m2 for lane in lanes) == pytest.approx(plan.surface.area, rel=1e-3)
    for lane in lanes:
        # a parent that is laid later: the proof of a dry way out
        assert lane.onto is None or lane.onto > lane.number
        assert lane.width_m <= REACH_M + 1e-6
        assert lane.way_out[-1] == "out"
        assert lane.to_min > lane.from_min
    for edge in order.edges:
        assert edge.first < edge.second
        pace = order.pace
        holds_min = pace.calm_edge_min if edge.in_doorway else pace.edge_min
        assert edge.is_taped == (edge.age_min > holds_min)
        if lanes[edge.first - 1].day == lanes[edge.second - 1].day and not edge.in_doorway:
            assert not edge.is_taped


def test_the_demo_is_laid_from_its_far_end_and_nobody_is_trapped(demo_workup, demo_order):
    check_laws(demo_workup.plan, demo_order)
    assert first_trapped(demo_workup.plan, demo_order) == ""
    assert demo_order.lanes[-1].room == demo_workup.plan.way_out.room


def test_rooms_come_in_the_order_in_which_the_picture_has_them_poured(
    demo_workup, demo_order
):
    rooms = list(dict.fromkeys(lane.room for lane in demo_order.lanes))
    assert rooms == [heading.room for heading in headings(demo_workup.plan)]


def test_lanes_advance_within_an_eighth_of_a_turn_of_the_heading(demo_workup, demo_order):
    for heading in headings(demo_workup.plan):
        lanes = [lane for lane in demo_order.lanes if lane.room == heading.room]
        first, last = lanes[0].shape.centroid, lanes[-1].shape.centroid
        run = (last.x - first.x, last.y - first.y)
        along = math.cos(heading.angle) * run[0] + math.sin(heading.angle) * run[1]
        assert along > 0


def test_a_swapped_order_is_found_out_by_the_squares(demo_workup, demo_order):
    """The checker can fail: the last lane of the hall first is a trap."""
    from dataclasses import replace

    lanes = demo_order.lanes
    swapped = replace(demo_order, lanes=(lanes[-1], *lanes[1:-1], lanes[0]))
    assert first_trapped(demo_workup.plan, swapped) != ""


# 20 x 30 ft by one pourer at 300 sq ft an hour, edge wet for 20 min, worked by hand:
# lanes of 20 ft are reach-bound, ceil(30 / 4) = 8, of 75 sq ft and 15 min each.
def test_lanes_of_twenty_by_thirty_feet_are_eight_of_fifteen_minutes():
    shape = box(0, 0, 30 * FT, 20 * FT)
    pace = Pace(1, 300 * FT**2, edge_min=20.0, lane_min=19.0)
    order = pour_order(one_room(shape, line(30 * FT, 17 * FT, 30 * FT, 20 * FT)), pace)
    assert len({round(lane.shape.bounds[0], 3) for lane in order.lanes}) == 8
    assert order.lanes[0].to_min == pytest.approx(15.0, rel=1e-3)
    assert order.lanes[0].width_m == pytest.approx(3.75 * FT, rel=1e-3)


def test_a_door_amid_the_last_lane_is_left_by_an_apron():
    """Arms left and right first, then the piece before the door."""
    shape = box(0, 0, 8, 6)
    order = pour_order(one_room(shape, line(8, 2.5, 8, 3.5)), PAIR)
    *_, left, right, apron = order.lanes
    assert {left.onto, right.onto} == {apron.number}
    assert apron.onto is None
    assert apron.length_m == pytest.approx(1.0)
    assert first_trapped(one_room(shape, line(8, 2.5, 8, 3.5)), order) == ""


def test_two_crews_meet_in_a_lane_and_its_edge_is_of_one_age():
    shape = box(0, 0, 9, 7)
    three = Pace(3, 17.0, edge_min=60.0, lane_min=40.0, buckets_share=0.2)
    order = pour_order(one_room(shape, line(9, 6, 9, 7)), three)
    lane = order.lanes[0]
    assert len(lane.from_m) == 2
    assert math.dist(lane.from_m[0], lane.to_m) == pytest.approx(
        math.dist(lane.from_m[1], lane.to_m)
    )
    takes = lane.to_min - lane.from_min
    assert order.oldest_edge_min(2) == pytest.approx(takes + 1.0, abs=0.1)


@pytest.mark.parametrize("turn", [0, 17, 45, 90, 200])
def test_turning_the_plan_changes_no_lane(turn):
    shape = Polygon([(0, 0), (9, 0), (9, 4), (5, 4), (5, 7), (0, 7)])
    door = line(9, 1, 9, 2)
    plain = pour_order(one_room(shape, door), PAIR)
    turned = pour_order(
        one_room(rotate(shape, turn, origin=(0, 0)), rotate(door, turn, origin=(0, 0))),
        PAIR,
    )
    assert [round(lane.area_m2, 3) for lane in turned.lanes] == [
        round(lane.area_m2, 3) for lane in plain.lanes
    ]


@pytest.mark.parametrize("turn", range(7, 360, 23))
def test_turning_the_plan_changes_no_turn_of_arms_that_are_equally_wide(turn):
    """Left and right of a door in the middle differ by rounding alone."""
    # cut as polygons, whose corners are rounded: a rectangle has none amid a wall
    shape, door = Polygon([(0, 0), (3, 0), (8, 0), (8, 6), (0, 6)]), line(8, 2.5, 8, 3.5)
    plain = pour_order(one_room(shape, door), PAIR)
    other = pour_order(
        one_room(rotate(shape, turn, origin=(0, 0)), rotate(door, turn, origin=(0, 0))),
        PAIR,
    )
    for one, there in zip(plain.lanes, other.lanes, strict=True):
        back = rotate(there.shape, -turn, origin=(0, 0))
        assert back.centroid.distance(one.shape.centroid) < 0.01


def test_a_column_is_laid_round_and_an_island_parts_two_arms():
    island = box(3, 2, 6, 4.5)
    shape = box(0, 0, 9, 6.5).difference(island).difference(Point(1.2, 1.2).buffer(0.2))
    plan = one_room(shape, line(9, 5.4, 9, 6.4))
    order = pour_order(plan, PAIR)
    check_laws(plan, order)
    assert first_trapped(plan, order) == ""


def test_where_a_day_is_too_short_the_pour_ends_at_a_doorway_with_a_taped_edge():
    plan = row_of_rooms([6, 6, 6], 6.0, [2.0, 2.0])
    order = pour_order(plan, PAIR, day_min=200.0)
    assert order.days > 1
    for day in range(1, order.days + 1):
        lanes = order.of_day(day)
        assert lanes[0].from_min == 0.0
        assert lanes[-1].to_min <= 200.0
    assert all(edge.is_taped for edge in order.edges if math.isinf(edge.age_min))
    assert any(math.isinf(edge.age_min) for edge in order.edges)


def test_given_zones_the_order_is_cut_at_the_nearest_edges():
    plan = row_of_rooms([6, 6], 6.0, [2.0])
    zones = [Part(("room 0",), 36.0), Part(("room 1",), 36.0)]
    order = pour_order(plan, PAIR, zones=zones)
    assert order.days == 2
    assert {lane.room for lane in order.of_day(1)} == {"room 0"}


def test_zones_that_would_wall_a_room_in_are_refused():
    plan = row_of_rooms([6, 6], 6.0, [2.0])
    zones = [Part(("room 1",), 36.0), Part(("room 0",), 36.0)]
    with pytest.raises(PlanError, match=r"room 0.*poured before it"):
        pour_order(plan, PAIR, zones=zones)


@pytest.mark.parametrize(
    ("shape", "door", "says"),
    [
        (box(0, 0, 4, 4), line(4, 1, 4, 1.3), 'room "room": found no way out: the way out'),
        (
            union_all([box(0, 0, 4, 4), box(4, 1.9, 5, 2.2), box(5, 0, 9, 4)]),
            line(9, 1, 9, 2),
            "expected a second exit: nobody passes there",
        ),
    ],
)
def test_a_room_without_a_way_out_is_refused_with_what_would_free_it(shape, door, says):
    with pytest.raises(PlanError) as caught:
        pour_order(one_room(shape, door), PAIR)
    assert says in caught.value.line


def test_lanes_that_cannot_be_closed_wet_are_refused_with_what_would_free_them():
    slow = Pace(1, 2.0, edge_min=20.0, lane_min=10.0)
    with pytest.raises(PlanError, match=r"more people.*two days"):
        pour_order(one_room(box(0, 0, 12, 12), line(12, 1, 12, 2)), slow)


@pytest.mark.parametrize("people", [0, -2])
def test_a_crew_of_nobody_is_refused(people):
    with pytest.raises(PlanError, match=r"crew.*one person"):
        Pace(people, 17.0, 60.0, 40.0)


# Laws over made-up floors: rectangles in a row or with a wing, columns, turned anyhow.
@st.composite
def floors(draw):
    sides = st.floats(2.2, 9.0)
    widths = draw(st.lists(sides, min_size=1, max_size=4))
    depth = draw(st.floats(2.6, 8.0))
    doors = [draw(st.floats(0.2, depth - 1.2)) for _ in widths]
    plan = row_of_rooms(widths, depth, doors)
    first = plan.rooms[0].poured
    if draw(st.booleans()):
        wing = box(0, depth, first.bounds[2], depth + draw(st.floats(1.5, 4.0)))
        first = union_all([first, wing])
    if draw(st.booleans()) and first.area > 15:
        spot = first.representative_point()
        first = first.difference(Point(spot.x, spot.y).buffer(0.2))
    rooms = (PlannedRoom("room 0", Polygon(first.exterior), first), *plan.rooms[1:])
    surface = union_all([room.poured for room in rooms])
    return FloorPlan(rooms, plan.thresholds, plan.way_out, surface)


@given(floors(), st.integers(1, 6))
@settings(max_examples=30)
def test_every_lane_of_any_floor_has_a_dry_way_out_and_a_wet_edge(plan, people):
    pace = Pace(people, 17.0, edge_min=70.0, lane_min=50.0, buckets_share=0.25)
    order = pour_order(plan, pace)
    check_laws(plan, order)
    assert max(lane.width_m for lane in order.lanes) <= max(WIDEST_M, REACH_M) + 1e-6


@given(floors())
@settings(max_examples=12)
def test_the_squares_agree_that_nobody_is_trapped(plan):
    assert first_trapped(plan, pour_order(plan, PAIR)) == ""


@given(st.lists(st.sampled_from("abcd"), min_size=2, max_size=5, unique=True), st.data())
@settings(max_examples=40)
def test_an_order_is_found_exactly_where_trying_all_finds_one(names, data):
    """Rooms of one cell each: brute force over all orders against the backward search."""
    cells = [Cell(box(2.0 * n, 0, 2.0 * n + 1.0, 1.0)) for n in range(len(names))]
    # squares touch only where a bridge is laid between them
    joined = data.draw(st.lists(st.booleans(), min_size=len(cells), max_size=len(cells)))
    cells = [
        Cell(box(2.0 * n, 0, 2.0 * n + (2.0 if joined[n] else 1.0), 1.0))
        for n in range(len(cells))
    ]
    end = cells[-1].shape.bounds[2]
    door = line(end, 0.1, end, 0.9)
    found = in_turn(cells, Door(door))

    def safe(order):
        for place, n in enumerate(order):
            later = set(order[place + 1 :])
            is_last = n == len(cells) - 1
            if not (
                is_last
                or (joined[n] and n + 1 in later)
                or (n and joined[n - 1] and n - 1 in later)
            ):
                return False
        return True

    assert (found is not None) == any(map(safe, permutations(range(len(cells)))))
