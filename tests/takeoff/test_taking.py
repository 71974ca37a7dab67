"""Areas and lengths: hand-worked rooms, and sums that must agree."""

from math import pi

import pytest
from floors import FT, one_room
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString, Point, Polygon, box, union_all

from kit.errors import MeasureError
from kit.plan import FloorPlan, PlannedRoom, Threshold, WayOut
from kit.takeoff import every, take_off
from kit.takeoff.cove import cove_area_m2, fillet_section_m2
from kit.units import L_PER_GAL, M2_PER_FT2, square_feet

L_ROOM = [(0, 0), (24, 0), (24, 12), (14, 12), (14, 20), (0, 20)]
CLIPPED = [(0, 0), (20, 0), (20, 14), (16, 18), (0, 18)]


def feet(corners):
    return Polygon([(x * FT, y * FT) for x, y in corners])


@pytest.mark.parametrize(
    ("corners", "area"),
    [
        # Textbook examples of the shoelace formula, from memory, worked again by hand.
        ([(3, 4), (5, 11), (12, 8), (9, 5), (5, 6)], 30.0),
        ([(1, 6), (3, 1), (7, 2), (4, 4), (8, 5)], 16.5),
        ([(0, 0), (3, 0), (0, 4)], 6.0),
    ],
)
def test_areas_are_those_of_the_shoelace_formula(corners, area):
    assert take_off(one_room(Polygon(corners))).net_m2 == pytest.approx(area, abs=1e-12)


@pytest.mark.parametrize(
    ("corners", "area_sqft", "perimeter_ft"),
    [
        # By hand: 24 × 12 + 14 × 8; 20 × 18 − ½ 4²; the slanted wall is √32.
        (L_ROOM, 400.0, 88.0),
        (CLIPPED, 352.0, 68 + 32**0.5),
    ],
)
def test_rooms_worked_by_hand_in_feet(corners, area_sqft, perimeter_ft):
    taken = take_off(one_room(feet(corners)))

    assert square_feet(taken.net_m2) == pytest.approx(area_sqft, abs=1e-6)
    assert taken.perimeter_m / FT == pytest.approx(perimeter_ft, abs=1e-6)


def test_columns_are_deducted_and_their_girth_is_an_edge():
    """The L room less a 1 ft square column and a round one of 1 ft: 400 − 1 − π/4."""
    square = box(5 * FT, 5 * FT, 6 * FT, 6 * FT)
    round_one = Point(10 * FT, 5 * FT).buffer(0.5 * FT, quad_segs=4000)
    outline = feet(L_ROOM)

    taken = take_off(one_room(outline, outline - square - round_one))

    assert square_feet(taken.net_m2) == pytest.approx(399 - pi / 4, abs=1e-6)
    assert square_feet(taken.rooms[0].deducted_m2) == pytest.approx(1 + pi / 4, abs=1e-6)
    assert taken.perimeter_m / FT == pytest.approx(88 + 4 + pi, abs=1e-6)
    assert taken.rooms[0].girth_m / FT == pytest.approx(4 + pi, abs=1e-6)


def test_rooms_through_a_doorway_sum_to_the_surface_and_its_edges():
    """3 × 2 and 2 × 2 m, 0.1 m apart, an opening 1 m wide: 10.1 m², 18.2 m of edges."""
    left, right = box(0, 0, 3, 2), box(3.1, 0, 5.1, 2)
    gap = box(3, 0.5, 3.1, 1.5)
    openings = (LineString([(3, 0.5), (3, 1.5)]), LineString([(3.1, 0.5), (3.1, 1.5)]))
    plan = FloorPlan(
        (PlannedRoom("Left", left, left), PlannedRoom("Right", right, right)),
        (Threshold(("Left", "Right"), openings, gap, 1.0),),
        WayOut("Left", LineString([(0, 0.5), (0, 1.5)]), 1.0),
        union_all([left, right, gap]),
    )

    taken = take_off(plan)

    assert taken.net_m2 == pytest.approx(10.1)
    assert sum(r.net_m2 for r in taken.rooms) + taken.thresholds_m2 == taken.net_m2
    assert taken.net_m2 == pytest.approx(plan.surface.area)
    assert taken.perimeter_m == pytest.approx(10 + 8 - 2 + 0.2)
    assert taken.perimeter_m == pytest.approx(plan.surface.length)


def test_two_rooms_on_one_wall_line_keep_the_wall_on_both_sides():
    left, right = box(0, 0, 3, 2), box(3, 0, 5, 2)
    door = LineString([(3, 0.5), (3, 1.5)])
    plan = FloorPlan(
        (PlannedRoom("Left", left, left), PlannedRoom("Right", right, right)),
        (Threshold(("Left", "Right"), (door, door), None, 1.0),),
        WayOut("Left", LineString([(0, 0.5), (0, 1.5)]), 1.0),
        box(0, 0, 5, 2),
    )

    taken = take_off(plan)

    assert (taken.net_m2, taken.perimeter_m) == (pytest.approx(10), pytest.approx(16))


@given(st.floats(0.5, 60), st.floats(0.5, 60), st.floats(0.1, 5))
def test_moving_one_wall_out_adds_its_strip(width_m, depth_m, more_m):
    before = take_off(one_room(box(0, 0, width_m, depth_m)))
    after = take_off(one_room(box(0, 0, width_m + more_m, depth_m)))

    assert after.net_m2 - before.net_m2 == pytest.approx(more_m * depth_m)
    assert after.perimeter_m - before.perimeter_m == pytest.approx(2 * more_m)


def test_every_figure_shows_in_the_trades_units_how_it_came_to_be(demo_workup):
    trail = {figure.name: figure for figure in every(demo_workup.takeoff.trail)}

    assert trail["Studio, net"].line == (
        "Studio, net: 405.9 sq ft = 408.0 sq ft outline − 2.1 sq ft columns and islands"
    )
    assert trail["Net area"].value == demo_workup.takeoff.net_m2
    assert all(figure.how for figure in trail.values())


def test_rooms_that_do_not_make_the_surface_are_refused():
    plan = one_room(box(0, 0, 4, 3))
    wrong = FloorPlan(plan.rooms, (), plan.way_out, box(0, 0, 4, 2))

    with pytest.raises(MeasureError, match=r"found rooms and doorways of 129\.2 sq ft"):
        take_off(wrong)


def test_next_to_nothing_is_refused():
    with pytest.raises(MeasureError, match=r"expected at least 0\.01 m²"):
        take_off(one_room(box(0, 0, 0.05, 0.05)))


@pytest.mark.parametrize("cracks_m", [-0.1, 1e6, float("nan")])
def test_absurd_cracks_are_refused(cracks_m):
    with pytest.raises(MeasureError, match=r"cracks: .*expected 0 to 3000 m"):
        take_off(one_room(box(0, 0, 4, 3)), cracks_m=cracks_m)


def test_cove_base_is_wall_less_openings_by_girth():
    """L room of 88 ft, openings of 3 and 8 ft, 4 in girth: 77 ft by ⅓ ft, by hand."""
    area_m2 = cove_area_m2(88 * FT, openings_m=11 * FT, girth_m=4 * 0.0254)

    assert area_m2 / M2_PER_FT2 == pytest.approx(77 / 3, abs=1e-9)


def test_fillet_of_one_inch_takes_a_hundredth_of_a_gallon_a_foot():
    """(1 − π/4) in² times 12 in is 2.575222 in³, over 231 in³ a gallon."""
    litres = fillet_section_m2(0.0254) * FT * 1000

    assert litres / L_PER_GAL == pytest.approx(0.011148147355976712, abs=1e-9)


def test_more_openings_than_wall_are_refused():
    with pytest.raises(MeasureError, match="cove base"):
        cove_area_m2(3.0, openings_m=4.0, girth_m=0.1)
