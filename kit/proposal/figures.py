"""Figures as the client reads them: money, areas, shares, dates, all as text."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from decimal import Decimal

from babel.dates import format_date, format_skeleton
from babel.numbers import format_currency, format_decimal, get_currency_symbol

from kit import money

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


def bare(amount: Decimal, locale: str, currency: str = "USD") -> str:
    """Write an amount for a column whose head names the currency.

    >>> bare(Decimal("16846.2"), "en_US"), bare(Decimal("16846.2"), "es_ES")
    ('16,846.20', '16.846,20')
    """
    return money.bare(amount, currency, locale)


def difference(amount: Decimal, locale: str, currency: str = "USD") -> str:
    r"""Write a difference with its sign, a true minus.

    >>> difference(Decimal("-1324.35"), "en_US"), difference(Decimal(0), "en_US")
    ('−\xa01,324.35', '0.00')
    """
    sign = MINUS if amount < 0 else PLUS if amount > 0 else ""
    return f"{sign}{bare(abs(amount), locale, currency)}"


def long_date(day: datetime.date, locale: str) -> str:
    """Write a day in full.

    >>> long_date(datetime.date(2026, 12, 23), "en_US")
    'December 23, 2026'
    """
    return str(format_date(day, format="long", locale=locale))


def week_date(day: datetime.date, locale: str) -> str:
    """Write a day in full with its name.

    >>> week_date(datetime.date(2026, 12, 23), "en_US")
    'Wednesday, December 23, 2026'
    """
    return str(format_date(day, format="full", locale=locale))


def short_date(day: datetime.date, locale: str) -> str:
    """Write a day for a big figure.

    >>> short_date(datetime.date(2026, 12, 23), "en_US")
    'Dec 23'
    >>> short_date(datetime.date(2026, 12, 23), "es_US")
    '23 dic'
    """
    return str(format_skeleton("MMMd", day, locale=locale))


def whole(amount: float, locale: str) -> str:
    """Write a size to the nearest whole.

    >>> whole(1234.56, "en_US")
    '1,235'
    """
    return str(format_decimal(round(amount), "#,##0", locale=locale))


def tenths(amount: float, locale: str) -> str:
    """Write a size to one decimal.

    >>> tenths(22.333, "en_US"), tenths(1234.56, "es_ES")
    ('22.3', '1.234,6')
    """
    # rounded as `tenths_add_up` does, so that what is told of the sum holds
    return str(format_decimal(round(amount, 1), "#,##0.0", locale=locale))


def tenths_add_up(parts: Sequence[float], total: float) -> bool:
    """Whether sizes, as `tenths` writes them, add up to their total as it writes it.

    >>> tenths_add_up([22.33, 24.37], 46.7), tenths_add_up([22.33, 24.33], 46.66)
    (True, False)
    """
    return sum(map(_steps, parts)) == _steps(total)


def _steps(amount: float) -> int:
    return round(round(amount, 1) * 10)


def percent(share: float, locale: str) -> str:
    r"""Write a share in whole percent, unless that would round something to nothing.

    >>> percent(0.52, "en_US"), percent(0.125, "en_US"), percent(0.004, "es_ES")
    ('52\u202f%', '12.5\u202f%', '0,4\u202f%')
    """
    hundredths = format_decimal(round(share * 100, 1), "#,##0.#", locale=locale)
    return f"{hundredths}\N{NARROW NO-BREAK SPACE}%"
