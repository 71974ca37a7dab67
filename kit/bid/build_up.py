"""From direct cost to the price that is asked, one printed line at a time.

Every line is rounded once, and what builds on lines builds on them as printed, so
that a pocket calculator follows the page to the cent.
"""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

from kit.bid.direct import direct_lines
from kit.bid.records import BuildUp, Line, LineKind
from kit.coats.system import System
from kit.errors import Concern
from kit.money import CENT, ZERO, percent, price_for_margin, rounded, shown
from kit.stock.extras import Allowance, Extra
from kit.stock.house import House
from kit.stock.shelf import Shelf
from kit.takeoff.figures import Takeoff, spoken
from kit.units import square_feet
from kit.work.records import Work


def bid_for(takeoff: Takeoff, system: System, work: Work, shelf: Shelf) -> BuildUp:
    """Build up the price of one floor in one finish."""
    house = shelf.house
    allowances = [extra for extra in system.extras if extra.allowance]
    lines = priced(direct_lines(system, work, house), house, allowances)
    cost = sum_of(line for line in lines if not _is_on_top(line, house))
    total = sum_of(lines)
    area_sqft = Decimal(str(square_feet(takeoff.net_m2))).quantize(CENT)
    return BuildUp(
        lines=lines,
        cost=cost,
        total=total,
        area_sqft=area_sqft,
        price_per_sqft=rounded(total / area_sqft, house.currency),
        concerns=(*work.concerns, *_concerns(cost, takeoff, house)),
    )


def priced(
    direct: tuple[Line, ...], house: House, extras: Iterable[Extra] = ()
) -> tuple[Line, ...]:
    """Add overhead, contingency, margin and tax to the lines of direct cost.

    Parameters
    ----------
    direct : tuple of Line
        Materials, labor, equipment and travel, rounded.
    house : House
        Its shares: overhead over direct cost, contingency over cost, margin of the
        *price*. Tax is either paid on materials, and then a cost like any other, or
        charged on the price, and then no part of what the margin is a share of.
    extras : iterable of Extra
        Those with an allowance. It is asked at its own unit price, beside margin and
        minimum charge, so that what is found is settled at just that price.

    Returns
    -------
    tuple of Line
        `direct` and what was added; their sum is the price.
    """
    lines = [*direct]
    if house.tax_on == "materials":
        bought = sum_of(line for line in direct if line.kind == "materials")
        lines += _share_of(bought, "Sales tax on materials", "tax", house.tax_share, house)
    lines += _share_of(sum_of(lines), "Overhead", "overhead", house.overhead_share, house)
    lines += _share_of(
        sum_of(lines), "Contingency", "contingency", house.contingency_share, house
    )
    lines.append(_margin(sum_of(lines), house))
    for extra in extras:
        if extra.allowance:
            lines += _allowed(extra.name, extra.allowance, house)
    if house.tax_on == "price":
        lines += _share_of(sum_of(lines), "Sales tax", "tax", house.tax_share, house)
    return tuple(lines)


def sum_of(lines: Iterable[Line]) -> Decimal:
    """Sum of the lines as printed."""
    return sum((line.amount for line in lines), ZERO)


def _share_of(
    amount: Decimal, label: str, kind: LineKind, share: Decimal, house: House
) -> list[Line]:
    """A line that is a share of an amount, or none where the share is nothing."""
    if not share:
        return []
    how = f"{percent(share)} of {shown(amount, house.currency)}"
    return [Line(label, rounded(share * amount, house.currency), kind, how)]


def _margin(cost: Decimal, house: House) -> Line:
    """What is left of the price: a share of the price, not a markup on cost."""
    usual = _usual_price(cost, house)
    least = rounded(house.minimum_charge, house.currency)
    how = (
        f"{percent(house.margin_share)} of the price: {shown(cost, house.currency)} ÷ "
        f"(1 − {house.margin_share}) = {shown(usual, house.currency)}"
    )
    if usual < least:
        how += f", raised to the minimum charge of {shown(least, house.currency)}"
    return Line("Margin", max(usual, least) - cost, "margin", how)


def _allowed(name: str, allowance: Allowance, house: House) -> list[Line]:
    """An allowance as a cost and what its price leaves above it."""
    asked = rounded(allowance.quantity * allowance.price, house.currency)
    cost = rounded(allowance.quantity * allowance.cost, house.currency)
    count = f"{allowance.quantity:f} {allowance.unit}"
    price, spent = (shown(a, house.currency) for a in (allowance.price, allowance.cost))
    return [
        Line(name, cost, "allowance", f"{count} × {spent}"),
        Line(f"{name}, margin", asked - cost, "margin", f"{count} × ({price} − {spent})"),
    ]


def _usual_price(cost: Decimal, house: House) -> Decimal:
    return rounded(price_for_margin(cost, house.margin_share), house.currency)


def _is_on_top(line: Line, house: House) -> bool:
    """Whether a line is asked on top of the cost and not part of it."""
    return line.kind == "margin" or (line.kind == "tax" and house.tax_on == "price")


def _concerns(cost: Decimal, takeoff: Takeoff, house: House) -> tuple[Concern, ...]:
    concerns = []
    usual = _usual_price(cost, house)
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
