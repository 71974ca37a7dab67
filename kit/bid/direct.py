"""What a floor costs on site: materials, labor, machines, others and trips, a line each."""

from __future__ import annotations

from decimal import Decimal

from kit.bid.records import Line
from kit.coats.system import Purchase, System
from kit.money import CENT, ZERO, percent, rounded, shown, times
from kit.stock.house import House
from kit.takeoff.trail import spoken
from kit.work.records import ChargeNeed, SundryNeed, Work


def direct_lines(system: System, work: Work, house: House) -> tuple[Line, ...]:
    """List the direct costs of a floor, each rounded once; what costs nothing is left out.

    Hours beyond the plain day are paid with the rest in the line of labor; what they
    cost more, burden included, has a line of its own.
    """
    return (
        *(_kits(purchase, house) for purchase in system.purchases),
        _pigments(system, house),
        _sundries(work, house),
        _labor(work, house),
        *_overtime(work, house),
        _equipment(work, house),
        *_disposal(work, house),
        *(_charged(need) for need in work.charges),
        _travel(work, house),
        *_mobilization(house),
    )


def crew_hours_of(work: Work) -> Decimal:
    """Person-hours on site as the bid prints them, to a hundredth. [h]"""
    return _hundredths(work.crew_hours)


def _kits(purchase: Purchase, house: House) -> Line:
    kits = " + ".join(
        f"{count} × {spoken(pack.volume_l, 'l')} at {shown(pack.price, house.currency)}"
        for pack, count in purchase.order.packs
    )
    how = f"{kits} for {spoken(purchase.order.needed_l, 'l')}"
    for grain in purchase.aggregates:
        how += f", and {spoken(grain.mass_kg, 'kg')} of grain at"
        how += f" {shown(grain.cost, house.currency)}"
    return Line(purchase.name, rounded(purchase.cost, house.currency), "materials", how)


def _pigments(system: System, house: House) -> Line:
    needs = [need for coat in system.coats for need in coat.pigments]
    cost = sum((need.cost for need in needs), ZERO)
    masses_kg: dict[str, float] = {}
    for need in needs:
        masses_kg[need.name] = masses_kg.get(need.name, 0.0) + need.mass_kg
    how = ", ".join(f"{name} {spoken(kg, 'kg')}" for name, kg in masses_kg.items())
    return Line("Pigments and tint", rounded(cost, house.currency), "materials", how)


def _sundries(work: Work, house: House) -> Line:
    needs = [need for need in work.sundries if need.sundry.line == "materials"]
    cost = sum((need.cost for need in needs), ZERO)
    how = ", ".join(map(_used_up, needs))
    return Line("Sundries", rounded(cost, house.currency), "materials", how)


def _disposal(work: Work, house: House) -> list[Line]:
    needs = [need for need in work.sundries if need.sundry.line == "disposal"]
    if not needs:
        return []
    cost = sum((need.cost for need in needs), ZERO)
    how = ", ".join(
        f"{_used_up(need)} at {shown(need.sundry.price, house.currency)}" for need in needs
    )
    return [Line("Disposal", rounded(cost, house.currency), "disposal", how)]


def _used_up(need: SundryNeed) -> str:
    if need.sundry.unit:
        return f"{spoken(need.count, need.sundry.unit)} of {need.sundry.name}"
    return f"{need.count} × {need.sundry.name}"


def _labor(work: Work, house: House) -> Line:
    hours = crew_hours_of(work)
    cost = rounded(hours * paid_per_h(house), house.currency)
    return Line("Labor", cost, "labor", f"{hours} h × {_wage(house)}")


def _overtime(work: Work, house: House) -> list[Line]:
    hours, more = _hundredths(work.overtime_h), house.overtime_factor - 1
    if not hours or not more:
        return []
    cost = rounded(hours * more * paid_per_h(house), house.currency)
    how = (
        f"{hours} h beyond {house.overtime_after_h:g} h a day × {more.normalize():f} × "
        f"{_wage(house)}"
    )
    return [Line("Overtime, above the plain wage", cost, "labor", how)]


def _equipment(work: Work, house: House) -> Line:
    needs = [need for need in work.equipment if need.days]
    cost = sum((need.cost for need in needs), ZERO)
    how = ", ".join(f"{need.days} d {need.equipment.name}" for need in needs)
    return Line("Equipment", rounded(cost, house.currency), "equipment", how)


def _charged(need: ChargeNeed) -> Line:
    return Line(need.charge.name, need.cost, need.charge.kind, need.how)


def _travel(work: Work, house: House) -> Line:
    trip = house.trip_price + times(paid_per_h(house), house.crew * house.trip_h)
    how = (
        f"{work.days} trips × ({shown(house.trip_price, house.currency)} + {house.crew} × "
        f"{house.trip_h:g} h on the road × {_wage(house)})"
    )
    cost = rounded(trip * work.days, house.currency)
    return Line("Travel and mobilization", cost, "travel", how)


def _mobilization(house: House) -> list[Line]:
    if not house.mobilization_price:
        return []
    amount = rounded(house.mobilization_price, house.currency)
    return [Line("Mobilization", amount, "travel", "once a job")]


def paid_per_h(house: House) -> Decimal:
    """What a plain hour of one person costs the firm, burden included.

    Examples
    --------
    28.50 an hour with 7.65 % burden on it:

    >>> from kit.stock import read_shelf
    >>> house = read_shelf().house.changed(wage_per_h="28.50", burden_share="0.0765")
    >>> paid_per_h(house)
    Decimal('30.680250')
    """
    return house.wage_per_h * (1 + house.burden_share)


def _hundredths(hours: float) -> Decimal:
    return Decimal(str(hours)).quantize(CENT)


def _wage(house: House) -> str:
    wage = shown(house.wage_per_h, house.currency)
    return f"({wage} + {percent(house.burden_share)} burden)"
