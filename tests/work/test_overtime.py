"""Hours beyond the plain day, by hand and by law; what others charge."""

from dataclasses import replace

import pytest
from floors import PALETTE, rectangle, shelf_with
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.coats import system_for
from kit.record import filled
from kit.stock import Charge, read_shelf
from kit.work import work_for

SHELF = read_shelf()


def work_on(floor, shelf=SHELF):
    return work_for(floor, system_for(floor, PALETTE, shelf.finish("matte"), shelf), shelf)


def test_overtime_is_what_a_day_has_beyond_the_plain_hours():
    """56 m² take one day of preparing: its hours and set-up less eight, for two."""
    work = work_on(rectangle(8.0, 7.0), shelf_with(overtime_after_h=8.0))
    prepare = work.stages[0]

    assert prepare.days == 1
    day_h = work.set_up_h + prepare.elapsed_h
    assert work.set_up_h == pytest.approx(1.25)
    assert work.overtime_h == pytest.approx(2 * max(0.0, day_h - 8.0))
    assert work_on(rectangle(8.0, 7.0), shelf_with(overtime_after_h=6.0)).overtime_h > 0


def test_a_day_of_twenty_four_hours_has_no_overtime():
    assert work_on(rectangle(20.0, 10.0)).overtime_h == 0.0


@settings(max_examples=30)
@given(st.floats(2.0, 25.0), st.floats(3.0, 9.0), st.floats(0.0, 3.0))
def test_a_longer_plain_day_never_has_more_overtime(width_m, plain_h, more_h):
    short, long = (
        work_on(rectangle(width_m, 7.0), shelf_with(overtime_after_h=h))
        for h in (plain_h, plain_h + more_h)
    )

    assert long.overtime_h <= short.overtime_h <= short.crew_hours
    assert (long.days, long.crew_hours) == (short.days, short.crew_hours)


@pytest.mark.parametrize(
    ("driver", "quantity"),
    [("area", 56.0), ("perimeter", 30.0), ("job", 1.0), ("day", 3), ("cracks", 0.0)],
)
def test_others_charge_by_a_driver_as_tasks_are_counted(driver, quantity):
    charge = filled(
        Charge,
        {
            "key": "help",
            "name": "Help",
            "kind": "subcontract",
            "driver": driver,
            "price": "2.00",
            "source": "made up",
        },
    )
    needs = work_on(rectangle(8.0, 7.0), replace(SHELF, charges=(charge,))).charges

    assert [need.quantity for need in needs] == (
        [pytest.approx(quantity)] if quantity else []
    )
    assert sum(need.cost for need in needs) == pytest.approx(2 * quantity)
