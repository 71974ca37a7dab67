"""Rooms from drawings: what is read, what comes back the same, what is refused."""

import json
import math
import random
from itertools import pairwise

import pytest
from drawings import arc, box, circle, dxf, line, old_polyline, polyline
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.errors import OutputError, SheetError
from kit.plan.drawn import (
    UNITS_M,
    coordinates_of,
    dxf_of,
    read_coordinates,
    read_dxf,
    rooms_of,
    sheet_text,
)
from kit.plan.rooms import planned
from kit.site import tables

FT = 0.3048
SEGMENT_M2 = 16.350110879328426  # of a circle of 10 over a chord of 12, by hand
BAY_BULGE = math.tan(2 * math.asin(0.6) / 4)


def read(tmp_path, content, **given_):
    file = tmp_path / "plan.dxf"
    file.write_bytes(content)
    return read_dxf(file, **given_)


def area_of(room):
    return planned(room).poured.area


def test_a_closed_polyline_is_a_room_named_after_its_layer(tmp_path):
    drawn = read(tmp_path, dxf(polyline(box(0, 0, 6, 4), "Great hall")))

    assert [room.name for room in drawn.rooms] == ["Great hall"]
    assert area_of(drawn.rooms[0]) == pytest.approx(24)
    assert (drawn.unit, drawn.moved_m, drawn.left_out) == ("m", (0.0, 0.0), ())


@pytest.mark.parametrize("shape", [polyline, old_polyline])
def test_a_bulge_is_an_arc_to_the_right_of_its_edge(tmp_path, shape):
    """A bulge is tan(θ/4); walked counterclockwise its right side lies outside."""
    out, into = (
        read(tmp_path, dxf(shape(box(0, 5, 12, 15, b)))).rooms[0]
        for b in (BAY_BULGE, -BAY_BULGE)
    )

    assert area_of(out) == pytest.approx(180 + SEGMENT_M2, abs=1e-3)
    assert area_of(into) == pytest.approx(180 - SEGMENT_M2, abs=1e-3)
    assert out.curves[0].words == "rise 2 m right"


@pytest.mark.parametrize(
    ("code", "unit"), [(1, "in"), (2, "ft"), (4, "mm"), (5, "cm"), (6, "m"), (10, "yd")]
)
def test_the_unit_of_the_drawing_is_honored(tmp_path, code, unit):
    each = UNITS_M[unit]
    drawn = read(tmp_path, dxf(polyline(box(0, 0, 6 / each, 4 / each)), unit=code))

    assert drawn.unit == unit
    assert area_of(drawn.rooms[0]) == pytest.approx(24, rel=1e-4)


@pytest.mark.parametrize("code", [None, 0])
def test_a_drawing_without_a_unit_asks_for_it(tmp_path, code):
    content = dxf(polyline(box(0, 0, 20, 10)), unit=code)

    with pytest.raises(SheetError, match=r"\$INSUNITS: found no unit; .*one of in, ft"):
        read(tmp_path, content)
    assert area_of(read(tmp_path, content, unit="ft").rooms[0]) == pytest.approx(
        200 * FT**2
    )


def test_lines_and_arcs_join_into_a_room_in_whatever_order_they_are_drawn(tmp_path):
    """A rectangle of 12 × 15 with a bay of chord 12 and rise 2; ends miss by 2 mm."""
    angle = math.degrees(math.asin(0.6))
    pieces = [
        line(12, 5, 12, 20),
        line(0, 20.002, 12.001, 20),
        line(0, 20, 0, 5),
        arc(6, 5 + 8, 10, 270 - angle, 270 + angle),
    ]
    random.Random(3).shuffle(pieces)

    room = read(tmp_path, dxf(*pieces)).rooms[0]

    assert area_of(room) == pytest.approx(180 + SEGMENT_M2, abs=0.02)
    assert len(room.curves) == 1


def test_an_arc_that_is_walked_backwards_still_bows_the_same_way(tmp_path):
    """The first line sets out clockwise, the arc was drawn counterclockwise."""
    angle = math.degrees(math.asin(0.6))
    lines = [line(0, 5, 0, 20), line(0, 20, 12, 20), line(12, 20, 12, 5)]

    room = read(tmp_path, dxf(*lines, arc(6, 13, 10, 270 - angle, 270 + angle))).rooms[0]

    assert area_of(room) == pytest.approx(180 + SEGMENT_M2, abs=1e-3)


def test_circles_inside_are_columns_and_other_outlines_islands(tmp_path):
    drawn = read(
        tmp_path,
        dxf(
            polyline(box(0, 0, 8, 6)),
            circle(2, 2, 0.25),
            polyline(box(4, 3, 1, 1)),
            polyline([(6.0, 2.0, 1.0), (6.5, 2.0, 1.0)]),
        ),
    )

    room = drawn.rooms[0]
    assert [column.round for column in room.columns] == ["0.5 m", "0.5 m"]
    assert len(room.islands) == 1
    assert area_of(room) == pytest.approx(48 - 1 - 2 * math.pi * 0.25**2)


def test_a_circle_alone_is_a_round_room(tmp_path):
    room = read(tmp_path, dxf(circle(3, 3, 3))).rooms[0]

    assert area_of(room) == pytest.approx(math.pi * 9, rel=1e-4)


def test_several_rooms_and_two_on_one_layer(tmp_path):
    drawn = read(
        tmp_path,
        dxf(
            polyline(box(0, 0, 3, 3), "Cell"),
            polyline(box(4, 0, 3, 3), "Cell"),
            polyline(box(0, 4, 3, 3), "Attic"),
        ),
    )

    assert {room.name for room in drawn.rooms} == {"Cell", "Cell 2", "Attic"}


def test_a_drawing_far_from_zero_is_moved_by_whole_metres(tmp_path):
    drawn = read(tmp_path, dxf(polyline(box(-3.25, 451_000.5, 6, 4))))

    assert drawn.moved_m == (4.0, -451_000.0)
    assert drawn.rooms[0].corners[0] == ("0.75 m", "0.5 m")


def test_what_does_not_close_is_left_out_and_said(tmp_path):
    drawn = read(
        tmp_path,
        dxf(
            polyline(box(0, 0, 3, 3)),
            line(0, 0, 5, 0, "Sizes"),
            polyline(box(9, 9, 3, 3), "Store", closed=False),
        ),
    )

    assert [room.name for room in drawn.rooms] == ["Hall"]
    assert drawn.left_out == (
        'layer "Sizes": 1 line open by 16′ 5″ at 0′ 0″ east, 0′ 0″ north',
        'layer "Store": 1 line open by 9′ 10″ at 29′ 6½″ east, 29′ 6½″ north',
    )


SQUARE = polyline(box(0, 0, 3, 3))


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b"", r"found .*not a DXF file; expected a DXF drawing, whole"),
        (b"\x00\x01" * 400, r"expected a DXF drawing, whole"),
        (dxf(SQUARE, end=""), r"expected a DXF drawing, whole"),
        (dxf(SQUARE)[:-40], r"expected a DXF drawing, whole"),
        (dxf(SQUARE).replace(b"3\n20", b"three\n20"), r"expected a DXF drawing, whole"),
        (dxf(), r"found nothing that is closed; expected at least one closed outline"),
        (dxf(line(0, 0, 3, 0)), r'found layer "Hall": 1 line open by 9′ 10″'),
        (
            dxf(*(line(0, 0, x, 3) for x in (1, 2, 3))),
            r"with a loose end",
        ),
        (
            dxf(polyline([(0, 0, 0), (3, 3, 0), (3, 0, 0), (0, 3, 0)])),
            r'layer "Hall", outline: found one that crosses or touches itself',
        ),
        (
            dxf(polyline([(0, 0, 0), (3, 0, 0), (6, 0, 0)])),
            r'layer "Hall", outline: found one (without area|that crosses)',
        ),
        (dxf(polyline([(0, 0, 0), (3, 0, 0)])), r'"Hall", outline: found 2 corners'),
        (dxf(SQUARE, polyline(box(2, 2, 3, 3))), r"outlines that cross each other"),
        (
            dxf(polyline(box(0, 0, 9, 9)), polyline(box(2, 2, 3, 3)), circle(3, 3, 0.2)),
            r"an outline over one that stands in the same room",
        ),
        (
            dxf(polyline([(0, 0, 0), (1e300, 0, 0), (1e300, 3, 0)])),
            r'layer "Hall": found a place that is nowhere',
        ),
        (dxf(SQUARE, unit=13), r"\$INSUNITS: found 13; expected inches, feet"),
        (
            dxf(polyline([(math.cos(t), math.sin(t), 0) for t in
                          (k * math.tau / 900 for k in range(900))])),
            r"found 900 corners; expected at most 400; draw curves as arcs",
        ),
        (dxf(SQUARE.replace("70\n1\n", "70\n1\n210\n0.0\n220\n0.0\n230\n-1.0\n")),
         r"drawn from below or aslant"),
        (dxf(*(polyline(box(4 * k, 0, 3, 3)) for k in range(301))), r"301 closed outlines"),
        (dxf(*([line(0, 0, 1, 0)] * 20_001)), r"more than 20,000 lines"),
    ],
)  # fmt: skip
def test_a_drawing_that_cannot_be_is_refused_in_one_line(tmp_path, content, says):
    with pytest.raises(SheetError, match=says) as refused:
        read(tmp_path, content)
    assert "\n" not in str(refused.value)
    assert str(tmp_path) not in str(refused.value)


def test_a_drawing_too_large_is_refused_before_it_is_read(tmp_path):
    file = tmp_path / "plan.dxf"
    with file.open("wb") as sparse:
        sparse.truncate(30_000_000)

    with pytest.raises(SheetError, match=r"30\.0 MB; expected at most 20 MB"):
        read_dxf(file)


@pytest.mark.parametrize(
    ("given_", "says"),
    [
        ({"unit": "cubit"}, r"unit: found cubit; expected one of in, ft"),
        ({"unit": "ft"}, r"unit: found ft; expected m, as the drawing says"),
        ({"layers": ["Attic"]}, r"layer: found Attic; expected one of Hall"),
    ],
)
def test_a_wish_that_the_drawing_cannot_meet_is_refused(tmp_path, given_, says):
    with pytest.raises(SheetError, match=says):
        read(tmp_path, dxf(SQUARE), **given_)


def test_a_layer_that_was_asked_for_must_close(tmp_path):
    content = dxf(SQUARE, line(9, 9, 12, 9, "Store"))

    assert len(read(tmp_path, content, layers=["Hall"]).rooms) == 1
    with pytest.raises(SheetError, match=r'layer "Store": 1 line open'):
        read(tmp_path, content, layers=["Store"])


ROOMS = """
[[room]]
name = "Bay"
start = ["0 ft", "4 ft"]
walls = ["E 12' rise 2' right", "N 15' 3 1/2\\"", "W 12' radius 20' left", "S 15' 3 1/2\\""]
[[room.column]]
at = ["3'", "9'"]
round = "14 in"
[[room.column]]
at = ["9'", "9'"]
square = ["12 in", "16 in"]
[[room.island]]
name = "Hearth"
corners = [["5 ft", "10 ft"], ["7 ft", "10 ft"], ["6 ft", "11.5 ft"]]
[[room]]
name = "Öz-Gür & Sons, Bed #2"
corners = [["20'", "0 ft"], ["26'", "0 ft"], ["26'", "8.123 m"], ["20'", "8'"]]
[[room.closet]]
at = ["23'", "0 ft"]
opening = "3'"
width = "5'"
depth = "2'"
"""


def on_zero(rooms):
    """The closet lies south of zero; a drawing is moved by whole metres."""
    return [room for room in rooms if not room.closets]


def test_rooms_come_back_from_a_drawing_as_they_went(tmp_path):
    rooms = on_zero(rooms_of(tables(ROOMS)))

    back = read(tmp_path, dxf_of(rooms)).rooms

    assert [room.name for room in back] == [room.name for room in rooms]
    for before, after in zip(rooms, back, strict=True):
        one, other = planned(before), planned(after)
        for a, b in zip(one.corners_m, other.corners_m, strict=True):
            assert math.dist(a, b) <= 1e-4
        for a, b in zip(one.curves, other.curves, strict=True):
            assert b.bow.rise_m == pytest.approx(a.bow.rise_m, abs=1e-4)
        assert other.poured.symmetric_difference(one.poured).area < 5e-3
        assert [c.round for c in after.columns] == ["1' 2\""]


def test_a_second_time_nothing_changes_any_more(tmp_path):
    once = read(tmp_path, dxf_of(rooms_of(tables(ROOMS)))).rooms
    twice = read(tmp_path, dxf_of(once)).rooms

    assert twice == once
    assert rooms_of(tables(sheet_text(once, source="a drawing"))) == once


def test_closets_are_drawn_with_their_room(tmp_path):
    before = rooms_of(tables(ROOMS))[1]
    after = read(tmp_path, dxf_of([before])).rooms[0]

    assert area_of(after) == pytest.approx(area_of(before), rel=1e-4)


def test_rooms_come_back_from_plain_coordinates(tmp_path):
    rooms = rooms_of(tables(ROOMS))
    file = tmp_path / "plan.json"
    file.write_bytes(coordinates_of(rooms))

    drawn = read_coordinates(file)

    for before, after in zip(rooms, drawn.rooms, strict=True):
        assert after.name == before.name
        assert area_of(after) == pytest.approx(area_of(before), rel=2e-4)
    file.write_bytes(coordinates_of(drawn.rooms))
    assert read_coordinates(file).rooms == drawn.rooms


def test_plain_coordinates_have_the_shape_of_rfc_7946():
    """Closed rings, the outer one counterclockwise, holes clockwise (section 3.1.6)."""
    whole = json.loads(coordinates_of(rooms_of(tables(ROOMS))))

    assert whole["type"] == "FeatureCollection"
    assert whole["local_units"] == "m"
    for feature in whole["features"]:
        assert feature["type"] == "Feature"
        for number, ring in enumerate(feature["geometry"]["coordinates"]):
            assert ring[0] == ring[-1]
            twice = sum(a[0] * b[1] - b[0] * a[1] for a, b in pairwise(ring))
            assert (twice > 0) == (number == 0)


def feature(*rings, **more):
    shape = {"type": "Polygon", "coordinates": list(rings)}
    return {"type": "Feature", "properties": {"name": "Den"}, "geometry": shape, **more}


RING = [[0, 0], [4, 0], [4, 3], [0, 3], [0, 0]]
WHOLE = {"type": "FeatureCollection", "local_units": "m", "features": [feature(RING)]}


@pytest.mark.parametrize(
    ("whole", "says"),
    [
        ([], r"found a list of 0; expected an object of type"),
        ({"type": "Topology"}, r"expected an object of type"),
        ({**WHOLE, "local_units": None}, r"local_units.*longitude and latitude"),
        ({**WHOLE, "features": []}, r"features: found 0 of them"),
        ({**WHOLE, "features": [7]}, r"feature 1: found 7; expected a Feature"),
        ({**WHOLE, "features": [feature(RING[:3])]}, r"ring 1: .*four positions or more"),
        ({**WHOLE, "features": [feature(RING[:4])]}, r"ring 1: found a ring that is open"),
        (
            {**WHOLE, "features": [feature([*RING[:2], [True, 1], *RING[2:]])]},
            r"metres east",
        ),
        (
            {**WHOLE, "features": [feature([*RING[:2], ["4", 1], *RING[2:]])]},
            r"metres east",
        ),
        ({**WHOLE, "features": [feature([*RING[:2], [1e300, 1], *RING[2:]])]}, r"metres"),
        (
            {**WHOLE, "features": [feature([[0, 0], [4, 3], [4, 0], [0, 3], [0, 0]])]},
            r"crosses or touches itself",
        ),
        (
            {**WHOLE, "features": [feature(RING, [[9, 9], [10, 9], [10, 10], [9, 9]])]},
            r"holes that do not lie in its first ring",
        ),
        (
            {**WHOLE, "features": [feature(RING, geometry={"type": "Point"})]},
            r"geometry: found Point; expected type",
        ),
    ],
)
def test_coordinates_that_cannot_be_are_refused_in_one_line(tmp_path, whole, says):
    file = tmp_path / "plan.json"
    file.write_text(json.dumps(whole), encoding="utf-8")

    with pytest.raises(SheetError, match=says) as refused:
        read_coordinates(file)
    assert "\n" not in str(refused.value)


@pytest.mark.parametrize(
    "content", [b"", b"{", b"[" * 100_000, b"\xff\xfe", b'{"a": NaN}', b'{"a": Infinity}']
)
def test_what_is_no_json_is_refused(tmp_path, content):
    file = tmp_path / "plan.json"
    file.write_bytes(content)

    with pytest.raises(SheetError, match=r"coordinates plan\.json"):
        read_coordinates(file)


def test_two_rooms_cannot_share_a_layer():
    rooms = rooms_of(tables(ROOMS.replace('"Bay"', '"A/B"').replace("Öz-Gür", "A:B")))
    pair = [rooms[0], rooms[0].changed(name="A:B")]

    with pytest.raises(OutputError, match=r'room "A:B": found a layer "A_B"'):
        dxf_of(pair)


@settings(max_examples=25)
@given(
    st.integers(0, 3), st.booleans(), st.floats(-0.2, 0.9), st.floats(1, 4), st.floats(2, 9)
)
def test_where_a_polyline_starts_and_how_it_runs_changes_nothing(
    tmp_path_factory, first, backwards, bulge, wide, deep
):
    corners = box(20, 20, wide, deep, bulge)
    turned = [*corners[first:], *corners[:first]]
    if backwards:
        bulges = [b for *_, b in turned]
        kept = zip(turned[::-1], [*bulges[-2::-1], bulges[-1]], strict=True)
        turned = [(x, y, -b) for (x, y, _), b in kept]
    folder = tmp_path_factory.mktemp("drawn")
    one, other = (read(folder, dxf(polyline(c))).rooms[0] for c in (corners, turned))

    assert area_of(other) == pytest.approx(area_of(one), abs=2e-3)
