"""Every answer that follows from a Job without a picture."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

from kit.bid import (
    Bid,
    Offer,
    Payment,
    Pricing,
    bid_of,
    offer_of,
    payment_concerns,
    payment_plan,
)
from kit.coats import System
from kit.errors import Concern
from kit.job.records import Job
from kit.plan import FloorPlan, lay_out
from kit.stock import Caution, Shelf, cautions_for, read_shelf, taken_of, terms_for
from kit.takeoff import Takeoff, surveyed
from kit.work import Work


@dataclass(frozen=True)
class Workup:
    """Every answer that follows from a Job without a picture.

    ``bid`` is the owner's; ``offer`` and ``payments`` are all of the price that
    a client may see.
    """

    plan: FloorPlan
    takeoff: Takeoff
    system: System
    work: Work
    bid: Bid
    offer: Offer
    payments: tuple[Payment, ...]
    cautions: tuple[Caution, ...]
    concerns: tuple[Concern, ...]
    terms: tuple[Caution, ...] = ()


_laid_out = lru_cache(maxsize=16)(lay_out)
"""Plans of the last few sites; most choices leave the rooms as they are."""


def workup(job: Job, shelf: Shelf | None = None) -> Workup:
    """Work a job up: from the rooms as measured to the price as asked.

    Raises
    ------
    SheetError, ShelfError, MeasureError
        In one line: the field, what was found, what is expected.
    """
    shelf = shelf or read_shelf()
    finish = shelf.finish(job.finish, about="finish")
    extras = taken_of(job.extras, shelf.extras)
    plan = _laid_out(job.site)
    takeoff = surveyed(job.site, plan)
    pricing = Pricing(takeoff, job.recipe.palette, shelf, job.discount)
    floor = pricing.floor(finish, extras)
    asked = bid_of(pricing, finish, extras)
    asked = replace(asked, concerns=(*asked.concerns, *_of_the_prices(shelf, job)))
    payments = payment_plan(asked.total, shelf)
    return Workup(
        plan=plan,
        takeoff=takeoff,
        system=floor.system,
        work=floor.work,
        bid=asked,
        offer=offer_of(asked, shelf),
        payments=payments,
        cautions=cautions_for(job.site, finish, shelf),
        concerns=(
            *takeoff.concerns,
            *asked.concerns,
            *payment_concerns(payments, shelf),
            *_of_the_plan(plan),
        ),
        terms=terms_for(job.site, finish, shelf),
    )


def _of_the_prices(shelf: Shelf, job: Job) -> tuple[Concern, ...]:
    if shelf.book is None:
        return ()
    return shelf.book.concerns(job.date, lasts_days=shelf.house.prices_last_days)


def _of_the_plan(plan: FloorPlan) -> tuple[Concern, ...]:
    if plan.way_out.is_marked:
        return ()
    return (
        Concern(
            "way out",
            f"No way out is marked; the pour is headed for the middle of the longest "
            f"outer wall of {plan.way_out.room}.",
            "Mark the door by which the crew leaves.",
        ),
    )
