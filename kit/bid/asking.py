"""The bid of a floor with every finish beside it, and what of it a client may see."""

from __future__ import annotations

from kit.bid.build_up import bid_for
from kit.bid.records import Bid, BuildUp, FinishOption, Offer
from kit.coats.stack import system_for
from kit.money import percent
from kit.pour.palette import Palette
from kit.stock.house import House
from kit.stock.records import Finish
from kit.stock.shelf import Shelf
from kit.takeoff.figures import Takeoff
from kit.work.doing import work_for


def bid(takeoff: Takeoff, palette: Palette, finish: Finish, shelf: Shelf) -> Bid:
    """Price a floor in the chosen finish, and in every other finish on the shelf.

    Raises
    ------
    ShelfError
        If a colour, the tint or a product is not on the shelf.
    """
    chosen = _built_up(takeoff, palette, finish, shelf)
    options = tuple(
        _option(
            other,
            chosen
            if other.key == finish.key
            else _built_up(takeoff, palette, other, shelf),
            chosen,
        )
        for other in shelf.finishes
    )
    return Bid(
        lines=chosen.lines,
        cost=chosen.cost,
        total=chosen.total,
        price_per_sqft=chosen.price_per_sqft,
        area_sqft=chosen.area_sqft,
        area_basis=takeoff.rule,
        currency=shelf.house.currency,
        options=options,
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
    )


def _built_up(takeoff: Takeoff, palette: Palette, finish: Finish, shelf: Shelf) -> BuildUp:
    system = system_for(takeoff, palette, finish, shelf)
    return bid_for(takeoff, system, work_for(takeoff, system, shelf), shelf)


def _option(finish: Finish, built: BuildUp, chosen: BuildUp) -> FinishOption:
    return FinishOption(
        finish=finish.key,
        name=finish.name,
        says=finish.says,
        total=built.total,
        price_per_sqft=built.price_per_sqft,
        difference=built.total - chosen.total,
        chosen=built is chosen,
    )


def _tax_note(house: House) -> str:
    if house.tax_on == "none" or not house.tax_share:
        return "No sales tax is included."
    if house.tax_on == "price":
        return f"Sales tax of {percent(house.tax_share)} is included."
    return "We pay the sales tax on materials; it is included."
