"""The owner's bid as plain JSON values. The client's paper is never made from it."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from kit.bid.records import Bid, ExtraCost


def owner_json(asked: Bid) -> dict[str, Any]:
    """Write a bid as JSON values; money is text, so that no reader rounds it again."""
    return {
        "currency": asked.currency,
        "area_sqft": float(asked.area_sqft),
        "area_basis": asked.area_basis,
        "total": _money(asked.total),
        "price_per_sqft": _money(asked.price_per_sqft),
        "cost": _money(asked.cost),
        "lines": [
            {
                "label": line.label,
                "amount": _money(line.amount),
                "kind": line.kind,
                "how": line.how,
            }
            for line in asked.lines
        ],
        "options": [
            {
                "finish": option.finish,
                "name": option.name,
                "total": _money(option.total),
                "price_per_sqft": _money(option.price_per_sqft),
                "difference": _money(option.difference),
                "chosen": option.chosen,
            }
            for option in asked.options
        ],
        "extras": [_extra(priced) for priced in asked.extras],
        "concerns": [
            {"about": concern.about, "says": concern.says, "fix": concern.fix}
            for concern in asked.concerns
        ],
    }


def _extra(priced: ExtraCost) -> dict[str, Any]:
    option = priced.option
    return {
        "extra": option.extra,
        "name": option.name,
        "amount": option.amount,
        "unit_price": _money_or_none(option.unit_price),
        "unit": option.unit,
        "difference": _money_or_none(option.difference),
        "taken": option.taken,
        "blocked": option.blocked,
        "adds_to_cost": _money_or_none(priced.cost),
        "adds_to_margin": _money_or_none(priced.margin),
        "adds_person_hours": priced.crew_hours,
        "adds_days": priced.days,
    }


def _money_or_none(amount: Decimal | None) -> str | None:
    return None if amount is None else _money(amount)


def _money(amount: Decimal) -> str:
    return f"{amount:f}"
