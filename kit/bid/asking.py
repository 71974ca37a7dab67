"""The bid of a floor with every finish and extra, and what of it a client may see."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from kit.bid.pricing import Pricing
from kit.bid.records import Bid, Offer
from kit.errors import ShelfError
from kit.money import percent, shown
from kit.pour.palette import Palette
from kit.stock.extras import Extra
from kit.stock.house import House
from kit.stock.records import Finish
from kit.stock.shelf import Shelf
from kit.stock.terms import NO_DISCOUNT, Discount
from kit.takeoff.figures import Takeoff


def bid(
    takeoff: Takeoff,
    palette: Palette,
    finish: Finish,
    shelf: Shelf,
    extras: Sequence[Extra] = (),
    discount: Discount = NO_DISCOUNT,
) -> Bid:
    """Price a floor as chosen, in every other finish, and with every extra switched.

    Raises
    ------
    ShelfError
        If a colour, the tint or a product is not on the shelf.
    SheetError
        If the discount is more than the price.
    """
    return bid_of(Pricing(takeoff, palette, shelf, discount), finish, extras)


def bid_of(pricing: Pricing, finish: Finish, extras: Sequence[Extra] = ()) -> Bid:
    """Bid for a floor that is being priced; see `bid`."""
    chosen = pricing.floor(finish, extras).built
    return Bid(
        lines=chosen.lines,
        cost=chosen.cost,
        tax=chosen.tax,
        total=chosen.total,
        allowed=chosen.allowed,
        floor_price=chosen.floor_price,
        price_per_sqft=chosen.price_per_sqft,
        area_sqft=chosen.area_sqft,
        area_basis=pricing.takeoff.rule,
        currency=pricing.shelf.house.currency,
        options=pricing.finishes(finish, extras),
        extras=pricing.extras(finish, extras),
        concerns=chosen.concerns,
    )


def offer_of(asked: Bid, shelf: Shelf) -> Offer:
    """Take from a bid what a client may see: what is asked, not what it is made of.

    Raises
    ------
    ShelfError
        If bid and shelf are not in one currency.
    """
    if asked.currency != shelf.house.currency:
        raise ShelfError("currency", found=shelf.house.currency, expected=asked.currency)
    discount = -asked.sum_of("discount")
    return Offer(
        total=asked.total,
        price_per_sqft=asked.price_per_sqft,
        area_sqft=asked.area_sqft,
        area_basis=asked.area_basis,
        currency=asked.currency,
        tax_note=_tax_note(shelf.house),
        discount=discount,
        discount_note=_discount_note(discount, asked.currency),
        options=asked.options,
        extras=tuple(priced.option for priced in asked.extras),
    )


def _discount_note(discount: Decimal, currency: str) -> str:
    if not discount:
        return ""
    return f"A discount of {shown(discount, currency)} is taken off in this price."


def _tax_note(house: House) -> str:
    share = house.tax_share
    if house.tax_on == "classes":
        share = max(share, house.service_tax_share)
    if house.tax_on == "none" or not share:
        return "No sales tax is included."
    if house.tax_on == "price":
        return f"Sales tax of {percent(house.tax_share)} is included."
    if house.tax_on == "classes":
        parts = [f"{percent(house.tax_share)} on materials"]
        if house.service_tax_share:
            parts.append(f"{percent(house.service_tax_share)} on services")
        return f"Sales tax of {' and '.join(parts)} is included."
    return "We pay the sales tax on materials; it is included."
