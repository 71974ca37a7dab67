"""From direct cost to the price that is asked, one printed line at a time.

Every line is rounded once, and what builds on lines builds on them as printed, so
that a pocket calculator follows the page to the cent.
"""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

from kit.bid.asked import (
    allowance_lines,
    discount_line,
    floor_price,
    is_on_top,
    margin_line,
    rounding_line,
    share_line,
    tax_lines,
    usual_price,
)
from kit.bid.direct import crew_hours_of, direct_lines
from kit.bid.records import BuildUp, Line
from kit.coats.system import System
from kit.errors import Concern
from kit.money import CENT, ZERO, rounded, shown
from kit.stock.extras import Extra
from kit.stock.house import House
from kit.stock.shelf import Shelf
from kit.stock.terms import NO_DISCOUNT, Discount
from kit.takeoff.figures import Takeoff
from kit.takeoff.trail import spoken
from kit.units import square_feet
from kit.work.records import Work


def bid_for(
    takeoff: Takeoff,
    system: System,
    work: Work,
    shelf: Shelf,
    discount: Discount = NO_DISCOUNT,
) -> BuildUp:
    """Build up the price of one floor in one finish.

    Raises
    ------
    SheetError
        If the discount is more than the price.
    """
    house = shelf.house
    allowed = [extra for extra in system.extras if extra.allowance]
    lines = priced(
        direct_lines(system, work, house),
        house,
        allowed,
        hours=crew_hours_of(work),
        discount=discount,
    )
    cost = sum_of(line for line in lines if not is_on_top(line, house))
    tax = sum_of(ln for ln in lines if ln.kind == "tax" and is_on_top(ln, house))
    total = sum_of(lines)
    settled = sum_of(ln for extra in allowed for ln in _allowed(extra, house))
    own_cost = cost - sum_of(line for line in lines if line.kind == "allowance")
    least = floor_price(own_cost, house) + settled
    area_sqft = Decimal(str(square_feet(takeoff.net_m2))).quantize(CENT)
    return BuildUp(
        lines=lines,
        cost=cost,
        tax=tax,
        total=total,
        allowed=settled,
        floor_price=least,
        area_sqft=area_sqft,
        price_per_sqft=rounded(total / area_sqft, house.currency),
        concerns=(
            *work.concerns,
            *_concerns(own_cost, takeoff, house),
            *_too_low(total - tax, least, house),
        ),
    )


def priced(
    direct: tuple[Line, ...],
    house: House,
    extras: Iterable[Extra] = (),
    *,
    hours: Decimal = ZERO,
    discount: Discount = NO_DISCOUNT,
) -> tuple[Line, ...]:
    """Add all that makes a price to the lines of direct cost.

    Parameters
    ----------
    direct : tuple of Line
        Materials, labor, equipment, disposal, subcontracts and travel, rounded.
    house : House
        Its shares: overhead over direct cost or a sum a person-hour, contingency over
        cost, margin of the *price*. Tax is either paid on materials, and then a cost
        like any other, or charged on the price, and then no part of what the margin is
        a share of.
    extras : iterable of Extra
        Those with an allowance. It is asked at its own unit price, beside margin,
        minimum charge, discount and rounding, so that what is found is settled at just
        that price.
    hours : Decimal
        Person-hours on site, for overhead by the hour. [h]
    discount : Discount

    Returns
    -------
    tuple of Line
        `direct` and what was added; their sum is the price.

    Raises
    ------
    SheetError
        If the discount is more than the price.
    """
    lines = [*direct]
    if house.tax_on == "materials":
        bought = sum_of(line for line in direct if line.kind == "materials")
        lines += share_line(bought, "Sales tax on materials", "tax", house.tax_share, house)
    lines += _overhead(sum_of(lines), hours, house)
    lines += share_line(
        sum_of(lines), "Contingency", "contingency", house.contingency_share, house
    )
    lines.append(margin_line(sum_of(lines), house))
    lines += discount_line(sum_of(lines), discount, house)
    lines += rounding_line(sum_of(lines), house)
    for extra in extras:
        lines += _allowed(extra, house)
    lines += tax_lines(sum_of(lines), direct, house)
    return tuple(lines)


def sum_of(lines: Iterable[Line]) -> Decimal:
    """Sum of the lines as printed."""
    return sum((line.amount for line in lines), ZERO)


def _overhead(cost: Decimal, hours: Decimal, house: House) -> list[Line]:
    if house.overhead_by == "share":
        return share_line(cost, "Overhead", "overhead", house.overhead_share, house)
    if not house.overhead_per_h:
        return []
    how = f"{hours} h × {shown(house.overhead_per_h, house.currency)}"
    amount = rounded(hours * house.overhead_per_h, house.currency)
    return [Line("Overhead", amount, "overhead", how)]


def _allowed(extra: Extra, house: House) -> list[Line]:
    if extra.allowance is None:
        return []
    return allowance_lines(extra.name, extra.allowance, house)


def _too_low(asked: Decimal, least: Decimal, house: House) -> tuple[Concern, ...]:
    """A concern where less is asked than the house lets itself ask."""
    if asked >= least:
        return ()
    return (
        Concern(
            "floor price",
            f"{shown(asked, house.currency)} before tax is asked, less than the "
            f"{shown(least, house.currency)} that leave the least margin.",
            "Take the discount back, leave something out, or walk away.",
        ),
    )


def _concerns(cost: Decimal, takeoff: Takeoff, house: House) -> tuple[Concern, ...]:
    concerns = []
    usual = usual_price(cost, house)
    if usual < house.minimum_charge:
        concerns.append(
            Concern(
                "minimum charge",
                f"At the usual margin this floor asks {shown(usual, house.currency)}; "
                f"{shown(house.minimum_charge, house.currency)} is asked instead.",
                "Offer more area, or tell the client why a small floor costs a trip.",
            )
        )
    if takeoff.net_m2 < house.small_floor_m2:
        concerns.append(
            Concern(
                "small floor",
                f"{spoken(takeoff.net_m2, 'm²')} is less than "
                f"{spoken(house.small_floor_m2, 'm²')}: trips and set-up make most of its "
                "price per square foot.",
                "Quote the total first, and leave more waste than usual.",
            )
        )
    return tuple(concerns)
