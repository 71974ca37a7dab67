"""All that the screen is told, as words and numbers: the client-safe side of a job.

Only `Offer` speaks of money here. Nothing reads a `Bid`, so no cost, margin, hour
or rate can reach the page, its traits or the wire.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from kit.bench.differences import difference_words, less_words
from kit.bench.extras import (
    advice_words,
    count_words,
    extra_figures,
    on_paper_words,
)
from kit.bench.knob_words import knob_figures
from kit.bench.paper_figures import paper_figures
from kit.bench.sizes import Sizes
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
from kit.units import M2_PER_FT2

Figures = dict[str, Any]


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
        "units": Sizes.of(job).figures(),
        "paper": paper_figures(job, answers.offer if answers else None, shelf),
        "stations": _stations(job, shelf) | priced["stations"],
    }


def _priced(job: Job, answers: Shown, shelf: Shelf) -> Figures:
    """What follows from the rooms: areas and prices."""
    offer, sizes = answers.offer, Sizes.of(job)
    return {
        "price": price_figures(offer, sizes),
        "payments": [
            {"due": p.due, "amount": _money(p.amount, offer.currency)}
            for p in answers.payments
        ],
        "options": [_option(o, offer, shelf, sizes) for o in offer.options],
        "extras": extra_figures(offer, shelf, sizes),
        "on_paper": on_paper_words(offer, shelf),
        "advice": advice_words(offer, answers.cautions, shelf),
        "poured": _poured(answers.takeoff, sizes),
        "stations": {
            "rooms": f"{whole_area(offer, sizes)} {sizes.measures.area_unit}",
            "price": count_words(offer) or f"until {short_day(job.open_until)}",
        },
    }


def price_figures(offer: Offer, sizes: Sizes) -> Figures:
    """The reading on the tape and its basis."""
    number = whole_area(offer, sizes)
    say = sizes.measures
    return {
        "total": _money(offer.total, offer.currency),
        "plain": f"{offer.total:.2f}",
        "per_sqft": per_area(offer.total, offer, sizes),
        "basis": f"{say.per_area} of {number}",
        "area": f"{number} {say.area_unit}",
        "rule": offer.area_basis,
        "tax": offer.tax_note,
    }


def whole_area(offer: Offer, sizes: Sizes) -> str:
    """The floor that is priced: whole square feet, or tenths of a square meter."""
    if sizes.is_metric:
        return f"{float(offer.area_sqft) * M2_PER_FT2:,.1f}"
    return f"{offer.area_sqft:,.0f}"


def per_area(amount: Decimal, offer: Offer, sizes: Sizes) -> str:
    """An amount over the whole floor: for a square foot, or a square meter."""
    area, currency = offer.area_sqft, offer.currency
    return _money(sizes.measures.price_per_area(amount, area, currency), currency)


def short_day(day: date) -> str:
    """``Dec 23``, whatever the machine's locale."""
    from babel.dates import format_date

    return str(format_date(day, "MMM d", locale="en_US"))


def _money(amount: Decimal, currency: str) -> str:
    return shown(amount, currency)


def _option(option: FinishOption, offer: Offer, shelf: Shelf, sizes: Sizes) -> Figures:
    currency = offer.currency
    return {
        "key": option.finish,
        "name": option.name,
        "says": option.says,
        "slip": shelf.finish(option.finish).slip,
        "total": _money(option.total, currency),
        "per_sqft": per_area(option.total, offer, sizes),
        "difference": difference_words(option.difference, currency),
        "cents": int(100 * option.difference),
        "why": less_words(option, offer, shelf),
        "amount": _money(abs(option.difference), currency) if option.difference else "",
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
        "reflects": f"reflects {swatch.reflects_percent:.0f}\u202f%",
    }


def _poured(takeoff: Takeoff, sizes: Sizes) -> Figures:
    walls_m = sum(room.perimeter_m for room in takeoff.rooms)
    say = sizes.measures
    return {
        "area": sizes.area(takeoff.net_m2),
        "walls": f"{say.of_length(walls_m):,.1f} {say.length_unit}",
    }


def _stations(job: Job, shelf: Shelf) -> Figures:
    usual = Flow()
    turned = sum(
        k["value"] != getattr(usual, k["name"]) for k in knob_figures(job.recipe.flow)
    )
    most = max(job.recipe.palette.colours, key=lambda c: c.share)
    return {
        "color": shelf.pigment(most.pigment).name,
        "flow": "standard" if not turned else f"{turned} changed",
        "sheen": shelf.finish(job.finish).name,
    }
