"""The plan to scale: true lengths, every wall once, every room named, all in frame."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from shapely import LineString, Polygon, affinity, box

from kit.errors import MeasureError
from kit.plan.floor import FloorPlan, PlannedRoom, WayOut
from kit.plan.parts import Solid
from kit.press.drawing import plan_drawing, walls_only
from kit.press.faces import width_pt
from kit.press.page import Drawing
from kit.press.scale import SCALES, largest_that_fits

FT = 0.3048
EIGHTH = next(scale for scale in SCALES if scale.words == "1/8″ = 1′")


def drawn(plan: FloorPlan, scale=EIGHTH, areas=None) -> Drawing:
    return plan_drawing(plan, scale, areas or {}, alt="plan")


def lengths(drawing: Drawing) -> list[str]:
    return sorted(label.words for label in drawing.labels if label.tone == "dimension")


def one_room(outline: Polygon, name: str = "Room") -> FloorPlan:
    (x, y), (x2, y2) = list(outline.exterior.coords)[:2]
    out = LineString([(x, y), (x + (x2 - x) / 4, y + (y2 - y) / 4)])
    room = PlannedRoom(name, outline, outline)
    return FloorPlan((room,), (), WayOut(name, out, out.length), outline)


def area_pt2(drawing: Drawing, tone: str) -> float:
    def shoelace(ring):
        return (
            abs(
                sum(
                    a[0] * b[1] - b[0] * a[1]
                    for a, b in zip(ring, ring[1:] + ring[:1], strict=True)
                )
            )
            / 2
        )

    shapes = [s.rings for s in drawing.shapes if s.tone == tone]
    return sum(shoelace(r[0]) - sum(map(shoelace, r[1:])) for r in shapes)


def test_an_eighth_of_an_inch_is_nine_points_a_foot():
    """A point is 1/72 inch by definition."""
    assert EIGHTH.pt_per_m * FT == pytest.approx(9.0, abs=1e-12)
    assert EIGHTH.bar_pt == pytest.approx(72.0)


def test_the_poured_floor_is_drawn_to_scale(two_rooms):
    gap = 3 * 9.0 * (0.11 / FT * 9.0 + 0.6)
    expected = two_rooms.surface.area * EIGHTH.pt_per_m**2
    assert area_pt2(drawn(two_rooms), "floor") == pytest.approx(expected + gap, rel=1e-3)


@pytest.mark.parametrize(
    ("wide_ft", "high_ft", "words"),
    [
        (12, 10, "1/4″ = 1′"),
        (38, 20, "1/8″ = 1′"),
        (56, 20, "3/32″ = 1′"),
        (90, 40, "1/16″ = 1′"),
        (400, 90, "1″ = 100′"),
    ],
)
def test_the_largest_standard_scale_that_fits_is_taken(wide_ft, high_ft, words):
    size = (wide_ft * FT, high_ft * FT)
    assert largest_that_fits(*size, frame_pt=(504, 300), around_pt=32).words == words


def test_a_floor_beyond_every_scale_is_refused():
    with pytest.raises(MeasureError, match="fits a page"):
        largest_that_fits(900.0, 900.0, frame_pt=(504, 300), around_pt=32)


def test_every_wall_length_is_written_once(two_rooms):
    assert lengths(drawn(two_rooms)) == sorted(
        ["20′ 0″", "9′ 0″", "8′ 0″", "5′ 0″", "12′ 0″", "14′ 0″", "7′ 0″", "6′ 6″"]
    )


def test_facing_walls_of_a_rectangle_share_one_length():
    room = one_room(box(0, 0, 12.5 * FT, 10 * FT))
    assert lengths(drawn(room)) == ["10′ 0″", "12′ 6″"]


def test_corners_that_do_not_turn_do_not_split_a_wall():
    corners = [(0, 0), (5, 0), (12, 0), (12, 10), (0, 10)]
    room = one_room(Polygon([(x * FT, y * FT) for x, y in corners]))
    assert lengths(drawn(room)) == ["10′ 0″", "12′ 0″"]


def test_slanted_walls_are_written_along_themselves():
    triangle = Polygon([(0, 0), (16 * FT, 0), (0, 12 * FT)])
    labels = [la for la in drawn(one_room(triangle)).labels if la.words == "20′ 0″"]
    assert len(labels) == 1
    assert abs(labels[0].turn) == pytest.approx(math.degrees(math.atan2(12, 16)), abs=1e-3)


@pytest.mark.parametrize("turned", [0, 17, 45, 90, 133, 180, 270])
def test_words_are_never_upside_down(two_rooms, turned):
    room = affinity.rotate(two_rooms.rooms[0].outline, turned, origin=(0, 0))
    assert all(-90.001 <= label.turn < 90.0 for label in drawn(one_room(room)).labels)


def test_every_room_is_named_inside_itself(two_rooms):
    names = {la.words for la in drawn(two_rooms).labels if la.tone in ("room", "small")}
    assert names == {"Studio", "Closet"}


def test_columns_and_the_way_out_are_shown(two_rooms):
    drawing = drawn(two_rooms)
    column = math.pi * (0.18 * EIGHTH.pt_per_m) ** 2
    assert area_pt2(drawing, "column") == pytest.approx(column, rel=0.01)
    out = [label for label in drawing.labels if label.tone == "out"]
    assert [one.words for one in sorted(out, key=lambda one: one.at[1])] == [
        "Way out",
        "3′ 0″",
    ]
    assert sum(stroke.tone == "opening" for stroke in drawing.strokes) == 2


def test_no_two_labels_run_into_each_other(two_rooms):
    boxes = []
    for label in drawn(
        two_rooms, areas={"Studio": "239.0 sq ft", "Closet": "45.5 sq ft"}
    ).labels:
        wide, (x, y) = width_pt(label.words, 7.5), label.at
        flat = box(x - wide / 2, y - 3.2, x + wide / 2, y + 3.2)
        boxes.append(affinity.rotate(flat, label.turn, origin=(x, y)))
    for place, one in enumerate(boxes):
        assert not any(one.intersects(other) for other in boxes[place + 1 :])


def test_all_of_it_lies_within_its_frame(two_rooms):
    drawing = drawn(two_rooms)
    points = [p for s in drawing.shapes for ring in s.rings for p in ring]
    points += [p for s in drawing.strokes for p in s.points]
    points += [label.at for label in drawing.labels]
    assert all(
        0 <= x <= drawing.width_pt and 0 <= y <= drawing.height_pt for x, y in points
    )
    assert drawing.width_pt <= 504


def test_a_room_round_a_court_has_walls_on_its_inside():
    ring = Polygon(
        box(0, 0, 12, 12).exterior.coords, [list(box(4, 4, 8, 8).exterior.coords)[::-1]]
    )
    arms = [box(0, 0, 12, 4), box(0, 8, 12, 12), box(0, 4, 4, 8), box(8, 4, 12, 8)]
    rooms = tuple(PlannedRoom(f"Arm {n}", arm, arm) for n, arm in enumerate(arms))
    plan = FloorPlan(rooms, (), WayOut("Arm 0", LineString([(1, 0), (2, 0)]), 1.0), ring)
    walls = [s for s in drawn(plan).shapes if s.tone == "wall" and len(s.rings) == 2]
    assert len(walls) == 2


def test_the_walls_over_the_picture_are_as_large_as_the_floor_and_no_larger(two_rooms):
    west, south, east, north = two_rooms.bounds_m
    walls = walls_only(two_rooms, 50.0)
    assert walls.width_pt == pytest.approx((east - west + 0.22) * 50.0, abs=0.01)
    assert walls.height_pt == pytest.approx((north - south + 0.22) * 50.0, abs=0.01)


def test_two_hundred_little_rooms_are_drawn_without_a_fault():
    cells = [
        box(x * 3, y * 3, x * 3 + 2.9, y * 3 + 2.9) for x in range(20) for y in range(10)
    ]
    rooms = tuple(PlannedRoom(f"Room {n}", cell, cell) for n, cell in enumerate(cells))
    plan = one_room(box(0, 0, 60, 30))
    many = replace(plan, rooms=rooms, way_out=WayOut("Room 0", plan.way_out.opening, 1.0))
    scale = largest_that_fits(60, 30, frame_pt=(504, 300), around_pt=32)
    assert drawn(many, scale).shapes


def words_boxes(drawing: Drawing) -> list[tuple[str, Polygon]]:
    """The ink of every label, turned as it is printed."""
    boxes = []
    for label in drawing.labels:
        size = 9.0 if label.tone == "room" else 7.5
        wide, (x, y) = width_pt(label.words, size), label.at
        flat = box(x - wide / 2, y - 3.5, x + wide / 2, y + 3.5)
        boxes.append((label.words, affinity.rotate(flat, label.turn, origin=(x, y))))
    return boxes


def struck(drawing: Drawing) -> list[str]:
    """Words that a line, a wall, a column or other words run through."""
    boxes = words_boxes(drawing)
    lines = [LineString(stroke.points) for stroke in drawing.strokes]
    dark = [
        Polygon(s.rings[0], s.rings[1:])
        for s in drawing.shapes
        if s.tone in ("wall", "column")
    ]
    return [
        words
        for n, (words, spot) in enumerate(boxes)
        if any(map(spot.intersects, (*lines, *dark)))
        or any(spot.intersects(other) for _, other in boxes[n + 1 :])
    ]


WAYS_OUT = {
    "south": ((0.3, 0.0), (0.5, 0.0)),
    "east": ((1.0, 0.4), (1.0, 0.6)),
    "north": ((0.6, 1.0), (0.4, 1.0)),
    "west": ((0.0, 0.6), (0.0, 0.4)),
}


@pytest.mark.parametrize("side", WAYS_OUT)
@pytest.mark.parametrize("size_ft", [(20, 14), (14, 14), (12, 30), (40, 12)])
@pytest.mark.parametrize("scale", SCALES[:4], ids=lambda scale: scale.words)
def test_the_way_out_on_any_side_strikes_through_no_words(side, size_ft, scale):
    """A room with two corners cut off, so that no wall can be told by the one it faces."""
    wide, high = size_ft[0] * FT, size_ft[1] * FT
    cut = 2 * FT
    corners = box(wide - cut, 0, wide, cut).union(box(0, high - cut, cut, high))
    outline = box(0, 0, wide, high).difference(corners)
    opening = LineString([(x * wide, y * high) for x, y in WAYS_OUT[side]])
    room = PlannedRoom("Den", outline, outline)
    plan = FloorPlan((room,), (), WayOut("Den", opening, opening.length), outline)
    drawing = drawn(plan, scale, {"Den": "280.0 sq ft"})
    assert struck(drawing) == []
    told = [f"{feet - 2}′ 0″" for feet in size_ft for _ in range(2)]
    assert [words for words in lengths(drawing) if words != "2′ 0″"] == sorted(told)


def test_a_line_to_a_far_length_passes_the_way_out_by():
    """The opening stands at a corner, and its wall is told beyond it or not outside."""
    corners = [(0, 0), (30, 0), (30, 20), (18, 20), (18, 14), (0, 14)]
    outline = Polygon([(x * FT, y * FT) for x, y in corners])
    opening = LineString([(0.5 * FT, 0), (3 * FT, 0)])
    room = PlannedRoom("Den", outline, outline)
    plan = FloorPlan((room,), (), WayOut("Den", opening, opening.length), outline)
    assert struck(drawn(plan, SCALES[4])) == []
    assert "30′ 0″" in lengths(drawn(plan, SCALES[4]))


def test_no_line_strikes_through_words_on_a_plan_of_many_rooms(demo_workup, two_rooms):
    for plan in (demo_workup.plan, two_rooms):
        assert struck(drawn(plan, areas={r.name: "405.9 sq ft" for r in plan.rooms})) == []


def test_a_length_that_only_fits_inside_has_a_line_with_ticks_too(demo_workup):
    """The wall beside the alcove's doorway: a line along it, a tick at each end."""
    drawing = drawn(demo_workup.plan)
    lengths_told = sum(label.tone == "dimension" for label in drawing.labels)
    assert sum(stroke.tone == "tick" for stroke in drawing.strokes) == 2 * lengths_told


def test_every_doorway_bears_its_width_within_it_or_through_it(demo_workup, two_rooms):
    for scale in SCALES[:5]:
        drawing = drawn(two_rooms, scale)
        assert struck(drawing) == []
        (width,) = (one for one in drawing.labels if one.tone == "opening")
        assert width.words == "3′ 0″"
        is_through = width_pt(width.words, 7.5) > 3 * FT * scale.pt_per_m
        assert abs(width.turn) == (0.0 if is_through else 90.0), scale.words
    told = [one.words for one in drawn(demo_workup.plan).labels if one.tone == "opening"]
    assert len(told) == len(demo_workup.plan.thresholds)


def test_a_column_bears_its_size_where_that_covers_nothing(demo_workup):
    sizes = [one for one in drawn(demo_workup.plan).labels if one.tone == "column"]
    assert [one.words for one in sizes] == ["1′ 2″", "1′ 2″"]
    floor = box(0, 0, 20 * FT, 12 * FT)
    square = box(9 * FT, 5 * FT, 11 * FT, 8 * FT)
    column = Solid("column 1", square, square.length)
    room = PlannedRoom("Room", floor, floor.difference(square), solids=(column,))
    plan = replace(one_room(floor), rooms=(room,))
    (size,) = (one for one in drawn(plan).labels if one.tone == "column")
    assert size.words == "2′ 0″ × 3′ 0″"
    filled = replace(room, poured=square.buffer(0.1).difference(square))
    tight = replace(plan, rooms=(filled,))
    assert not [one for one in drawn(tight).labels if one.tone == "column"]
