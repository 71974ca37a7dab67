"""From quantities and hours to the price that is asked, one printed line at a time.

Every line is rounded once, and what builds on lines builds on them as printed, so
that a pocket calculator follows the page to the cent.
"""

from __future__ import annotations

from decimal import Decimal

from kit.bid.records import BuildUp, Line, LineKind
from kit.coats.system import Coat, System
from kit.errors import Concern
from kit.money import ZERO, price_for_margin, rounded, shown, times
from kit.stock.house import House
from kit.stock.shelf import Shelf
from kit.takeoff.figures import Takeoff, spoken
from kit.units import square_feet
from kit.work.records import Work

HUNDREDTH = Decimal("0.01")


def bid_for(takeoff: Takeoff, system: System, work: Work, shelf: Shelf) -> BuildUp:
    """Build the price of one floor in one finish up from its direct costs."""
    house = shelf.house
    direct = (*_materials(system, work, house), *_crew(work, house))
    lines = priced(direct, house)
    total = total_of(lines)
    area_sqft = Decimal(str(square_feet(takeoff.net_m2))).quantize(HUNDREDTH)
    return BuildUp(
        lines=lines,
        cost=total_of([line for line in lines if not _is_asked(line, house)]),
        total=total,
        area_sqft=area_sqft,
        price_per_sqft=rounded(total / area_sqft, house.currency),
        concerns=(*work.concerns, *_concerns(lines, takeoff, house)),
    )


def priced(direct: tuple[Line, ...], house: House) -> tuple[Line, ...]:
    """Add overhead, contingency, margin and tax to the lines of direct cost.

    Parameters
    ----------
    direct : tuple of Line
        Materials, labor, equipment and travel, rounded.
    house : House
        Shares: overhead of direct cost, contingency of cost, margin of the *price*.

    Returns
    -------
    tuple of Line
        `direct` and what was added; their sum is the price.
    """
    lines = [*direct]
    if house.tax_on == "materials":
        bought = total_of([line for line in direct if line.kind == "materials"])
        lines += _share("Sales tax on materials", "tax", house.tax_share, bought, house)
    lines += _share("Overhead", "overhead", house.overhead_share, total_of(lines), house)
    lines += _share(
        "Contingency", "contingency", house.contingency_share, total_of(lines), house
    )
    lines.append(_margin(total_of(lines), house))
    if house.tax_on == "price":
        lines += _share("Sales tax", "tax", house.tax_share, total_of(lines), house)
    return tuple(lines)


def total_of(lines: list[Line] | tuple[Line, ...]) -> Decimal:
    """Sum of the lines as printed."""
    return sum((line.amount for line in lines), ZERO)


def _is_asked(line: Line, house: House) -> bool:
    """Whether a line is asked on top of the cost and not part of it."""
    return line.kind == "margin" or (line.kind == "tax" and house.tax_on == "price")


def _materials(system: System, work: Work, house: House) -> list[Line]:
    lines = [_coat(coat, house) for coat in system.coats]
    pigments = [need for coat in system.coats for need in coat.pigments]
    weights = ", ".join(f"{need.name} {spoken(need.mass_kg, 'kg')}" for need in pigments)
    pigment_cost = sum((need.cost for need in pigments), ZERO)
    pieces = ", ".join(f"{need.count} × {need.sundry.name}" for need in work.sundries)
    sundry_cost = sum((need.cost for need in work.sundries), ZERO)
    return [
        *lines,
        _line("Pigments and tint", pigment_cost, "materials", weights, house),
        _line("Sundries", sundry_cost, "materials", pieces, house),
    ]


def _coat(coat: Coat, house: House) -> Line:
    kits = " + ".join(
        f"{count} × {spoken(pack.volume_l, 'l')} at {_shown(pack.price, house)}"
        for pack, count in coat.order.packs
    )
    how = f"{kits} for {spoken(coat.volume_l, 'l')}"
    if coat.aggregate:
        grain = spoken(coat.aggregate.mass_kg, "kg")
        how += f", and {grain} of grain at {_shown(coat.aggregate.cost, house)}"
    return _line(coat.name, coat.cost, "materials", how, house)


def _crew(work: Work, house: House) -> list[Line]:
    paid_per_h = house.wage_per_h * (1 + house.burden_share)
    wage = f"{_shown(house.wage_per_h, house)} + {_percent(house.burden_share)} burden"
    labor = times(paid_per_h, work.crew_hours)
    trip = house.trip_price + times(paid_per_h, house.trip_h * house.crew)
    rent = sum((need.cost for need in work.equipment), ZERO)
    machines = ", ".join(f"{n.days} d {n.equipment.name}" for n in work.equipment if n.days)
    return [
        _line("Labor", labor, "labor", f"{work.crew_hours:.2f} h × ({wage})", house),
        _line("Equipment", rent, "equipment", machines, house),
        _line(
            "Travel and mobilization",
            trip * work.days,
            "travel",
            f"{work.days} trips × ({_shown(house.trip_price, house)} + {house.crew} × "
            f"{house.trip_h:g} h on the road at {_shown(paid_per_h, house)})",
            house,
        ),
    ]


def _margin(cost: Decimal, house: House) -> Line:
    """What is left of the price: a share of the price, not a markup on cost."""
    wanted = rounded(price_for_margin(cost, house.margin_share), house.currency)
    least = rounded(house.minimum_charge, house.currency)
    how = (
        f"{_percent(house.margin_share)} of the price: {_shown(cost, house)} ÷ "
        f"(1 − {house.margin_share}) = {_shown(wanted, house)}"
    )
    if wanted < least:
        how += f", raised to the minimum charge of {_shown(least, house)}"
    return _line("Margin", max(wanted, least) - cost, "margin", how, house)


def _concerns(
    lines: tuple[Line, ...], takeoff: Takeoff, house: House
) -> tuple[Concern, ...]:
    concerns = []
    margin = next(line for line in lines if line.kind == "margin")
    cost = total_of([line for line in lines if not _is_asked(line, house)])
    wanted = rounded(price_for_margin(cost, house.margin_share), house.currency)
    if margin.amount > wanted - cost:
        concerns.append(
            Concern(
                "minimum charge",
                f"At the usual margin this floor asks {_shown(wanted, house)}; the minimum "
                f"charge of {_shown(house.minimum_charge, house)} is asked instead.",
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


def _share(
    label: str, kind: LineKind, share: Decimal, of: Decimal, house: House
) -> list[Line]:
    """A line that is a share of an amount, or none where the share is nothing."""
    if not share:
        return []
    how = f"{_percent(share)} of {_shown(of, house)}"
    return [_line(label, share * of, kind, how, house)]


def _line(label: str, amount: Decimal, kind: LineKind, how: str, house: House) -> Line:
    return Line(label, rounded(amount, house.currency), kind, how)


def _percent(share: Decimal) -> str:
    return f"{(share * 100).normalize():f}%"


def _shown(amount: Decimal, house: House) -> str:
    return shown(amount, house.currency)
