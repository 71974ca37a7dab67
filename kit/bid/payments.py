"""The total in parts, each due at its time, that add up to it to the cent.

What law lets be asked at signing is a rule of the shelf, a default with its source and
the day it was looked up; current local law governs.
"""

from __future__ import annotations

from decimal import ROUND_DOWN, Decimal

from kit.bid.records import Payment
from kit.errors import Concern
from kit.money import minor_unit, rounded, shown
from kit.stock.shelf import Shelf
from kit.stock.terms import DepositCap

AT_THE_END = "When the floor is done"
"""When the rest is due where the house names one instalment only and law caps it."""


def payment_plan(total: Decimal, shelf: Shelf) -> tuple[Payment, ...]:
    """Split a total by the instalments of the house, the first no more than law lets be.

    What a cap keeps from the first instalment is due with the last.

    Raises
    ------
    ShelfError
        If the house's region has no rule of deposits on the shelf, or one in another
        currency.
    """
    instalments, currency = shelf.house.payments, shelf.house.currency
    weights = tuple(instalment.weight for instalment in instalments)
    amounts = list(split(total, weights, currency=currency))
    due = [instalment.due for instalment in instalments]
    shares = [weight / sum(weights) for weight in weights]
    cap = shelf.deposit()
    if cap is not None and (over := amounts[0] - most_at_signing(total, cap, currency)) > 0:
        if len(amounts) == 1:
            amounts.append(Decimal(0))
            due.append(AT_THE_END)
        amounts[0] -= over
        amounts[-1] += over
        shares = [amount / total for amount in amounts]
    return tuple(map(Payment, due, shares, amounts))


def most_at_signing(total: Decimal, cap: DepositCap, currency: str) -> Decimal:
    """Most that a rule lets be asked at signing, rounded down to the minor unit.

    A tenth of 9,999.99 is 999.99, for 1,000.00 would be more than a tenth:

    >>> from kit.stock import read_shelf
    >>> california = read_shelf().deposits[0]
    >>> most_at_signing(Decimal("9999.99"), california, "USD")
    Decimal('999.99')
    """
    part, whole = cap.share
    most = total * part / whole
    if cap.most is not None:
        most = min(most, cap.most)
    return most.quantize(minor_unit(currency), rounding=ROUND_DOWN)


def deposit_rule(shelf: Shelf) -> str:
    """Say which rule caps the first instalment, or that none is set."""
    cap = shelf.deposit()
    if cap is None:
        return "No region is set; look up what your law lets you ask at signing."
    return (
        f"{cap.says} ({cap.source}; checked {cap.checked:%Y-%m-%d}). "
        "Current local law governs."
    )


def payment_concerns(payments: tuple[Payment, ...], shelf: Shelf) -> tuple[Concern, ...]:
    """What law may have against a plan of payments."""
    cap = shelf.deposit()
    if cap is None:
        return ()
    concerns = []
    first, instalments = payments[0], shelf.house.payments
    if first.share < instalments[0].weight / sum(one.weight for one in instalments):
        amount = shown(first.amount, shelf.house.currency)
        concerns.append(
            Concern(
                "deposit",
                f"{cap.name} caps what is asked at signing: {amount} instead of the "
                "usual; the rest is due with the last payment.",
                "Look the rule up before you sign; current local law governs.",
            )
        )
    ahead = [one.due for one in instalments[1:-1] if not one.earned]
    if cap.bars_ahead and ahead:
        concerns.append(
            Concern(
                "payments",
                f"{cap.name} bars payments ahead of the work, and “{ahead[0]}” names "
                "none that is done.",
                "Tie it to work or material on site, and mark it as earned in the house.",
            )
        )
    return tuple(concerns)


def split(
    total: Decimal, weights: tuple[Decimal, ...], *, currency: str
) -> tuple[Decimal, ...]:
    """Split a total by weight into whole minor units that sum to it exactly.

    Largest remainder: every part is rounded down, and the cents left over go to the
    parts that lost most, the earlier first.

    >>> split(Decimal(100), (Decimal(1),) * 3, currency="USD")
    (Decimal('33.34'), Decimal('33.33'), Decimal('33.33'))
    """
    unit = minor_unit(currency)
    units = rounded(total, currency) / unit
    quotas = [units * weight / sum(weights) for weight in weights]
    wholes = [quota // 1 for quota in quotas]
    left = int(units - sum(wholes))
    lost_most = sorted(range(len(quotas)), key=lambda i: wholes[i] - quotas[i])
    for i in lost_most[:left]:
        wholes[i] += 1
    return tuple(rounded(whole * unit, currency) for whole in wholes)
