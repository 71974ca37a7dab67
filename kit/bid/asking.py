"""The bid of a floor with every finish and extra, and what of it a client may see."""

from __future__ import annotations

from collections.abc import Sequence

from kit.bid.pricing import Pricing
from kit.bid.records import Bid, Offer
from kit.money import percent
from kit.pour.palette import Palette
from kit.stock.extras import Extra
from kit.stock.house import House
from kit.stock.records import Finish
from kit.stock.shelf import Shelf
from kit.takeoff.figures import Takeoff


def bid(
    takeoff: Takeoff,
    palette: Palette,
    finish: Finish,
    shelf: Shelf,
    extras: Sequence[Extra] = (),
) -> Bid:
    """Price a floor as chosen, in every other finish, and with every extra switched.

    Raises
    ------
    ShelfError
        If a colour, the tint or a product is not on the shelf.
    """
    return bid_of(Pricing(takeoff, palette, shelf), finish, extras)


def bid_of(pricing: Pricing, finish: Finish, extras: Sequence[Extra] = ()) -> Bid:
    """Bid for a floor that is being priced; see `bid`."""
    chosen = pricing.floor(finish, extras).built
    return Bid(
        lines=chosen.lines,
        cost=chosen.cost,
        total=chosen.total,
        price_per_sqft=chosen.price_per_sqft,
        area_sqft=chosen.area_sqft,
        area_basis=pricing.takeoff.rule,
        currency=pricing.shelf.house.currency,
        options=pricing.finishes(finish, extras),
        extras=pricing.extras(finish, extras),
        concerns=chosen.concerns,
    )


def offer_of(asked: Bid, shelf: Shelf) -> Offer:
    """Take from a bid what a client may see: what is asked, not what it is made of."""
    return Offer(
        total=asked.total,
        price_per_sqft=asked.price_per_sqft,
        area_sqft=asked.area_sqft,
        area_basis=asked.area_basis,
        currency=asked.currency,
        tax_note=_tax_note(shelf.house),
        options=asked.options,
        extras=tuple(priced.option for priced in asked.extras),
    )


def _tax_note(house: House) -> str:
    if house.tax_on == "none" or not house.tax_share:
        return "No sales tax is included."
    if house.tax_on == "price":
        return f"Sales tax of {percent(house.tax_share)} is included."
    return "We pay the sales tax on materials; it is included."
