"""Rooms joined through doorways: areas, what is refused, and in which words."""

import json
import math

import pytest
from sheets import bent, site_of

from kit.errors import SheetError
from kit.plan import lay_out
from kit.record import filled
from kit.site import Site, tables

FT = 0.3048


def plan_of(sheet):
    return lay_out(filled(Site, site_of(sheet)))


def one_room(body):
    text = f"""
[client]
name = "Wren Alder"
[[room]]
name = "Room"
{body}
[way_out]
room = "Room"
at = ["0 ft", "3'"]
width = "3'"
"""
    return plan_of(tables(text))


# Worked by hand with the shoelace formula; the L and the clipped corner are
# re-verified with shapely 2.2 outside this project's code paths.
@pytest.mark.parametrize(
    ("body", "ft2", "perimeter_ft"),
    [
        ("""walls = ["E 24'", "N 12'", "W 10'", "N 8'", "W 14'", "S 20'"]""", 400.0, 88.0),
        (
            """corners = [["0 ft","0 ft"], ["20'","0 ft"], ["20'","14'"], ["16'","18'"],
            ["0 ft","18'"]]""",
            352.0,
            68 + 4 * math.sqrt(2),
        ),
        (
            """walls = ["E 3.6576 m", "N 144 in", "W 12' 0\\"", "S 12 ft"]""",
            144.0,
            48.0,
        ),
    ],
)
def test_outlines_have_the_area_of_the_shoelace_formula(body, ft2, perimeter_ft):
    room = one_room(body).rooms[0]

    assert room.outline.area / FT**2 == pytest.approx(ft2, abs=1e-6)
    assert room.outline.length / FT == pytest.approx(perimeter_ft, abs=1e-6)


def test_columns_deduct_their_true_circle():
    """400 − 1 − π/4 ft²: an L less a 1 ft square and a 1 ft round column, by hand."""
    plan = one_room(
        """walls = ["E 24'", "N 12'", "W 10'", "N 8'", "W 14'", "S 20'"]
[[room.column]]
at = ["5'", "5'"]
square = ["12 in", "12 in"]
[[room.column]]
at = ["9'", "9'"]
round = "1 ft"
"""
    )

    assert plan.surface.area / FT**2 == pytest.approx(400 - 1 - math.pi / 4, abs=1e-6)


def test_where_the_walk_starts_changes_nothing():
    walls = ["E 24'", "N 12'", "W 10'", "N 8'", "W 14'", "S 20'"]
    corners = [(0, 0), (24, 0), (24, 12), (14, 12), (14, 20), (0, 20)]
    for first, (east, north) in enumerate(corners):
        turned = json.dumps([*walls[first:], *walls[:first]])
        plan = one_room(f'start = ["{east} ft", "{north} ft"]\nwalls = {turned}')
        assert plan.surface.area / FT**2 == pytest.approx(400, abs=1e-6)


def test_a_doorway_joins_two_rooms_and_adds_the_floor_inside_the_wall():
    plan = plan_of(bent())

    assert plan.surface.geom_type == "Polygon"
    assert plan.surface.area / FT**2 == pytest.approx(300 + 48 + 3 * 0.5, abs=1e-4)


def test_walls_are_open_where_the_doorway_is():
    plan = plan_of(bent())
    solid_ft = plan.faces.length / FT

    # Both outlines, less the opening on either face, plus two jambs of half a foot.
    assert solid_ft == pytest.approx(70 + 28 - 6 + 1, abs=1e-3)


def test_changing_one_wall_changes_the_surface():
    wider = bent('"E 20\'", "N 15\'"', '"E 20\'", "N 16\'"')
    wider["room"][0]["walls"][3] = "S 16'"

    assert plan_of(wider).surface.area > plan_of(bent()).surface.area


DOORWAY = """[[doorway]]
between = ["Den", "Closet"]
at = ["20'", "4'"]
width = "3'"
"""
CROSSING = """"S 15'", "E 5'", "N 20'", "W 5'", "S 20'"]"""
SAID = r"expected a positive length"


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        (""""S 15'"]""", """"S 14'"]""", r"Den\", walls: found an outline open by 1′ 0″"),
        ("E 20'", "E 900'", r"Den\", wall 1: found 900'"),
        ("E 20'", "E 0'", r"Den\", wall 1: found 0'"),
        ("E 20'", "E -20'", rf"Den\", wall 1.*{SAID}"),
        ("E 20'", "E 20 cubits", rf"Den\", wall 1.*{SAID}"),
        ("E 20'", "Q 20'", r"Den\", wall 1.*expected a direction"),
        (""""S 15'"]""", CROSSING, r"Den\", outline: found walls that cross or touch"),
        (DOORWAY, DOORWAY.replace("3'", "16'"), r"doorway between.*width: found 16′ 0″"),
        (DOORWAY, DOORWAY.replace("3'", "0 ft"), r"doorway between.*width: found 0 ft"),
        (DOORWAY, DOORWAY.replace("Closet", "Attic"), r"doorway.*found Attic.*Den, Closet"),
        (DOORWAY, DOORWAY.replace("20'", "10'"), r"doorway.*, at: found a place 4′ 0″"),
        (DOORWAY, "", r"Closet\": found no doorway"),
        ("20' 6\\\"", "19 ft", r"belong to both"),
        ('name = "Closet"', 'name = "Den"', r"Den\": found the name twice"),
        ('room = "Den"\nat', 'room = "Yard"\nat', r"way_out, room: found Yard"),
    ],
)
def test_what_makes_no_floor_is_refused_in_one_line(old, new, says):
    with pytest.raises(SheetError, match=says) as refused:
        plan_of(bent(old, new))
    assert "\n" not in str(refused.value)


def test_a_figure_eight_is_refused():
    with pytest.raises(SheetError, match="cross or touch"):
        one_room("""corners = [["0 ft","0 ft"],["9'","9'"],["9'","0 ft"],["0 ft","9'"]]""")


@pytest.mark.parametrize(
    ("at", "says"),
    [
        ("""["50'", "5'"]""", "outside its room"),
        ("""["0 ft", "5'"]""", "partly outside its room"),
    ],
)
def test_a_column_must_stand_inside_its_room(at, says):
    with pytest.raises(SheetError, match=rf'room "Room", column 1.*{says}'):
        one_room(
            f"""walls = ["E 24'", "N 12'", "W 24'", "S 12'"]
[[room.column]]
at = {at}
round = "1 ft"
"""
        )


def test_rooms_that_share_a_wall_line_join_through_a_doorway_too():
    sheet = bent('start = ["20\' 6\\"", "0 ft"]', 'start = ["20 ft", "0 ft"]')

    plan = plan_of(sheet)

    assert plan.thresholds[0].poured is None
    assert plan.surface.area / FT**2 == pytest.approx(348, abs=1e-4)
    assert plan.faces.length / FT == pytest.approx(70 + 28 - 8 - 3, abs=1e-3)
