"""What a floor costs on site: materials, labor, machines and trips, a line each."""

from __future__ import annotations

from decimal import Decimal

from kit.bid.records import Line
from kit.coats.system import Purchase, System
from kit.money import CENT, ZERO, percent, rounded, shown, times
from kit.stock.house import House
from kit.takeoff.figures import spoken
from kit.work.records import SundryNeed, Work


def direct_lines(system: System, work: Work, house: House) -> tuple[Line, ...]:
    """List the direct costs of a floor, each rounded once."""
    return (
        *(_kits(purchase, house) for purchase in system.purchases),
        _pigments(system, house),
        _sundries(work, house),
        _labor(work, house),
        _equipment(work, house),
        _travel(work, house),
    )


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
    cost = sum((need.cost for need in work.sundries), ZERO)
    how = ", ".join(map(_used_up, work.sundries))
    return Line("Sundries", rounded(cost, house.currency), "materials", how)


def _used_up(need: SundryNeed) -> str:
    if need.sundry.unit:
        return f"{spoken(need.count, need.sundry.unit)} of {need.sundry.name}"
    return f"{need.count} × {need.sundry.name}"


def _labor(work: Work, house: House) -> Line:
    hours = Decimal(str(work.crew_hours)).quantize(CENT)
    cost = rounded(hours * _paid_per_h(house), house.currency)
    return Line("Labor", cost, "labor", f"{hours} h × {_wage(house)}")


def _equipment(work: Work, house: House) -> Line:
    needs = [need for need in work.equipment if need.days]
    cost = sum((need.cost for need in needs), ZERO)
    how = ", ".join(f"{need.days} d {need.equipment.name}" for need in needs)
    return Line("Equipment", rounded(cost, house.currency), "equipment", how)


def _travel(work: Work, house: House) -> Line:
    trip = house.trip_price + times(_paid_per_h(house), house.crew * house.trip_h)
    how = (
        f"{work.days} trips × ({shown(house.trip_price, house.currency)} + {house.crew} × "
        f"{house.trip_h:g} h on the road × {_wage(house)})"
    )
    cost = rounded(trip * work.days, house.currency)
    return Line("Travel and mobilization", cost, "travel", how)


def _paid_per_h(house: House) -> Decimal:
    return house.wage_per_h * (1 + house.burden_share)


def _wage(house: House) -> str:
    wage = shown(house.wage_per_h, house.currency)
    return f"({wage} + {percent(house.burden_share)} burden)"
