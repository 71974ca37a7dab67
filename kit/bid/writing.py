"""The owner's bid as plain JSON values. The client's paper is never made from it."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING, Any

from kit.bid.payments import deposit_rule
from kit.bid.records import Bid, ExtraCost, Payment
from kit.stock.shelf import Shelf

if TYPE_CHECKING:
    from kit.bid.risk.records import Risk


def owner_json(asked: Bid) -> dict[str, Any]:
    """Write a bid as JSON values; money is text, so that no reader rounds it again."""
    return {
        "currency": asked.currency,
        "area_sqft": float(asked.area_sqft),
        "area_basis": asked.area_basis,
        "total": _money(asked.total),
        "price_per_sqft": _money(asked.price_per_sqft),
        "before_tax": _money(asked.before_tax),
        "tax_on_price": _money(asked.tax),
        "cost": _money(asked.cost),
        "margin": _money(asked.margin),
        "margin_share": _share(asked.margin_share),
        "markup_share": _share(asked.markup_share),
        "discount": _money(-asked.sum_of("discount") + 0),
        "rounding": _money(asked.sum_of("rounding")),
        "floor_price": _money(asked.floor_price),
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


def risk_json(risk: Risk) -> dict[str, Any]:
    """Write the spread of a cost as JSON values; no amounts to pay, so numbers."""
    return {
        "currency": risk.currency,
        "draws": risk.draws,
        "seed": risk.seed,
        "planned_cost": risk.planned,
        "contingency": risk.contingency,
        "price_before_tax": risk.price,
        "mean": round(risk.mean, 2),
        **{f"p{percent}": round(cost, 2) for percent, cost in risk.quantiles.items()},
        "chance_of_loss": risk.chance_of_loss,
        "chance_of_loss_sampling_sigma": round(risk.sampling_error, 6),
        "chance_of_overrun": risk.chance_of_overrun,
        "planned_days": risk.planned_days,
        "chance_of_more_days": risk.chance_of_more_days,
        "contingency_for_p80": round(risk.contingency_for_p80, 2),
        "cost_at_medians": round(risk.at_medians, 2),
        "drivers": [
            {
                "key": one.key,
                "name": one.name,
                "p10": round(one.low, 4),
                "p90": round(one.high, 4),
                "cost_at_p10": round(one.cost_low, 2),
                "cost_at_p90": round(one.cost_high, 2),
                "correlation": round(one.correlation, 3),
            }
            for one in risk.drivers
        ],
        "estimate_class": {
            "number": risk.ripeness.number,
            "says": risk.ripeness.says,
            "buildings_percent": risk.ripeness.buildings,
            "plants_percent": risk.ripeness.plants,
        },
        "notes": list(risk.notes),
    }


def payments_json(payments: tuple[Payment, ...], shelf: Shelf) -> dict[str, Any]:
    """Write a plan of payments and the rule that caps it as JSON values."""
    return {
        "rule": deposit_rule(shelf),
        "parts": [
            {"due": one.due, "share": _share(one.share), "amount": _money(one.amount)}
            for one in payments
        ],
    }


def _share(share: Decimal) -> str:
    return f"{share:.4f}"


def _money_or_none(amount: Decimal | None) -> str | None:
    return None if amount is None else _money(amount)


def _money(amount: Decimal) -> str:
    return f"{amount:f}"
