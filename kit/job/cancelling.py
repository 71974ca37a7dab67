"""Until when a client may take back a signature given at home, counted in business days."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from kit.job.records import Sale
    from kit.stock import CancelRule, Shelf

DAY = datetime.timedelta(days=1)
MONDAY, THURSDAY, SATURDAY, SUNDAY = 0, 3, 5, 6


@dataclass(frozen=True)
class LastDay:
    """The last day to cancel by one rule: until midnight at its end.

    Parameters
    ----------
    rule : CancelRule
    days : int
        Business days that the rule gives in this sale.
    day : datetime.date
    """

    rule: CancelRule
    days: int
    day: datetime.date


def last_days(
    sale: Sale, total: Decimal, signed_on: datetime.date, shelf: Shelf, *, region: str = ""
) -> tuple[LastDay, ...]:
    """Work out the last day to cancel by every rule that covers a sale; the latest counts.

    Parameters
    ----------
    sale : Sale
        Where, to whom and in which region it is made.
    total : Decimal
        What is asked, in the currency of the house.
    signed_on : datetime.date
        Day of the signature, which is not counted.
    shelf : Shelf
    region : str
        Of the house, where the sale names none.

    Returns
    -------
    tuple of LastDay
        In the order of the shelf; empty where no rule covers the sale.

    Notes
    -----
    A buyer whose age was not asked counts as 65: the later day wrongs nobody.
    """
    if sale.buyer == "business" or sale.at in ("office", "remote"):
        return ()
    found = []
    for rule in shelf.cancelling:
        least = rule.least_at_home if sale.at == "home" else rule.least_away
        if rule.region in ("", sale.region or region) and total >= least:
            days = _days_of(rule, sale)
            day = business_day_after(signed_on, days, saturdays=rule.saturdays)
            found.append(LastDay(rule, days, day))
    return tuple(found)


def _days_of(rule: CancelRule, sale: Sale) -> int:
    given = [rule.days]
    if rule.days_from_65 is not None and sale.buyer_from_65 is not False:
        given.append(rule.days_from_65)
    if rule.days_after_disaster is not None and sale.after_disaster:
        given.append(rule.days_after_disaster)
    return max(given)


def business_day_after(
    day: datetime.date, count: int, *, saturdays: bool = True
) -> datetime.date:
    """Count business days onwards: no Sunday, no federal holiday, perhaps no Saturday.

    >>> business_day_after(datetime.date(2026, 11, 24), 3)
    datetime.date(2026, 11, 28)

    Parameters
    ----------
    day : datetime.date
        Not counted itself.
    count : int
        At least 1.
    saturdays : bool
        Whether Saturdays count.
    """
    while count:
        day += DAY
        rests = day.weekday() == SUNDAY or (day.weekday() == SATURDAY and not saturdays)
        if not rests and day not in federal_holidays(day.year):
            count -= 1
    return day


@cache
def federal_holidays(year: int) -> frozenset[datetime.date]:
    """Days of a year that are federal holidays, or on which one is observed.

    Notes
    -----
    5 USC 6103(a), and (b) for those observed on a Friday or Monday instead. Both the day
    and the observed day are left out: that only ever gives a later last day.
    """
    fixed = [
        datetime.date(year, month, day)
        for month, day in ((1, 1), (6, 19), (7, 4), (11, 11), (12, 25))
    ]
    fixed.append(datetime.date(year + 1, 1, 1))
    floating = {
        _nth(year, 1, MONDAY, 3),
        _nth(year, 2, MONDAY, 3),
        _nth(year, 6, MONDAY, 1) - 7 * DAY,  # the last Monday of May
        _nth(year, 9, MONDAY, 1),
        _nth(year, 10, MONDAY, 2),
        _nth(year, 11, THURSDAY, 4),
    }
    both = floating.union(fixed, map(_observed, fixed))
    return frozenset(day for day in both if day.year == year)


def _nth(year: int, month: int, weekday: int, nth: int) -> datetime.date:
    first = datetime.date(year, month, 1)
    return first + ((weekday - first.weekday()) % 7 + 7 * (nth - 1)) * DAY


def _observed(day: datetime.date) -> datetime.date:
    moved = {SATURDAY: -DAY, SUNDAY: DAY}
    return day + moved.get(day.weekday(), 0 * DAY)
