"""Figures as the client reads them: money, areas, shares, dates, all as text."""

from __future__ import annotations

import datetime
import math
from collections.abc import Sequence
from decimal import Decimal

from babel.dates import format_date
from babel.numbers import format_currency, get_currency_symbol

MINUS = "−\N{NO-BREAK SPACE}"
PLUS = "+\N{NO-BREAK SPACE}"


def asked(amount: Decimal, currency: str, locale: str) -> str:
    """Write an amount with its currency.

    >>> asked(Decimal("16846.20"), "USD", "en_US")
    '$16,846.20'
    """
    return str(format_currency(amount, currency, locale=locale))


def symbol(currency: str, locale: str) -> str:
    """Write a currency for the head of a column."""
    return str(get_currency_symbol(currency, locale=locale))


def bare(amount: Decimal) -> str:
    """Write an amount for a column whose head names the currency.

    >>> bare(Decimal("16846.2"))
    '16,846.20'
    """
    return f"{amount:,.2f}"


def difference(amount: Decimal) -> str:
    r"""Write a difference with its sign, a true minus.

    >>> difference(Decimal("-1324.35")), difference(Decimal(0))
    ('−\xa01,324.35', '0.00')
    """
    sign = MINUS if amount < 0 else PLUS if amount > 0 else ""
    return f"{sign}{abs(amount):,.2f}"


def long_date(day: datetime.date, locale: str) -> str:
    """Write a day in full.

    >>> long_date(datetime.date(2026, 12, 23), "en_US")
    'December 23, 2026'
    """
    return str(format_date(day, format="long", locale=locale))


def short_date(day: datetime.date, locale: str) -> str:
    """Write a day for a big figure.

    >>> short_date(datetime.date(2026, 12, 23), "en_US")
    'Dec 23'
    """
    return str(format_date(day, format="MMM d", locale=locale))


def tenths_that_sum(parts: Sequence[float], total: float) -> list[float]:
    """Round to tenths so that the printed parts add up to the printed total.

    The parts that lose most by rounding down are rounded up, so none is off by
    a tenth or more.

    >>> tenths_that_sum([1.06, 1.06, 1.06], 3.18)
    [1.1, 1.1, 1.0]
    """
    steps = [math.floor(part * 10 + 1e-9) for part in parts]
    lost = [part * 10 - step for part, step in zip(parts, steps, strict=True)]
    spare = round(total * 10) - sum(steps)
    for place in sorted(range(len(parts)), key=lambda n: (-lost[n], n))[: max(spare, 0)]:
        steps[place] += 1
    return [step / 10 for step in steps]


def percent(share: float) -> str:
    r"""Write a share in whole percent, unless that would round something to nothing.

    >>> percent(0.52), percent(0.125), percent(0.004)
    ('52\u202f%', '12.5\u202f%', '0.4\u202f%')
    """
    hundredths = round(share * 100, 1)
    return f"{hundredths:g}\N{NARROW NO-BREAK SPACE}%"
