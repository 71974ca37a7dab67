"""The cove base against shapely and against plain sums of its own."""

from dataclasses import replace
from itertools import pairwise
from math import pi

import pytest
from floors import FT, one_room
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString, MultiPoint, Point, Polygon, box

from kit.errors import MeasureError
from kit.takeoff import take_off
from kit.takeoff.cove import base_m, cove_area_m2, fillet_section_m2, mortar_m3

PLACES = st.tuples(st.floats(0, 30), st.floats(0, 30))


@given(st.lists(PLACES, min_size=4, max_size=9, unique=True), st.floats(0.02, 0.5))
def test_a_base_folded_flat_is_the_ring_that_shapely_draws_less_its_corners(places, girth):
    """Steiner's formula for convex floors: a ring of width g has area L g + π g²."""
    hull = MultiPoint(places).convex_hull
    if hull.area < 1.0:
        return
    ring_m2 = hull.buffer(girth, quad_segs=400).area - hull.area

    area_m2 = cove_area_m2(hull.length, openings_m=0.0, girth_m=girth)
    assert area_m2 + pi * girth**2 == pytest.approx(ring_m2, rel=1e-5)


def test_each_wall_carries_the_strip_that_shapely_draws_along_it():
    """A room with an inward corner: flat strips along every wall but for the door."""
    corners = [(0, 0), (6, 0), (6, 3), (4, 3), (4, 5), (0, 5)]
    walls = [LineString(pair) for pair in pairwise([*corners, corners[0]])]
    door = LineString([(1, 0), (1.9, 0)])
    strips_m2 = sum(w.buffer(0.1, cap_style="flat", single_sided=True).area for w in walls)
    strips_m2 -= door.buffer(0.1, cap_style="flat", single_sided=True).area

    room = Polygon(corners)
    assert cove_area_m2(room.length, openings_m=0.9, girth_m=0.1) == pytest.approx(
        strips_m2
    )


def test_a_fillet_is_a_square_less_the_quarter_disc_that_shapely_draws():
    corner = box(0, 0, 0.0254, 0.0254).difference(
        Point(0.0254, 0.0254).buffer(0.0254, quad_segs=4000)
    )

    assert fillet_section_m2(0.0254) == pytest.approx(corner.area, rel=1e-6)


def test_mortar_of_a_foot_of_base_by_hand():
    """4 in × 1/8 in + 0.2146 in², by 12 in: 8.5752 in³, over 231 in³ a gallon."""
    inch = 0.0254
    solid_m3 = mortar_m3(FT, girth_m=4 * inch, radius_m=inch, build_m=inch / 8)

    assert solid_m3 / (231 * inch**3) == pytest.approx(8.575222 / 231, rel=1e-6)


def test_a_base_runs_along_walls_and_columns_but_not_across_the_way_out():
    """20 × 15 ft, a door of 0.9 m, a free column 1 ft square: 70 + 4 ft − 0.9 m."""
    outline = box(0, 0, 20 * FT, 15 * FT)
    column = box(5 * FT, 5 * FT, 6 * FT, 6 * FT)

    taken = take_off(one_room(outline, outline - column))

    assert taken.base_m == pytest.approx(74 * FT - 0.9)
    trail = next(figure for figure in taken.trail if figure.name == "Walls for a base")
    assert trail.how == "70.0 ft walls + 4.0 ft columns and islands − 3.0 ft way out"


def test_a_door_that_is_only_guessed_does_not_shorten_the_base():
    outline = box(0, 0, 20 * FT, 15 * FT)
    plan = one_room(outline, outline)
    guessed = replace(plan, way_out=replace(plan.way_out, is_marked=False))

    assert take_off(plan).base_m == pytest.approx(70 * FT - 0.9)
    assert take_off(guessed).base_m == pytest.approx(70 * FT)


def test_door_jambs_are_an_edge_of_the_film_but_carry_no_base(demo_workup):
    taken = demo_workup.takeoff
    jambs_m = taken.perimeter_m - sum(r.perimeter_m + r.girth_m for r in taken.rooms)

    assert jambs_m > 0
    assert taken.base_m == pytest.approx(taken.perimeter_m - jambs_m - 3 * FT)


@pytest.mark.parametrize(("walls", "openings"), [(3.0, 3.1), (-1.0, 0.0), (2.0, -0.1)])
def test_lengths_that_cannot_be_are_refused(walls, openings):
    with pytest.raises(MeasureError, match="cove base"):
        base_m(walls, openings_m=openings)
