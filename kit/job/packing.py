"""All that a job pack needs: the gate, the days, and how the floor is poured on them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, time
from math import ceil, floor
from typing import TYPE_CHECKING

from kit.errors import PlanError
from kit.job.clocked import behind, clocked
from kit.job.days import days_of
from kit.job.pouring import Pouring, pouring_of
from kit.stock.cures import RECOAT_AT_C
from kit.work.dayplan import Schedule
from kit.work.expected import Clock, expectation
from kit.work.verdicts import GateReport

if TYPE_CHECKING:
    from kit.job.pictures import Pictures
    from kit.job.records import Job
    from kit.job.working import Workup

REPLANS = 4
"""Plans that are made at most until every pour fits the hours of its day."""


@dataclass(frozen=True)
class Packing:
    """What the crew is told.

    Parameters
    ----------
    gate : GateReport
    schedule : Schedule
    pouring : Pouring
        On the zones of that schedule.
    """

    gate: GateReport
    schedule: Schedule
    pouring: Pouring


def packing_of(
    job: Job,
    answers: Workup,
    pictures: Pictures,
    *,
    people: int | None = None,
    slab_c: float | None = None,
) -> Packing:
    """Plan a floor's days, then its pour on them.

    Parameters
    ----------
    job : Job
    answers : Workup
        Of that job.
    pictures : Pictures
        Of that job.
    people : int, optional
        On site for the pour; those of the sheet, else the firm's usual.
    slab_c : float, optional
        Slab that all times of the pour hold at; the warmest that is expected while
        coats are laid. [°C]

    Raises
    ------
    PlanError
        If no days, no order or no batches can be planned; with what would free it.
    SheetError, MeasureError
        As `days_of` does.
    """
    shelf = pictures.shelf
    slower: dict[str, float] = {}
    poured: dict[object, Pouring] = {}
    for _ in range(REPLANS):
        days = days_of(job, answers, shelf, slower=slower)
        schedule = days.plans.best
        if schedule is None:
            told = days.plans.blocked.line if days.plans.blocked else "no plan"
            raise PlanError("days", expected=told)
        warm_c = _warmest_c(job, schedule) if slab_c is None else slab_c
        terms = (schedule.zones, schedule.crew, warm_c)
        if terms not in poured:
            poured[terms] = pouring_of(
                job,
                answers,
                pictures,
                people=schedule.crew if people is None else people,
                slab_c=warm_c,
                zones=schedule.zones,
            )
        late = behind(clocked(schedule, poured[terms]), schedule)
        if not late:
            return Packing(days.gate, schedule, poured[terms])
        slower |= {key: slower.get(key, 1.0) * by for key, by in late.items()}
    raise PlanError(
        "days",
        found=f"{', '.join(late)} longer than its hours",
        expected="a pour that fits its day: bring one person more, or longer hours",
    )


def _warmest_c(job: Job, schedule: Schedule) -> float:
    """Warmest that slab or air may be while a coat is laid. [°C]"""
    zone = schedule.start.tzinfo
    clock = Clock(datetime.combine(schedule.days[0].date, time(), tzinfo=zone))
    warm_c = expectation(job.site.climate, clock).warm_c
    laid = [
        warm_c[floor(clock.quarter(slot.start)) : ceil(clock.quarter(slot.end)) + 1].max()
        for slot in schedule.slots
        if slot.activity == "coat"
    ]
    return float(max(laid, default=RECOAT_AT_C))
