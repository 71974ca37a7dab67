"""The owner's own figures, for the gate to look for; a second net beneath the types."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from kit.job import Workup

LEAST = Decimal(100)
"""Smaller amounts are too common to prove a leak: 48.00 is also a room's area."""

SHORTEST = 24
"""Shorter words of the owner's could stand on any paper by chance."""


def owners_figures(*answers: Workup) -> tuple[str, ...]:
    """List the amounts of the bids on a paper that are not also asked of the client.

    How each came to be, and what the owner was warned of, is listed with them.

    Parameters
    ----------
    *answers : Workup
        Of the job, and of each kept design that its paper shows with a price.
    """
    asked: set[Decimal] = set()
    own: set[Decimal] = set()
    for one in answers:
        offer, bid = one.offer, one.bid
        asked |= {offer.total, abs(offer.total - answers[0].offer.total)}
        asked |= {part.amount for part in one.payments}
        for option in offer.options:
            asked |= {option.total, abs(option.difference)}
        asked |= {abs(extra.adds) for extra in offer.extras if extra.adds is not None}
        own |= {bid.cost, bid.floor_price, *(line.amount for line in bid.lines)}
    amounts = (f"{amount:f}" for amount in sorted(own - asked) if amount >= LEAST)
    return (*amounts, *_owners_words(answers))


def _owners_words(answers: tuple[Workup, ...]) -> tuple[str, ...]:
    bids = [one.bid for one in answers]
    told = [line.how for bid in bids for line in bid.lines]
    told += [words for bid in bids for one in bid.concerns for words in (one.says, one.fix)]
    return tuple(dict.fromkeys(words for words in told if len(words) >= SHORTEST))
