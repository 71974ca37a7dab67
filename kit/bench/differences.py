"""What a choice changes of the price: said with its sign, and why where it looks odd."""

from __future__ import annotations

from decimal import Decimal

from kit.bid.records import FinishOption, Offer
from kit.money import shown
from kit.stock import Shelf

_MINUS = "\N{MINUS SIGN}"


def difference_words(difference: Decimal, currency: str) -> str:
    """Say a difference with its sign apart, as ledgers do.

    >>> difference_words(Decimal("-1324.35"), "USD")
    '− $1,324.35'
    """
    if not difference:
        return "no difference"
    sign = "+" if difference > 0 else _MINUS
    return f"{sign} {shown(abs(difference), currency)}"


def less_words(option: FinishOption, offer: Offer, shelf: Shelf) -> str:
    """Say why a finish is asked less for than a duller one; "" where it is not.

    Nothing is said where both are one product: then the price has another reason.
    """
    mine = shelf.finish(option.finish)
    for other in sorted(offer.options, key=lambda one: one.total):
        dull = shelf.finish(other.finish)
        if (
            dull.gloss_gu < mine.gloss_gu
            and other.total > option.total
            and dull.product != mine.product
        ):
            return f"another product than {other.name.lower()}, at a lower price"
    return ""
