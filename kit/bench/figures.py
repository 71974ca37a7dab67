"""All that the screen is told, as words and numbers: the client-safe side of a job.

Only `Offer` speaks of money here. Nothing reads a `Bid`, so no cost, margin, hour
or rate can reach the page, its traits or the wire.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from kit.bench.extras import advice_words, count_words, extra_figures
from kit.bench.knob_words import knob_figures
from kit.bench.paper_figures import paper_figures
from kit.bench.swatches import Swatch, bare_tints, swatches
from kit.bench.unpriced import unpriced_figures
from kit.bid.records import FinishOption, Offer, Payment
from kit.job import Job, Workup
from kit.money import shown
from kit.plan import FloorPlan
from kit.pour.palette import FEWEST, MOST
from kit.pour.recipe import Flow
from kit.stock import Caution, Shelf
from kit.takeoff.figures import Takeoff
from kit.units import M_PER_FT, square_feet

Figures = dict[str, Any]
_MINUS = "\u2212"


@dataclass(frozen=True)
class Shown:
    """What a client may see of a job's answers, and nothing else.

    Parameters
    ----------
    offer : Offer
    payments : tuple of Payment
    plan : FloorPlan
    takeoff : Takeoff
        Areas and lengths as measured.
    cautions : tuple of Caution
    """

    offer: Offer
    payments: tuple[Payment, ...]
    plan: FloorPlan
    takeoff: Takeoff
    cautions: tuple[Caution, ...]

    @classmethod
    def of(cls, answers: Workup) -> Shown:
        """Take what may be seen out of all the answers, and leave the rest."""
        return cls(
            answers.offer,
            answers.payments,
            answers.plan,
            answers.takeoff,
            answers.cautions,
        )


def figures_of(
    job: Job, answers: Shown | None, shelf: Shelf, *, can_undo: bool, can_redo: bool
) -> Figures:
    """Everything the frame draws, ready as words; without answers there is no price."""
    priced = (
        unpriced_figures(job, shelf) if answers is None else _priced(job, answers, shelf)
    )
    colours = _colours(job, shelf)
    return {
        "head": {
            "client": job.site.client.name,
            "title": job.title,
            "can_undo": can_undo,
            "can_redo": can_redo,
        },
        "slip": shelf.finish(job.finish).slip,
        "colors": colours,
        "can_add": len(colours) < MOST,
        "can_remove": len(colours) > FEWEST,
        "pigments": [
            _named(s) for s in swatches(shelf, job.recipe.palette.tint, job.finish)
        ],
        "tint": job.recipe.palette.tint,
        "tints": [_named(s) for s in bare_tints(shelf)],
        "knobs": knob_figures(job.recipe.flow),
        "seed": job.recipe.seed,
        **priced,
        "paper": paper_figures(job, answers.offer if answers else None, shelf),
        "stations": _stations(job, shelf) | priced["stations"],
    }


def _priced(job: Job, answers: Shown, shelf: Shelf) -> Figures:
    """What follows from the rooms: areas and prices."""
    offer = answers.offer
    return {
        "price": price_figures(offer),
        "payments": [
            {"due": p.due, "amount": _money(p.amount, offer.currency)}
            for p in answers.payments
        ],
        "options": [_option(o, offer.currency, shelf) for o in offer.options],
        "extras": extra_figures(offer, shelf),
        "advice": advice_words(offer, answers.cautions, shelf),
        "rooms": _rooms(answers.takeoff),
        "poured": _poured(answers.takeoff),
        "stations": {
            "rooms": f"{offer.area_sqft:,.0f} sq ft",
            "price": count_words(offer) or f"until {short_day(job.open_until)}",
        },
    }


def price_figures(offer: Offer) -> Figures:
    """The reading on the tape and its basis."""
    return {
        "total": _money(offer.total, offer.currency),
        "plain": f"{offer.total:.2f}",
        "per_sqft": _money(offer.price_per_sqft, offer.currency),
        "basis": f"per sq ft of {offer.area_sqft:,.0f}",
        "area": f"{offer.area_sqft:,.0f} sq ft",
        "rule": offer.area_basis,
        "tax": offer.tax_note,
    }


def difference_words(difference: Decimal, currency: str) -> str:
    """Say a difference with its sign apart, as ledgers do.

    >>> difference_words(Decimal("-1324.35"), "USD")
    '− $1,324.35'
    """
    if not difference:
        return "no difference"
    sign = "+" if difference > 0 else _MINUS
    return f"{sign} {_money(abs(difference), currency)}"


def short_day(day: date) -> str:
    """``Dec 23``, whatever the machine's locale."""
    from babel.dates import format_date

    return str(format_date(day, "MMM d", locale="en_US"))


def _money(amount: Decimal, currency: str) -> str:
    return shown(amount, currency)


def _option(option: FinishOption, currency: str, shelf: Shelf) -> Figures:
    return {
        "key": option.finish,
        "name": option.name,
        "says": option.says,
        "slip": shelf.finish(option.finish).slip,
        "total": _money(option.total, currency),
        "per_sqft": _money(option.price_per_sqft, currency),
        "difference": difference_words(option.difference, currency),
        "amount": _money(abs(option.difference), currency),
        "is_more": option.difference > 0,
        "chosen": option.chosen,
    }


def _colours(job: Job, shelf: Shelf) -> list[Figures]:
    palette = job.recipe.palette
    by_key = {s.key: s for s in swatches(shelf, palette.tint, job.finish)}
    return [
        {**_named(by_key[colour.pigment]), "percent": round(colour.share * 100, 1)}
        for colour in palette.colours
    ]


def _named(swatch: Swatch) -> Figures:
    return {
        "key": swatch.key,
        "name": swatch.name,
        "color": swatch.color,
        "chip": swatch.chip,
        "reflects": f"{swatch.reflects_percent:.0f}\u202f% of daylight",
    }


def _rooms(takeoff: Takeoff) -> list[Figures]:
    """Floor and walls of every room, as the paper prints them."""
    rows = [
        {
            "name": room.name,
            "area": _tenths(square_feet(room.net_m2)),
            "walls": _tenths(room.perimeter_m / M_PER_FT),
        }
        for room in takeoff.rooms
    ]
    if takeoff.thresholds_m2 > 0:
        doorways = _tenths(square_feet(takeoff.thresholds_m2))
        rows.append({"name": "In the doorways", "area": doorways, "walls": ""})
    return rows


def _tenths(amount: float) -> str:
    return f"{amount:,.1f}"


def _poured(takeoff: Takeoff) -> Figures:
    walls_m = sum(room.perimeter_m for room in takeoff.rooms)
    return {
        "area": _tenths(square_feet(takeoff.net_m2)),
        "walls": _tenths(walls_m / M_PER_FT),
    }


def _stations(job: Job, shelf: Shelf) -> Figures:
    usual = Flow()
    turned = sum(
        k["value"] != getattr(usual, k["name"]) for k in knob_figures(job.recipe.flow)
    )
    most = max(job.recipe.palette.colours, key=lambda c: c.share)
    return {
        "color": shelf.pigment(most.pigment).name,
        "flow": "as usual" if not turned else f"{turned} knob{'s' * (turned > 1)} moved",
        "sheen": shelf.finish(job.finish).name,
    }
