"""Money is Decimal, made from text or whole numbers, and rounded once, per line.

The one door from measured quantities (floats) to money is `times`.
"""

from __future__ import annotations

from decimal import ROUND_DOWN, ROUND_HALF_UP, Decimal
from functools import cache, lru_cache

ZERO = Decimal("0.00")
CENT = Decimal("0.01")


def money(amount: str | int | Decimal) -> Decimal:
    """Make an amount from text, a whole number or a Decimal; never from a float."""
    if isinstance(amount, float):
        msg = f"money is made from text, not from the float {amount!r}"
        raise TypeError(msg)
    return Decimal(amount)


def times(rate: Decimal, quantity: float) -> Decimal:
    """Multiply a rate by a measured quantity, unrounded.

    ``Decimal(str(...))`` keeps the shortest digits that name the float, so a
    quantity of 0.1 is a tenth and not 0.1000000000000000055.
    """
    return rate * Decimal(str(float(quantity)))


def cents(amount: Decimal) -> Decimal:
    """Round to the cent, halves away from zero, as invoices are.

    >>> cents(Decimal("2.675"))
    Decimal('2.68')
    """
    return amount.quantize(CENT, rounding=ROUND_HALF_UP)


def cents_down(amount: Decimal) -> Decimal:
    """Round down to the cent, where a legal cap must not be passed.

    >>> cents_down(Decimal("999.999"))
    Decimal('999.99')
    """
    return amount.quantize(CENT, rounding=ROUND_DOWN)


@cache
def minor_unit(currency: str) -> Decimal:
    """Smallest amount that a currency is paid in, as ISO 4217 has it.

    >>> minor_unit("USD"), minor_unit("JPY")
    (Decimal('0.01'), Decimal('1'))
    """
    from babel.numbers import get_currency_precision

    return Decimal(1).scaleb(-get_currency_precision(currency))


def rounded(amount: Decimal, currency: str) -> Decimal:
    """Round to the currency's minor unit, halves away from zero.

    >>> rounded(Decimal("2.675"), "USD"), rounded(Decimal("2.675"), "JPY")
    (Decimal('2.68'), Decimal('3'))
    """
    return amount.quantize(minor_unit(currency), rounding=ROUND_HALF_UP)


@lru_cache(maxsize=8192)
def shown(amount: Decimal, currency: str = "USD", locale: str = "en_US") -> str:
    """Write an amount as its readers do; kept, for a bid says the same ones often.

    >>> shown(Decimal("1234.5")), shown(Decimal("-1234.5"), "EUR", "en_US")
    ('$1,234.50', '-€1,234.50')
    """
    from babel.numbers import format_currency

    # adding nothing makes a zero of a negative one, which no reader has a use for
    whole = rounded(amount, currency) + 0
    return str(format_currency(whole, currency, locale=locale))


def bare(amount: Decimal, currency: str = "USD", locale: str = "en_US") -> str:
    """Write an amount for a column whose head names the currency, at its minor unit.

    >>> [bare(Decimal("1234.5"), code) for code in ("USD", "KWD", "JPY")]
    ['1,234.50', '1,234.500', '1,235']
    >>> bare(Decimal("1234.5"), "EUR", "de_DE")
    '1.234,50'
    """
    from babel.numbers import format_decimal

    pattern = f"#,##0{str(minor_unit(currency))[1:].replace('1', '0')}"
    return str(format_decimal(rounded(amount, currency) + 0, pattern, locale=locale))


def percent(share: Decimal) -> str:
    """Write a share as a percentage, with no more digits than it has.

    >>> percent(Decimal("0.0825")), percent(Decimal("0.30"))
    ('8.25%', '30%')
    """
    return f"{(share * 100).normalize():f}%"


def price_for_margin(cost: Decimal, margin: Decimal) -> Decimal:
    """Price at which `margin` is the share of the *price* that is left over.

    Margin is not markup: thirty percent margin on 1000 asks 1428.57, thirty
    percent markup only 1300.

    >>> cents(price_for_margin(Decimal(1000), Decimal("0.30")))
    Decimal('1428.57')
    """
    return cost / (1 - margin)
