"""Extras as the table shows them: what each adds, what bars it, when it is needed."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from kit.bench.differences import difference_words
from kit.bench.sizes import Sizes
from kit.bid.records import ExtraOption, Offer
from kit.money import shown
from kit.stock import Caution, Shelf

ALONG = "along walls and columns, less all doors"
"""What the length of a base is measured along."""


def extra_figures(offer: Offer, shelf: Shelf, sizes: Sizes) -> list[dict[str, Any]]:
    """Every extra that the table offers as words, ready for its row of the ledger."""
    offered = {extra.key for extra in shelf.extras if extra.at_table}
    bases = {extra.key for extra in shelf.extras if extra.base}
    return [
        _row(option, offer, sizes, is_base=option.extra in bases)
        for option in offer.extras
        if option.taken or option.extra in offered
    ]


def advice_words(offer: Offer, cautions: Sequence[Caution], shelf: Shelf) -> list[str]:
    """Say of every extra that is left out, and that a caution calls for, when it is needed.

    Parameters
    ----------
    offer : Offer
    cautions : sequence of Caution
        Those that are told to this client.
    shelf : Shelf
    """
    due = {caution.key for caution in cautions}
    options = {option.extra: option for option in offer.extras}
    said = []
    for extra in shelf.extras:
        option = options[extra.key]
        if not extra.advice or option.taken or option.adds is None:
            continue
        if due & set(extra.called_for_by):
            more = shown(option.adds, offer.currency)
            said.append(
                f"{extra.advice} That is {more} more for the whole floor; you decide then."
            )
    return said


def on_paper_words(offer: Offer, shelf: Shelf) -> str:
    """Name what the paper prices and the table does not offer; "" if there is none."""
    offered = {extra.key for extra in shelf.extras if extra.at_table}
    told = [
        f"{option.name.lower()}, {difference_words(option.adds, offer.currency)}"
        for option in offer.extras
        if option.adds is not None and not option.taken and option.extra not in offered
    ]
    return f"On the paper besides: {'; '.join(told)}." if told else ""


def count_words(offer: Offer) -> str:
    """``2 extras in``, or nothing."""
    count = sum(option.counts for option in offer.extras)
    return f"{count} extra{'s' * (count > 1)} in" if count else ""


def _row(
    option: ExtraOption, offer: Offer, sizes: Sizes, *, is_base: bool
) -> dict[str, Any]:
    from kit.proposal.wording import amount_words

    adds, currency, measures = option.adds, offer.currency, sizes.measures
    much = amount_words(option, offer, measures).replace("\N{NO-BREAK SPACE}", " ")
    return {
        "key": option.extra,
        "name": option.name,
        "says": option.says,
        "much": much,
        "along": ALONG if is_base else "",
        "taken": option.taken,
        "counts": option.counts,
        "blocked": option.blocked,
        "adds": "" if adds is None else shown(adds, currency),
        "cents": None if adds is None else int(100 * adds),
        "per_sqft": ""
        if adds is None
        else shown(measures.price_per_area(adds, offer.area_sqft, currency), currency),
        "difference": "" if adds is None else difference_words(adds, currency),
    }
