"""When a job is done and whether its site may be coated: gate and day plans."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta

from kit.job.records import Job
from kit.job.working import Workup
from kit.stock.shelf import Shelf, read_shelf
from kit.work.dayplan import DayPlans
from kit.work.gate import gate_for
from kit.work.planning import day_plans
from kit.work.verdicts import GateReport

USUAL_WAIT_DAYS = 7
"""First day on site, counted from the proposal, where the sheet names none."""


@dataclass(frozen=True)
class Days:
    """The site gate, and the plans of the days behind it."""

    gate: GateReport
    plans: DayPlans


def days_of(job: Job, answers: Workup, shelf: Shelf | None = None) -> Days:
    """Plan the days of a job and hold its site to its limits.

    Parameters
    ----------
    job : Job
    answers : Workup
        Of that job.
    shelf : Shelf, optional
        That it was worked up with.

    Raises
    ------
    SheetError
        If a reading has no unit or no place, the forecast has a gap, or a day has no
        hours: named, and nothing is planned.
    MeasureError
        If no answer was found in time.
    """
    shelf = shelf or read_shelf()
    begin = job.date + timedelta(days=USUAL_WAIT_DAYS)
    floor = (answers.takeoff, answers.system, answers.work, shelf)
    # readings are proven first: without them there is no plan
    gate_for(job.site, *floor)
    plans = day_plans(job.site, answers.plan, *floor, begin=begin)
    return Days(gate_for(job.site, *floor, schedule=plans.best), plans)
