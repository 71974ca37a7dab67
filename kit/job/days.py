"""When a job is done and whether its site may be coated: gate and day plans."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta

from kit.errors import Concern
from kit.job.records import Job
from kit.job.working import Workup
from kit.stock.shelf import Shelf, read_shelf
from kit.work.asking import PourTimes
from kit.work.dayplan import DayPlans, Schedule
from kit.work.gate import gate_for
from kit.work.planning import climate_range, day_plans
from kit.work.verdicts import GateReport
from kit.work.windows import Windows, windows_for

USUAL_WAIT_DAYS = 7
"""First day on site, counted from the proposal, where the sheet names none."""


@dataclass(frozen=True)
class Days:
    """The site gate, the plans of the days behind it, and what every time comes to.

    Parameters
    ----------
    gate : GateReport
    plans : DayPlans
    cold, warm : tuple of Windows
        Times of each product, from the slab up, at the coldest and the warmest that is
        expected while it is laid and hardens, for the house's batch; none where it is
        too cold or too warm for the product.
    concerns : tuple of Concern
        Where the plan takes other days than the bid counts.
    """

    gate: GateReport
    plans: DayPlans
    cold: tuple[Windows, ...]
    warm: tuple[Windows, ...]
    concerns: tuple[Concern, ...]


def days_of(
    job: Job,
    answers: Workup,
    shelf: Shelf | None = None,
    *,
    pours: PourTimes | None = None,
) -> Days:
    """Plan the days of a job and hold its site to its limits.

    Parameters
    ----------
    job : Job
    answers : Workup
        Of that job.
    shelf : Shelf, optional
        That it was worked up with.
    pours : callable, optional
        What each film takes by the pour's own clock, as `day_plans` takes it; without
        it the days have the hours that the bid counts.

    Raises
    ------
    SheetError
        If a reading has no unit or no place, the forecast has a gap, or a day has no
        hours: named, and nothing is planned.
    MeasureError
        If no answer was found in time.
    PlanError
        If `pours` can pour the floor in none of the zones that were tried.
    """
    shelf = shelf or read_shelf()
    begin = job.date + timedelta(days=USUAL_WAIT_DAYS)
    floor = (answers.takeoff, answers.system, answers.work, shelf)
    # readings are proven first: without them there is no plan
    gate_for(job.site, *floor)
    plans = day_plans(job.site, answers.plan, *floor, begin=begin, pours=pours)
    gate = gate_for(job.site, *floor, schedule=plans.best)
    cold_c, warm_c = climate_range(job.site, plans.best, begin=begin)
    return Days(
        gate,
        plans,
        _windows(answers, shelf, cold_c),
        _windows(answers, shelf, warm_c),
        _beyond_the_bid(answers, plans.best),
    )


def _beyond_the_bid(answers: Workup, plan: Schedule | None) -> tuple[Concern, ...]:
    """Say where the plan has the crew on site on more days than are paid for."""
    if plan is None:
        return ()
    working = [
        day for day in plan.days if any(s.activity != "walk_through" for s in day.slots)
    ]
    counted, taken = answers.work.days, len(working)
    if taken <= counted:
        return ()
    return (
        Concern(
            "days",
            f"This plan has the crew on site on {taken} days, the bid counts {counted}.",
            "Price the further trips, or bring the people that finish in fewer zones.",
        ),
    )


def _windows(answers: Workup, shelf: Shelf, slab_c: float) -> tuple[Windows, ...]:
    """Times of each product that can be laid at a temperature, from the slab up."""
    found: dict[str, Windows] = {}
    for coat in answers.system.coats:
        product, cure = coat.product, shelf.cure(coat.product)
        if cure.least_c <= slab_c <= cure.most_c:
            batch_l = min(shelf.house.batch_l, coat.volume_l)
            found.setdefault(
                product.key, windows_for(product, cure, slab_c, batch_l=batch_l)
            )
    return tuple(found.values())
