"""From a blank table to a closed room and its price, without a browser."""

import math
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.bench import columns, measuring, openings, rooms, who
from kit.bench.measured import measure_figures
from kit.bench.runs import with_run
from kit.bench.state import TableState
from kit.bench.wishes import choices_of
from kit.job import Job, blank_job
from kit.plan import lay_out
from kit.units import M_PER_FT, square_feet

E, S, W, N = 90.0, 180.0, 270.0, 0.0


@pytest.fixture
def state():
    return TableState(blank_job())


@pytest.fixture
def den(state):
    """A table with one closed room, 20 by 15 feet."""
    must(state, rooms.begun, "Den")
    must(state, measuring.rectangle, "Den", "20", "15")
    return state


def must(state, step, *given):
    complaint = state.change(lambda job: step(job, *given))
    assert complaint is None, complaint


def must_not(state, step, *given):
    complaint = state.change(lambda job: step(job, *given))
    assert complaint is not None
    return complaint.says


def shown(state):
    plan = state.answers.plan if state.answers else None
    return measure_figures(state.job, plan, state.lacks)


def area_ft2(state):
    return square_feet(state.answers.takeoff.net_m2)


def shoelace_ft2(corners):
    """Area of a polygon from its corners: half the sum of cross products."""
    pairs = zip(corners, [*corners[1:], corners[0]], strict=True)
    return abs(sum(a * d - b * c for (a, b), (c, d) in pairs)) / 2


def test_a_room_is_typed_wall_by_wall_and_has_a_price_when_it_closes(state):
    must(state, rooms.begun, "Den")
    walls = ((E, "20"), (S, "15 0"), (W, "20.0 ft"), (N, "4.572 m"))
    for number, (bearing, length) in enumerate(walls):
        assert state.offer is None
        must(state, measuring.with_wall, "Den", number, bearing, length)

    assert state.offer is not None
    assert area_ft2(state) == pytest.approx(300.0)
    assert shown(state)["rooms"][0]["area"] == "300.0 sq ft"


def test_walls_typed_ahead_of_the_screen_belong_to_the_room_just_begun(state):
    for bearing in (E, S, W, N):
        must(state, measuring.with_wall, "", measuring.AT_THE_END, bearing, "12")

    assert area_ft2(state) == pytest.approx(144.0)


def test_two_walls_of_a_rectangle_imply_the_others(state):
    must(state, rooms.begun, "Den")
    must(state, measuring.with_wall, "Den", 0, E, "20")
    assert "one more wall" in must_not(state, measuring.closed_up, "Den")
    must(state, measuring.with_wall, "Den", 1, S, "15")
    gap = shown(state)["rooms"][0]["gap"]
    assert gap["closing"] == "20′ 0″ west, 15′ 0″ north"
    assert not gap["is_fault"]

    must(state, measuring.closed_up, "Den")
    assert area_ft2(state) == pytest.approx(300.0)


def test_an_outline_that_is_nearly_closed_says_by_how_much_and_offers_repairs(state):
    must(state, rooms.begun, "Den")
    for number, (bearing, length) in enumerate(
        ((E, "20"), (S, "24"), (W, "20"), (N, "23 2 1/2"))
    ):
        must(state, measuring.with_wall, "Den", number, bearing, length)
    gap = shown(state)["rooms"][0]["gap"]

    assert state.offer is None
    assert gap["says"] == "The outline is open by 9½ in."
    assert gap["where"] == "Wall 4 stops short of where wall 1 began."
    assert gap["is_fault"]
    assert gap["repairs"][0]["says"] == "Make it 24′ 0″"
    must(state, measuring.mended, "Den", 0)
    assert area_ft2(state) == pytest.approx(480.0)


def test_a_wall_measured_anew_opens_a_room_and_a_repair_closes_it(den):
    must(den, openings.way_out_in, "Den", 0)
    must(den, measuring.with_length, "Den", 0, "22")
    gap = shown(den)["rooms"][0]["gap"]

    assert den.offer is None
    assert shown(den)["rooms"][0]["open"]
    assert [repair["walls"] for repair in gap["repairs"]] == [[2], [0]]
    must(den, measuring.mended, "Den", 0)
    assert area_ft2(den) == pytest.approx(330.0)
    den.undo()
    den.undo()
    assert area_ft2(den) == pytest.approx(300.0)


NONSENSE = ["", "abc", "-3", "1e9", "20 14", "9999999", "<b>7</b>", "0", "\x00", "12'" * 40]


@pytest.mark.parametrize("text", NONSENSE)
def test_nonsense_in_a_field_for_a_length_names_it_and_leaves_everything(den, text):
    must(den, rooms.begun, "Closet")
    must(den, measuring.rectangle, "Closet", "6", "8")
    must(den, openings.doorway_between, "Den", "Closet")
    must(den, openings.way_out_in, "Den", 0)
    must(den, columns.column_in, "Den")
    job, offer = den.job, den.offer
    for step, given_, field in (
        (measuring.with_length, ("Den", 1, text), "Wall 2 of Den"),
        (measuring.with_wall, ("Den", 4, E, text), "Wall 5 of Den"),
        (openings.doorway_wide, (0, text), "width"),
        (openings.way_out_wide, (text,), "width"),
        (columns.column_sized, ("Den", 0, text, ""), "Column 1 of Den, across"),
    ):
        says = must_not(den, step, *given_)
        assert field.casefold() in says.casefold()
        assert "Give" in says or "Needed" in says
        assert "\n" not in says
    assert den.job is job
    assert den.offer is offer


@pytest.mark.parametrize("name", ["", " ", "<script>alert(1)</script>", "Den", "x" * 121])
def test_a_name_that_cannot_be_is_refused(den, name):
    must(den, rooms.begun, "Closet")
    says = must_not(den, rooms.named, "Closet", name)

    assert "oom" in says or "Den: the name twice" in says
    assert [room["name"] for room in shown(den)["rooms"]] == ["Den", "Closet"]


def test_a_second_room_waits_for_its_doorway_and_then_joins_the_price(den):
    one_room = den.total
    must(den, rooms.begun, "Closet")
    must(den, measuring.rectangle, "Closet", "6", "8")
    assert den.offer is None
    assert shown(den)["lacks"][0]["says"].startswith("Closet has no doorway")
    assert shown(den)["joinable"] == [["Den", "Closet"]]

    must(den, openings.doorway_between, "Den", "Closet")
    assert den.total > one_room
    assert area_ft2(den) == pytest.approx(300 + 48 + 1.5)  # a doorway 3 ft wide, 6 in deep


def test_a_doorway_is_put_where_a_shared_wall_is_touched_and_nowhere_else(den):
    must(den, rooms.begun, "Closet")
    must(den, measuring.rectangle, "Closet", "6", "8")
    (west, south), (east, _) = (
        [min(c) for c in zip(*corners(den), strict=True)],
        corners(den)[1],
    )
    assert "two rooms share" in must_not(den, openings.doorway_at, west, south + 5)

    must(den, openings.doorway_at, east, corners(den)[0][1] - 4)
    must(den, openings.doorway_along, 0, "3 6")
    must(den, openings.doorway_wide, 0, "32 in")
    door = shown(den)["doorways"][0]
    assert (door["along"], door["end"], door["width"]) == ("3′ 6″", "north", "2′ 8″")
    assert den.offer is not None


def test_the_way_out_is_on_an_outer_wall_and_the_pour_has_a_heading_without_it(den):
    assert not den.answers.plan.way_out.is_marked
    assert any(concern.about == "way out" for concern in den.answers.concerns)
    assert "longest outer wall of Den" in shown(den)["way_out"]["says"]
    must(den, rooms.begun, "Closet")
    must(den, measuring.rectangle, "Closet", "6", "15")
    must(den, openings.doorway_between, "Den", "Closet")
    assert "leads outside" in must_not(den, openings.way_out_in, "Den", 1)

    must(den, openings.way_out_in, "Den", 2)
    assert den.answers.plan.way_out.is_marked
    assert not any(concern.about == "way out" for concern in den.answers.concerns)


def test_a_wall_is_dragged_with_the_doorways_that_are_in_it(den):
    must(den, openings.way_out_in, "Den", 2)
    must(den, measuring.with_wall_shifted, "Den", 2, -3.0)
    assert area_ft2(den) == pytest.approx(20 * 18)
    assert den.answers.plan.way_out.is_marked


def test_a_plan_that_grows_west_and_south_of_zero_is_moved_as_a_whole(demo_job):
    state = TableState(demo_job)
    before = area_ft2(state)
    must(state, measuring.with_wall_shifted, "Studio", 0, 4.0)

    assert area_ft2(state) == pytest.approx(before + 24 * 4)
    lowest = min(north for room in shown(state)["rooms"] for _, north in room["corners"])
    assert lowest == pytest.approx(0.0, abs=1e-3)


def test_rooms_that_lie_over_each_other_are_refused(den):
    must(den, rooms.begun, "Closet")
    must(den, measuring.rectangle, "Closet", "6", "8")
    assert "belong to both" in must_not(den, rooms.moved, "Closet", -3.0, 0.0)
    must(den, rooms.beside, "Closet", "Den", "south")
    must(den, openings.doorway_between, "Den", "Closet")
    assert den.offer is not None


def test_a_room_that_is_removed_takes_its_openings_along(den):
    must(den, rooms.begun, "Closet")
    must(den, measuring.rectangle, "Closet", "6", "8")
    must(den, openings.doorway_between, "Den", "Closet")
    must(den, openings.way_out_in, "Closet", 0)
    must(den, rooms.without_room, "Closet")

    assert den.job.site.doorways == ()
    assert den.job.site.way_out is None
    assert area_ft2(den) == pytest.approx(300.0)


def test_a_room_keeps_its_place_and_its_columns_while_it_is_open(den):
    must(den, columns.column_in, "Den")
    must(den, columns.column_sized, "Den", 0, "2", "3")
    must(den, rooms.begun, "Closet")
    must(den, measuring.rectangle, "Closet", "6", "8")
    must(den, measuring.without_wall, "Den", 3)
    assert [room["name"] for room in shown(den)["rooms"]] == ["Den", "Closet"]

    must(den, measuring.closed_up, "Den")
    must(den, openings.doorway_between, "Den", "Closet")
    assert [room.name for room in den.job.site.rooms] == ["Den", "Closet"]
    assert area_ft2(den) == pytest.approx(300 - 6 + 48 + 1.5)


half_feet = st.integers(min_value=4, max_value=160).map(lambda n: n / 2)


@given(across=half_feet, deep=half_feet, west=half_feet, north=half_feet)
def test_any_rectangle_that_is_drawn_has_the_area_of_its_corners(across, deep, west, north):
    state = TableState(blank_job())
    north += deep
    ring = [(west, north), (west + across, north), (west + across, north - deep),
            (west, north - deep)]  # fmt: skip
    draw(state, ring)

    assert area_ft2(state) == pytest.approx(shoelace_ft2(ring), rel=1e-6)


parts = st.tuples(st.floats(0.1, 0.9), st.floats(0.1, 0.9))


@given(across=half_feet, deep=half_feet, part=parts)
def test_any_l_shape_that_is_drawn_has_the_area_of_its_corners(across, deep, part):
    state = TableState(blank_job())
    x, y = (round(p * side * 12) / 12 for p, side in zip(part, (across, deep), strict=True))
    ring = [(50, 90), (50 + across, 90), (50 + across, 90 - y), (50 + x, 90 - y),
            (50 + x, 90 - deep), (50, 90 - deep)]  # fmt: skip
    if min(x, y, across - x, deep - y) < 0.3:
        return
    draw(state, ring)

    assert area_ft2(state) == pytest.approx(shoelace_ft2(ring), rel=1e-6)


def test_columns_are_measured_from_the_corner_of_their_room(den):
    must(den, columns.column_in, "Den")
    must(den, columns.column_placed, "Den", 0, "5", "4 6")
    must(den, columns.column_sized, "Den", 0, "14 in", "")

    assert area_ft2(den) == pytest.approx(300 - math.pi * (7 / 12) ** 2)
    assert "outside its room" in must_not(den, columns.column_placed, "Den", 0, "60", "2")
    assert column_from(den) == ["west wall", "south wall"]
    must(den, columns.without_column, "Den", 0)
    assert area_ft2(den) == pytest.approx(300.0)


@pytest.mark.parametrize(
    ("walls", "named"),
    [
        ("20, 6, 8 left, 4, 12, 10", ["west wall", "southmost wall"]),
        ("sw 10, nw 10, ne 10, se 10", ["westmost corner", "southmost corner"]),
    ],
    ids=["corner cut out", "on its point"],
)
def test_a_column_says_which_of_several_walls_it_is_measured_from(state, walls, named):
    must(state, with_run, "", -1, E, walls)
    must(state, columns.column_in, "Room 1")
    assert column_from(state) == named


def column_from(state):
    return measure_figures(state.job, None, "")["rooms"][0]["columns"][0]["from"]


def test_who_and_where_are_filled_in_and_nonsense_is_named(den):
    must(den, who.with_client, "name", "Wren Alder")
    must(den, who.with_client, "address", "1 Loop Road")
    must(den, who.with_firm, "name", "Oddny Tarn Poured Floors")
    must(den, who.with_year, "1931")
    must(den, who.with_slab, "painted", "yes")
    must(den, who.with_cracks, "14")

    assert any(caution.trigger == "before_1978" for caution in den.answers.cautions)
    for step, given_ in (
        (who.with_client, ("name", "<b>x</b>")),
        (who.with_client, ("name", "")),
        (who.with_year, ("1e9",)),
        (who.with_year, ("-4",)),
        (who.with_year, ("99999",)),
        (who.with_cracks, ("lots",)),
        (who.with_slab, ("painted", "perhaps")),
    ):
        said = must_not(den, step, *given_)
        assert any(word in said for word in ("Needed", "Give", "is empty."))
    assert den.job.site.client.name == "Wren Alder"
    assert den.job.site.year_built == 1931


def test_a_measure_sheet_is_opened_by_its_text(state, demo_sheet, demo_job):
    must(state, who.from_sheet, demo_sheet.read_text("utf-8"))
    assert state.job == demo_job
    for text in ("{]", "", "a = 1", "x" * 1_000_001):
        assert must_not(state, who.from_sheet, text)
    assert state.job == demo_job
    state.undo()
    assert state.offer is None


def test_every_wish_that_measures_checks_what_it_brings_along(state):
    from kit.bench.measures import MEASURES

    wishes = choices_of(state)
    for name, (_, needs) in MEASURES.items():
        for field in needs:
            given_ = {f: {str: "x", int: 1, float: 1.0}[kind] for f, kind in needs.items()}
            complaint = wishes[name]({**given_, field: ["nonsense"]})
            assert complaint is not None, name
    assert not state.can_undo


def corners(state):
    return shown(state)["rooms"][0]["corners"]


def draw(state, ring):
    """Draw a ring of corners in feet, wall by wall, as a finger would."""
    for a, b in zip(ring, [*ring[1:], ring[0]], strict=True):
        name = state.job.site.drafts[0].name if state.job.site.drafts else ""
        must(state, measuring.drawn, name, *a, *b)
    assert state.job.site.drafts == ()
    west = ring[0][0] * M_PER_FT
    assert state.job.site.rooms[0].corners_m()[0][0] == pytest.approx(west)


def test_a_wall_is_named_by_the_side_it_lies_on_whichever_way_it_was_walked(state):
    for name, walked in (("Den", (E, S, W, N)), ("Hall", (W, S, E, N))):
        must(state, rooms.begun, name)
        for number, bearing in enumerate(walked):
            must(state, measuring.with_wall, name, number, bearing, "9")
        seen = [wall["side"] for wall in shown(state)["rooms"][0]["walls"]]
        assert (
            seen
            == {
                "Den": ["north", "east", "south", "west"],
                "Hall": ["north", "west", "south", "east"],
            }[name]
        )
        must(state, rooms.without_room, name)


def test_what_is_tapped_stands_in_half_inches_or_in_whole_centimeters(den):
    east, north = shown(den)["rooms"][0]["corners"][0]
    must(den, openings.way_out_at, east, north - 6.10003)
    must(den, columns.column_at, "Den", east + 5.02003, north - 5.03003)
    leaving, column = shown(den)["way_out"], shown(den)["rooms"][0]["columns"][0]
    assert (leaving["along"], leaving["end"]) == ("6′ 1″", "north")
    assert (column["east"], column["north"]) == ("5′ 0″", "9′ 11½″")

    must(den, openings.without_way_out)
    must(den, rooms.begun, "Bay")
    must(den, measuring.rectangle, "Bay", "6.25 m", "4 m")
    bay = shown(den)["rooms"][1]
    east, north = bay["corners"][1]
    must(den, openings.doorway_between, "Den", "Bay")
    must(den, openings.way_out_at, east, north - 6.10003)
    must(den, columns.column_at, "Bay", east - 5.02003, north - 5.03003)
    column = shown(den)["rooms"][1]["columns"][0]
    assert shown(den)["way_out"]["along"] == "1.86 m"
    assert (column["east"], column["north"]) == ("4.72 m", "2.47 m")


def test_another_room_is_numbered_on_from_those_that_have_names(den):
    must(den, rooms.begun)
    assert shown(den)["rooms"][1]["name"] == "Room 2"


def test_curved_walls_and_closets_are_drawn_as_they_are():
    def shown(name):
        sheet = Path(__file__).parents[2] / "demo_assets" / name
        job = Job.from_sheet(sheet)
        return measure_figures(job, lay_out(job.site), "")["rooms"]

    assert [room["drawn"] for room in shown("boathouse.toml")] == [None] * 5
    chart_room, _ = shown("chart_house.toml")
    assert chart_room["around"] == "60′ 10½″"  # 48 ft and an arc of 12.87
    norths = [north for _, north in chart_room["drawn"]]
    assert max(norths) == pytest.approx(20, abs=0.01)
    assert min(norths) < 4


def test_what_is_pressed_twice_is_done_once(den):
    """Two rooms have one doorway made for them, and one empty room waits at a time."""
    must(den, rooms.begun, "Closet")
    must(den, measuring.rectangle, "Closet", "6", "8")
    must(den, openings.doorway_between, "Den", "Closet")
    must(den, openings.doorway_between, "Closet", "Den")
    assert len(den.job.site.doorways) == 1
    must(den, rooms.begun)
    must(den, rooms.begun)
    assert len(den.job.site.drafts) == 1
