"""Hours, days and what is used up: sums by hand, and what must never happen."""

from dataclasses import replace

import pytest
from floors import PALETTE, one_room, rectangle, shelf_with
from hypothesis import given
from hypothesis import strategies as st
from shapely import box

from kit.coats import system_for
from kit.errors import ShelfError
from kit.stock import read_shelf
from kit.takeoff import take_off
from kit.work import work_for
from kit.work.counting import whole

SHELF = read_shelf()


def work_on(floor, finish="matte", shelf=SHELF):
    coat = finish if not isinstance(finish, str) else shelf.finish(finish)
    return work_for(floor, system_for(floor, PALETTE, coat, shelf), shelf)


def hours(work):
    return {task.key: task.labor_h for task in work.tasks}


def test_tasks_are_quantity_over_rate():
    """10 × 5 m: 50 m² at 23 and 65 m² an hour, the latter twice; 30 m of edge at 9."""
    found = hours(work_on(rectangle(10.0, 5.0)))

    assert found["grind_field"] == pytest.approx(50 / 23)
    assert found["vacuum_slab"] == pytest.approx(2 * 50 / 65)
    assert found["grind_edges"] == pytest.approx(30 / 9)


def test_the_wear_coat_is_laid_at_the_crews_rate_of_its_finish():
    """50 m² at 28 m² an hour by the clock, both persons at it."""
    found = hours(work_on(rectangle(10.0, 5.0)))

    assert SHELF.finish("matte").rate_m2_h == 28
    assert found["lay_wear"] == pytest.approx(2 * 50 / 28)


def test_setting_up_is_paid_every_day_to_everyone():
    work = work_on(rectangle(10.0, 5.0))

    assert hours(work)["set_up"] == pytest.approx(work.days * SHELF.house.crew * 1.25)
    assert work.crew_hours == pytest.approx(sum(task.labor_h for task in work.tasks))


def test_a_floor_takes_three_days_at_least():
    work = work_on(rectangle(3.0, 3.0))

    assert [(stage.stage, stage.days) for stage in work.stages] == [
        ("prepare", 1),
        ("flood", 1),
        ("wear", 1),
    ]
    assert work.days == 3


def test_each_pass_of_the_wear_coat_has_a_day_of_its_own():
    work = work_on(rectangle(3.0, 3.0), SHELF.finish("matte").changed(passes=2))

    assert work.days == 4


def test_a_big_floor_takes_more_days_to_grind():
    work = work_on(rectangle(20.0, 10.0))
    prepare = work.stages[0]

    assert prepare.days == whole(prepare.elapsed_h / (9.5 - 1.25)) > 1


@given(st.floats(2.0, 30.0), st.floats(2.0, 30.0), st.floats(0.0, 10.0))
def test_more_floor_never_takes_less_time(width_m, depth_m, more_m):
    less = work_on(rectangle(width_m, depth_m))
    more = work_on(rectangle(width_m + more_m, depth_m))

    assert more.days >= less.days
    assert more.crew_hours >= less.crew_hours
    assert sum(n.count for n in more.sundries) >= sum(n.count for n in less.sundries)


@given(st.integers(1, 6))
def test_no_stage_is_given_more_hours_than_its_days_have(crew):
    work = work_on(rectangle(14.0, 9.0), shelf=shelf_with(crew=crew))

    assert all(s.elapsed_h <= s.days * (9.5 - 1.25) + 1e-9 for s in work.stages)


def test_cracks_take_time_and_filler():
    room = one_room(box(0, 0, 10, 5))
    sound, cracked = (work_on(take_off(room, cracks_m=m)) for m in (0.0, 9.5))

    assert "fill_cracks" not in hours(sound)
    assert hours(cracked)["fill_cracks"] == pytest.approx(9.5 / 7)
    filler = {n.sundry.key: n.count for n in cracked.sundries}
    assert filler["crack_filler"] == 3
    assert "crack_filler" not in {n.sundry.key for n in sound.sundries}


def test_sundries_are_bought_whole():
    work = work_on(rectangle(10.0, 5.0))
    bought = {need.sundry.key: need for need in work.sundries}

    assert bought["roller_covers"].count == 3 * SHELF.house.crew
    assert bought["masking_film"].count == 2
    assert bought["masking_film"].cost == 2 * bought["masking_film"].sundry.price


def test_machines_are_paid_on_the_days_of_their_stages():
    work = work_on(rectangle(10.0, 5.0))
    days = {need.equipment.key: need.days for need in work.equipment}

    assert (days["floor_grinder"], days["dust_extractor"], days["mixing_station"]) == (
        1,
        2,
        3,
    )


def test_a_flood_that_outlasts_its_day_is_a_concern():
    alone = shelf_with(crew=1)

    assert work_on(rectangle(10.0, 5.0), shelf=alone).concerns == ()
    (concern,) = work_on(rectangle(20.0, 10.0), shelf=alone).concerns
    assert concern.about == "flood coat"


def test_a_day_that_is_all_setting_up_is_refused():
    slow = replace(
        SHELF,
        tasks=tuple(
            t.changed(per_person_h=0.1) if t.key == "set_up" else t for t in SHELF.tasks
        ),
    )

    with pytest.raises(
        ShelfError, match=r"hours_per_day: found 9\.5 h; expected more than"
    ):
        work_on(rectangle(10.0, 5.0), shelf=slow)


@pytest.mark.parametrize(
    ("quantity", "pieces"), [(0.0, 0), (0.01, 1), (2.0, 2), (2.0 + 1e-12, 2), (2.001, 3)]
)
def test_pieces_round_up_but_not_for_float_noise(quantity, pieces):
    assert whole(quantity) == pieces


def test_every_hour_shows_how_it_came_to_be():
    lines = [figure.line for figure in work_on(rectangle(10.0, 5.0)).trail]

    assert (
        "Grind the open floor: 2.17 h = 538.2 sq ft at 247.6 sq ft a person-hour" in lines
    )
    assert lines[-1] == (
        "Days on site: 3 = 1 prepare (5.0 h) + 1 flood (2.2 h) + 1 wear (3.2 h), "
        "8.2 h a day after setting up"
    )
