"""The price that is asked, step by step: margin, minimum, discount, rounding, tax.

Margin is a share of the price. Whatever builds on lines builds on them as printed.
"""

from __future__ import annotations

from decimal import ROUND_CEILING, ROUND_DOWN, ROUND_FLOOR, ROUND_HALF_UP, Decimal

from kit.bid.records import Line, LineKind
from kit.errors import SheetError
from kit.money import ZERO, minor_unit, percent, price_for_margin, rounded, shown
from kit.stock.extras import Allowance
from kit.stock.house import House
from kit.stock.terms import Discount

_MODES = {"up": ROUND_CEILING, "nearest": ROUND_HALF_UP, "down": ROUND_FLOOR}


def share_line(
    amount: Decimal, label: str, kind: LineKind, share: Decimal, house: House
) -> list[Line]:
    """A line that is a share of an amount, or none where the share is nothing."""
    if not share:
        return []
    how = f"{percent(share)} of {shown(amount, house.currency)}"
    return [Line(label, rounded(share * amount, house.currency), kind, how)]


def usual_price(cost: Decimal, house: House) -> Decimal:
    """Price at the margin of the house, before minimum, discount, rounding and tax."""
    return rounded(price_for_margin(cost, house.margin_share), house.currency)


def margin_line(cost: Decimal, house: House) -> Line:
    """What is left of the price: a share of the price, not a markup on cost."""
    usual = usual_price(cost, house)
    least = rounded(house.minimum_charge, house.currency)
    how = (
        f"{percent(house.margin_share)} of the price: {shown(cost, house.currency)} ÷ "
        f"(1 − {house.margin_share}) = {shown(usual, house.currency)}"
    )
    if usual < least:
        how += f", raised to the minimum charge of {shown(least, house.currency)}"
    return Line("Margin", max(usual, least) - cost, "margin", how)


def discount_line(price: Decimal, discount: Discount, house: House) -> list[Line]:
    """What is taken off a price, as a negative line; none where nothing is.

    Raises
    ------
    SheetError
        If the discount is more than the price.
    """
    if not discount.is_given:
        return []
    if discount.amount > price:
        raise SheetError(
            "discount, amount",
            found=shown(discount.amount, house.currency),
            expected=f"at most the price of {shown(price, house.currency)}",
        )
    how = "as agreed"
    off = discount.amount
    if discount.share:
        off = discount.share * price
        how = f"{percent(discount.share)} of {shown(price, house.currency)}"
    if discount.reason:
        how += f", {discount.reason}"
    return [Line("Discount", -_down(off, house.currency), "discount", how)]


def rounding_line(price: Decimal, house: House) -> list[Line]:
    """What brings a price to the step of the house; none where it is there already.

    A price is never rounded to nothing: then it stays as it is.
    """
    step = house.round_to
    if not step:
        return []
    steps = (price / step).quantize(Decimal(1), rounding=_MODES[house.round_how])
    target = rounded(steps * step, house.currency)
    if target == price or not target:
        return []
    how = f"{house.round_how} to a multiple of {shown(step, house.currency)}"
    if house.round_how == "nearest":
        how = f"to the nearest {shown(step, house.currency)}"
    return [Line("Rounding", target - price, "rounding", how)]


def allowance_lines(name: str, allowance: Allowance, house: House) -> list[Line]:
    """An allowance as a cost and what its price leaves above it."""
    asked = rounded(allowance.quantity * allowance.price, house.currency)
    cost = rounded(allowance.quantity * allowance.cost, house.currency)
    count = f"{allowance.quantity:f} {allowance.unit}"
    price, spent = (shown(a, house.currency) for a in (allowance.price, allowance.cost))
    return [
        Line(name, cost, "allowance", f"{count} × {spent}"),
        Line(f"{name}, margin", asked - cost, "margin", f"{count} × ({price} − {spent})"),
    ]


def tax_lines(price: Decimal, direct: tuple[Line, ...], house: House) -> list[Line]:
    """Sales tax that comes on top of the price before tax, a line a class.

    Where classes are taxed apart, the price is split as the direct cost is: materials
    have their part of overhead and margin, and all else, allowances with it, the rest.
    """
    if house.tax_on == "price":
        return share_line(price, "Sales tax", "tax", house.tax_share, house)
    if house.tax_on != "classes":
        return []
    spent = sum((line.amount for line in direct), ZERO)
    bought = sum((line.amount for line in direct if line.kind == "materials"), ZERO)
    part = rounded(price * bought / spent, house.currency) if spent else ZERO
    return [
        *share_line(part, "Sales tax, materials", "tax", house.tax_share, house),
        *share_line(
            price - part, "Sales tax, services", "tax", house.service_tax_share, house
        ),
    ]


def floor_price(cost: Decimal, house: House) -> Decimal:
    """Least price before tax that leaves the least margin of the house, rounded up."""
    least = price_for_margin(cost, house.least_margin_share)
    return least.quantize(minor_unit(house.currency), rounding=ROUND_CEILING)


def is_on_top(line: Line, house: House) -> bool:
    """Whether a line is asked on top of the cost and not part of it."""
    if line.kind == "tax":
        return house.tax_on in ("price", "classes")
    return line.kind in ("margin", "discount", "rounding")


def _down(amount: Decimal, currency: str) -> Decimal:
    return amount.quantize(minor_unit(currency), rounding=ROUND_DOWN)
