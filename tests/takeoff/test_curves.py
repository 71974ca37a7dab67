"""Curved walls and closets: the mensuration of circles, shapely, and laws of outlines."""

import json
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString, Polygon

from kit.errors import SheetError
from kit.plan.layout import lay_out
from kit.record import filled
from kit.site import Site, tables
from kit.site.bows import STRAIGHT_WITHIN_M, Bow, along
from kit.takeoff import every, take_off

FT = 0.3048
SEGMENT_FT2 = 16.350110879328426  # of a circle of 10 over a chord of 12, by hand


def plan_of(body, more=""):
    text = f"""
[client]
name = "Wren Alder"
[[room]]
name = "Room"
{body}
{more}
"""
    return lay_out(filled(Site, tables(text)))


def taken_of(body, more=""):
    return take_off(plan_of(body, more))


def ft2(taken):
    return taken.net_m2 / FT**2


def walks(*walls):
    return f"walls = {json.dumps(walls)}"


# Segments of circles by R²/2 (θ − sin θ), in feet; the mensuration formulas are those of
# any engineers' handbook, from memory, the figures worked again by hand.
def test_the_circle_over_a_chord_of_twelve_with_a_rise_of_two():
    bow = Bow(12.0, 2.0)

    assert bow.radius_m == pytest.approx(10.0, abs=1e-12)
    assert bow.turn == pytest.approx(1.287002, abs=1e-6)
    assert bow.segment_m2 == pytest.approx(SEGMENT_FT2, abs=1e-8)
    assert bow.length_m == pytest.approx(12.870022, abs=1e-6)


@pytest.mark.parametrize("bow", ["rise 2' right", "radius 10' right"])
def test_a_bay_is_a_rectangle_and_a_segment(bow):
    """12 × 15 ft and a bay of chord 12, rise 2: 180 + 16.350111 ft²."""
    taken = taken_of(walks(f"E 12' {bow}", "N 15'", "W 12'", "S 15'"))

    assert ft2(taken) == pytest.approx(180 + SEGMENT_FT2, abs=1e-6)
    assert taken.perimeter_m / FT == pytest.approx(42 + 12.870022175866, abs=1e-6)


def test_a_wall_that_bows_in_takes_the_segment_away():
    taken = taken_of(walks("E 12' rise 2' left", "N 15'", "W 12'", "S 15'"))

    assert ft2(taken) == pytest.approx(180 - SEGMENT_FT2, abs=1e-6)


def test_half_a_circle_stands_on_its_diameter():
    for bow in ("rise 6' right", "radius 6' right"):
        taken = taken_of(walks(f"E 12' {bow}", "N 15'", "W 12'", "S 15'"))

        assert ft2(taken) == pytest.approx(180 + math.pi * 18, abs=1e-6)


def test_an_arc_of_more_than_half_a_circle():
    """Chord 6, rise 9: R = 36/72 + 4.5 = 5, turned by 4 atan 3."""
    turn = 4 * math.atan(3)
    taken = taken_of(walks("E 3'", "E 6' rise 9' right", "E 3'", "N 15'", "W 12'", "S 15'"))

    segment = 25 / 2 * (turn - math.sin(turn))
    assert ft2(taken) == pytest.approx(180 + segment, abs=1e-6)


def test_a_sector_of_sixty_degrees():
    """R 10: 100 π / 6 = 52.359878 ft², two radii and an arc with the chord of a hexagon."""
    rise = 10 - 10 * math.cos(math.pi / 6)
    corners = [(0, 0), (10, 0), (5, 10 * math.sin(math.pi / 3))]
    places = json.dumps([[f"{x + 5:.9f} ft", f"{y:.9f} ft"] for x, y in corners])
    taken = taken_of(
        f"corners = {places}",
        f'[[room.curve]]\nwall = 2\nrise = "{rise:.9f} ft"\nside = "right"',
    )

    assert ft2(taken) == pytest.approx(52.359878, abs=1e-6)


def regular(sides, side):
    """Corners of a regular polygon."""
    radius = side / 2 / math.sin(math.pi / sides)
    turns = [(k + 0.5) * 2 * math.pi / sides for k in range(sides)]
    return [(radius * math.cos(t), radius * math.sin(t)) for t in turns]


@pytest.mark.parametrize(
    ("corners", "area"),
    [
        # n s² / (4 tan(π/n)) by hand for six and eight; Heron's 7, 8, 9; ½ (8 + 12) 5.
        (regular(6, 4), 24 * math.sqrt(3)),
        (regular(8, 4), 32 * (1 + math.sqrt(2))),
        ([(0, 0), (9, 0), (11 / 3, math.sqrt(320) / 3)], math.sqrt(12 * 5 * 4 * 3)),
        ([(0, 0), (12, 0), (9, 5), (1, 5)], 50.0),
    ],
)
def test_plain_figures_of_mensuration(corners, area):
    places = json.dumps([[f"{x + 9:.9f} ft", f"{y + 9:.9f} ft"] for x, y in corners])

    assert ft2(taken_of(f"corners = {places}")) == pytest.approx(area, abs=1e-6)


@settings(max_examples=50)
@given(st.floats(0.3, 12.0), st.floats(0.005, 1.5), st.sampled_from([1, -1]))
def test_straight_steps_keep_the_area_and_stay_within_a_millimetre(chord, share, side):
    bow = Bow(chord, side * share * chord)
    start, end = (1.0, 2.0), (1.0 + chord * 0.6, 2.0 + chord * 0.8)
    ring = [start, *along(bow, start, end), end]
    back = abs(bow.rise_m) - bow.radius_m
    left = (-0.8 * side, 0.6 * side)
    centre = (
        (start[0] + end[0]) / 2 + left[0] * back,
        (start[1] + end[1]) / 2 + left[1] * back,
    )

    assert Polygon(ring).area == pytest.approx(bow.segment_m2, rel=1e-9)
    off = [abs(math.dist(c, centre) - bow.radius_m) for c in ring]
    middles = LineString(ring).segmentize(bow.radius_m / 50).coords
    off += [abs(math.dist(c, centre) - bow.radius_m) for c in middles]
    assert max(off) <= STRAIGHT_WITHIN_M
    signed = sum(
        a[0] * b[1] - b[0] * a[1] for a, b in zip(ring, [*ring[1:], ring[0]], strict=True)
    )
    assert (signed < 0) == (side > 0)  # to the left of the walk is clockwise round it


@settings(max_examples=25)
@given(
    st.integers(0, 359), st.floats(0.2, 3.0), st.floats(0, 40), st.floats(0, 40),
    st.sampled_from(["left", "right"]),
)  # fmt: skip
def test_moving_and_turning_a_room_changes_nothing(turn, rise, east, north, side):
    def taken(bearing, start):
        walls = [
            f"{(90 + bearing) % 360}° 6 m rise {rise:.3f} m {side}",
            f"{bearing % 360}° 8 m",
            f"{(270 + bearing) % 360}° 6 m",
            f"{(180 + bearing) % 360}° 8 m",
        ]
        place = json.dumps([f"{c:.3f} m" for c in start])
        return taken_of(f"start = {place}\n{walks(*walls)}")

    there, here = taken(turn, (east + 20, north + 20)), taken(0, (9, 9))
    assert there.net_m2 == pytest.approx(here.net_m2, abs=1e-5)
    assert there.perimeter_m == pytest.approx(here.perimeter_m, abs=1e-5)


@settings(max_examples=25)
@given(st.floats(0.1, 3.9), st.floats(0.01, 0.1))
def test_a_deeper_bay_is_never_less_floor(rise, more):
    def taken(rise_m):
        return taken_of(
            walks(f"E 8 m rise {rise_m:.4f} m right", "N 6 m", "W 8 m", "S 6 m")
        )

    assert taken(rise + more).net_m2 > taken(rise).net_m2
    assert taken(rise + more).perimeter_m > taken(rise).perimeter_m


def test_units_change_nothing():
    feet = taken_of(walks("E 12' rise 2' right", "N 15'", "W 12'", "S 15'"))
    metric = taken_of(
        walks("E 365.76 cm rise 609.6 mm right", "N 4.572 m", "W 3.6576 m", "S 180 in")
    )

    assert metric.net_m2 == pytest.approx(feet.net_m2, abs=1e-9)


def test_the_order_of_rooms_changes_nothing():
    rooms = [
        ("Bay", ["E 12' rise 2' right", "N 15'", "W 12'", "S 15'"], ["0 ft", "4 ft"]),
        ("Hall", ["E 6'", "N 8'", "W 6'", "S 8'"], ["12.5 ft", "5 ft"]),
    ]

    def taken(given_):
        text = '[client]\nname = "Wren Alder"\n'
        for name, walls, start in given_:
            text += f'[[room]]\nname = "{name}"\nwalls = {json.dumps(walls)}\n'
            text += f"start = {json.dumps(start)}\n"
        text += '[[doorway]]\nbetween = ["Bay", "Hall"]\nat = ["12 ft", "8 ft"]\n'
        return take_off(lay_out(filled(Site, tables(f'{text}width = "3 ft"\n'))))

    one, other = taken(rooms), taken(rooms[::-1])
    assert one.net_m2 == pytest.approx(other.net_m2, abs=1e-9)
    assert one.perimeter_m == pytest.approx(other.perimeter_m, abs=1e-9)


def test_the_wet_edge_of_round_columns_is_that_of_their_circles():
    """An L of 88 ft, a column 1 ft square and a round one of 1 ft: 88 + 4 + π ft."""
    taken = taken_of(
        walks("E 24'", "N 12'", "W 10'", "N 8'", "W 14'", "S 20'"),
        """[[room.column]]
at = ["5'", "5'"]
square = ["12 in", "12 in"]
[[room.column]]
at = ["9'", "9'"]
round = "1 ft"
""",
    )

    assert ft2(taken) == pytest.approx(398.2146018366025, abs=1e-6)
    assert taken.perimeter_m / FT == pytest.approx(95.1415926535898, abs=1e-6)


def test_an_error_of_the_tape_is_carried_to_the_area():
    """24 × 20 ft, 1/16 in each: √(24² + 20²) ft × 1/192 ft = 0.162714 ft²."""
    from kit.takeoff.rooms import area_error_m2

    plan = plan_of(walks("E 24'", "N 20'", "W 24'", "S 20'"))

    error_m2 = area_error_m2(plan, each_m=FT / 192)
    assert error_m2 / FT**2 == pytest.approx(0.16271353491472196, abs=1e-9)


def test_the_trail_names_the_arc():
    taken = taken_of(walks("E 12' rise 2' right", "N 15'", "W 12'", "S 15'"))
    lines = [figure.line for figure in every(taken.trail)]

    assert (
        "Room, wall 1 bows out: 16.4 sq ft = R²/2 (θ − sin θ) of R 10′ 0″, θ 73.74°"
        " (chord 12′ 0″, rise 2′ 0″)"
    ) in lines
    assert "Room, outline: 196.4 sq ft = 180.0 sq ft + 16.4 sq ft" in lines
    assert any(line.startswith("Room, wall 1: 12.9 ft = arc of") for line in lines)


@pytest.mark.parametrize(
    "walls",
    [
        ("E 12' rise 2' right", "N 15'", "W 12'", "S 15'"),
        ("N 15'", "E 12'", "S 15'", "W 12' rise 2' left"),
    ],
)
def test_whichever_way_it_is_walked_a_bay_bows_out(walls):
    names = {figure.name: figure.value for figure in every(taken_of(walks(*walls)).trail)}

    bays = [value for name, value in names.items() if name.endswith("bows out")]
    assert bays == pytest.approx([SEGMENT_FT2 * FT**2])
    assert names["Room, outline, from corner to corner"] == pytest.approx(180 * FT**2)


CLOSET = """[[room.closet]]
name = "Coats"
at = ["6'", "15'"]
opening = "4'"
width = "6'"
depth = "2'"
"""
SQUARE = walks("E 12'", "N 15'", "W 12'", "S 15'")


def test_a_closet_is_floor_behind_its_wall_and_within_it():
    """12 × 15, a closet 6 × 2 behind an opening 4 ft wide in a wall of 4½ in."""
    taken = taken_of(SQUARE, CLOSET)

    assert ft2(taken) == pytest.approx(180 + 12 + 4 * 4.5 / 12, abs=1e-4)
    around = 54 - 4 + 2 * 4.5 / 12 + (6 - 4) + 6 + 2 * 2
    assert taken.perimeter_m / FT == pytest.approx(around, abs=1e-4)
    assert taken.base_m / FT == pytest.approx(around - 2 * 4.5 / 12, abs=1e-4)
    names = {figure.name for figure in every(taken.trail)}
    assert 'Room, closet "Coats"' in names


@pytest.mark.parametrize("backwards", [False, True])
def test_a_closet_lies_behind_the_wall_whichever_way_it_was_walked(backwards):
    walls = walks("N 15'", "E 12'", "S 15'", "W 12'") if backwards else SQUARE
    thin = CLOSET + 'wall = "0 in"\n'

    assert ft2(taken_of(walls, thin)) == pytest.approx(192, abs=1e-4)


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ('"4\'"', '"7\'"', r'closet "Coats", opening: found 7\'; expected one no wider'),
        ('"15\'"', '"9\'"', r'closet "Coats", at: found a place .*any wall of "Room"'),
        ('"2\'"', '"0 ft"', r'closet "Coats", depth: found 0 ft'),
        ('"2\'"', '"2"', r"closet \"Coats\", depth: found 2; expected a positive length"),
    ],
)
def test_a_closet_that_cannot_be_is_refused(old, new, says):
    with pytest.raises(SheetError, match=says):
        taken_of(SQUARE, CLOSET.replace(old, new, 1))


def test_two_closets_cannot_share_their_floor():
    with pytest.raises(SheetError, match=r'closet "Linen": found a place that is floor'):
        taken_of(SQUARE, CLOSET + CLOSET.replace("Coats", "Linen"))


@pytest.mark.parametrize(
    ("walls", "says"),
    [
        (["E 12' rise 2'"], r"wall 1: found 12' rise 2'; expected a length, then a bow"),
        (["E 12' rise 2' up"], r"wall 1: found .*expected a length, then a bow"),
        (["E 12' rise 0 ft left"], r"wall 1, rise: found 0 ft"),
        (["E 12' radius 5' left"], r"wall 1, radius: found 5'; expected half the chord"),
        (["E 12' rise 25' left"], r"rise: found 25'; expected a rise of at most 24′ 0″"),
        (["E 12' rise x left"], r"wall 1, rise: found x; expected a positive length"),
        (["E 12' rise 16' left"], r"outline: found walls that cross or touch"),
    ],
)
def test_a_bow_that_cannot_be_is_refused_in_one_line(walls, says):
    with pytest.raises(SheetError, match=says) as refused:
        taken_of(walks(*walls, "N 15'", "W 12'", "S 15'"))
    assert "\n" not in str(refused.value)


def test_an_arc_longer_than_any_wall_is_refused():
    walls = walks("E 499' rise 90' right", "N 15'", "W 499'", "S 15'")

    with pytest.raises(SheetError, match=r"wall 1: found an arc of 5.*expected one up to"):
        taken_of(walls)


@pytest.mark.parametrize(
    ("curve", "says"),
    [
        (
            'wall = 9\nrise = "1 ft"\nside = "left"',
            r"wall: found 9; expected 1 to 4",
        ),
        ('wall = 1\nside = "left"', r"curve 1: .*either rise"),
        ('wall = 1\nrise = "1 ft"\nside = "up"', r"curve 1, side"),
    ],
)
def test_a_curve_that_cannot_be_is_refused(curve, says):
    corners = 'corners = [["0 ft","0 ft"],["9 ft","0 ft"],["9 ft","9 ft"],["0 ft","9 ft"]]'
    with pytest.raises(SheetError, match=says):
        taken_of(corners, f"[[room.curve]]\n{curve}")


def test_a_curve_stands_within_its_wall_where_walls_are_walked():
    with pytest.raises(SheetError, match=r"curve: found it beside walls"):
        taken_of(SQUARE, '[[room.curve]]\nwall = 1\nrise = "1 ft"\nside = "left"')


def test_no_door_stands_in_a_curved_wall():
    with pytest.raises(SheetError, match=r"way_out, at: found a place on a curved wall"):
        taken_of(
            walks("E 12'", "N 15'", "W 12' rise 2' right", "S 15'"),
            '[way_out]\nroom = "Room"\nat = ["6\'", "17\'"]\nwidth = "3\'"',
        )


def test_the_table_keeps_the_bow_of_a_wall_that_is_measured_anew():
    from kit.site.outline import Outline, length_of

    walls = walks("E 12' rise 2' right", "N 15'", "W 12'", "S 15'")
    text = f'[client]\nname = "W"\n[[room]]\nname = "Room"\n{walls}\n'
    site = filled(Site, tables(text))
    outline = Outline.of(site.rooms[0])

    assert length_of(outline.walls[0]) == "12'"
    moved = outline.with_corners([(0, 0), (4, 0), (4, 5), (0, 5), (0, 0)])
    assert moved.walls[0].endswith("rise 2' right")
