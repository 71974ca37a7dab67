"""The total in parts, each due at its time, that add up to it to the cent."""

from __future__ import annotations

from decimal import Decimal

from kit.bid.records import Payment
from kit.money import minor_unit, rounded
from kit.stock.shelf import Shelf


def payment_plan(total: Decimal, shelf: Shelf) -> tuple[Payment, ...]:
    """Split a total by the instalments of the house.

    Law may cap what is taken at signing; the plan does not know where the floor is.
    """
    instalments = shelf.house.payments
    weights = tuple(instalment.weight for instalment in instalments)
    amounts = split(total, weights, currency=shelf.house.currency)
    return tuple(
        Payment(instalment.due, instalment.weight / sum(weights), amount)
        for instalment, amount in zip(instalments, amounts, strict=True)
    )


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
