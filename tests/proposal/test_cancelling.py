"""The last day to cancel, against days that were counted on a calendar."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.job import Sale, last_days
from kit.job.cancelling import business_day_after, federal_holidays
from kit.stock import read_shelf

PRICE = Decimal("7843.10")

# 16 CFR 429.0: the third business day, Saturdays counted, Sundays and federal holidays
# (5 USC 6103, observed days too) not; counted by hand on the calendar of 2026.
THIRD = [
    ("2026-03-02", "2026-03-05"),
    ("2026-03-05", "2026-03-09"),
    ("2026-03-06", "2026-03-10"),
    ("2026-03-07", "2026-03-11"),
    ("2026-03-08", "2026-03-11"),
    ("2026-05-22", "2026-05-27"),
    ("2026-06-17", "2026-06-22"),
    ("2026-11-24", "2026-11-28"),
    ("2026-11-25", "2026-11-30"),
    ("2026-12-23", "2026-12-28"),
]


def at(sale: Sale, day: str = "2026-11-24", total: Decimal = PRICE):
    return last_days(sale, total, date.fromisoformat(day), read_shelf())


@pytest.mark.parametrize(("signed", "last"), THIRD)
def test_the_federal_third_business_day(signed, last):
    (one,) = at(Sale(), signed)
    assert (one.days, one.day) == (3, date.fromisoformat(last))


def test_iowa_leaves_saturdays_out_and_the_later_day_is_there():
    """Iowa Code 555A.1: Thursday March 5 to Tuesday March 10, a day after the federal."""
    days = {one.rule.key: one.day for one in at(Sale(region="us_ia"), "2026-03-05")}
    assert days == {"us": date(2026, 3, 9), "us_ia": date(2026, 3, 10)}


@pytest.mark.parametrize(
    ("known", "days"),
    [
        ({"buyer_from_65": False}, 3),
        ({"buyer_from_65": True}, 5),
        ({}, 5),
        ({"buyer_from_65": False, "after_disaster": True}, 7),
        ({"after_disaster": True}, 7),
    ],
)
def test_california_gives_more_days_to_whom_it_says(known, days):
    """Civ. 1689.5 and following as told by others: 3, 5 from 65, 7 after a disaster."""
    rules = at(Sale(region="us_ca", **known), "2026-03-02")
    assert [one.days for one in rules] == [3, days]


@pytest.mark.parametrize(
    "sale", [Sale(at="office"), Sale(at="remote"), Sale(buyer="business")]
)
def test_a_sale_that_no_rule_covers_has_no_last_day(sale):
    assert at(sale) == ()


@pytest.mark.parametrize(
    ("where", "total", "covered"),
    [
        ("home", "24.99", False),
        ("home", "25.00", True),
        ("away", "129.99", False),
        ("away", "130.00", True),
    ],
)
def test_the_thresholds_are_those_of_2015(where, total, covered):
    """80 FR 1329: 25 dollars at the buyer's residence, 130 elsewhere."""
    assert bool(at(Sale(at=where), total=Decimal(total))) is covered


def test_the_region_of_the_house_counts_where_the_sale_names_none():
    shelf = read_shelf()
    found = last_days(Sale(), PRICE, date(2026, 3, 5), shelf, region="us_ia")
    assert [one.rule.key for one in found] == ["us", "us_ia"]


# opm.gov's list for 2026 and 2021, from memory; 2021-12-31 is New Year's Day observed
def test_federal_holidays_and_the_days_they_are_observed_on():
    assert federal_holidays(2026) >= {
        date(2026, *day)
        for day in (
            *((1, 1), (1, 19), (2, 16), (5, 25), (6, 19), (7, 3), (7, 4)),
            *((9, 7), (10, 12), (11, 11), (11, 26), (12, 25)),
        )
    }
    assert date(2021, 12, 31) in federal_holidays(2021)
    assert len(federal_holidays(2026)) == 12


@settings(max_examples=40)
@given(st.dates(date(2020, 1, 1), date(2040, 1, 1)), st.integers(1, 9), st.booleans())
def test_counting_on_by_one_is_counting_on_at_once(day, count, saturdays):
    step = day
    for _ in range(count):
        step = business_day_after(step, 1, saturdays=saturdays)
    last = business_day_after(day, count, saturdays=saturdays)
    assert step == last
    assert last.weekday() != 6
    assert last - day >= timedelta(days=count)
    assert last >= business_day_after(day, count, saturdays=True)
