"""All that a job pack needs: the gate, the days, and how the floor is poured on them.

The days are planned with the hours of the pour itself, its lanes and buckets, so that
days, calendar, chart and pack have one clock.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, time, timedelta
from math import ceil, floor
from typing import TYPE_CHECKING

from kit.errors import PlanError
from kit.job.clocked import zone_times
from kit.job.days import USUAL_WAIT_DAYS, Days, days_of
from kit.job.mending import Mendable, fix_in_words, mended, refused
from kit.job.pouring import Pouring, pouring_of
from kit.plan.mending import FIXES, Fix
from kit.plan.refusing import NoOrderError
from kit.stock.cures import RECOAT_AT_C
from kit.work.asking import Takes
from kit.work.dayplan import Schedule, Zone
from kit.work.expected import Clock, expectation
from kit.work.layers import layers_of, zones_of
from kit.work.laying_out import lay_out_days
from kit.work.planning import climate_range, floor_of, terms_of
from kit.work.verdicts import GateReport

if TYPE_CHECKING:
    from kit.job.pictures import Pictures
    from kit.job.records import Job
    from kit.job.working import Workup
    from kit.stock.shelf import Shelf

REPLANS = 4
"""Plans that are made at most until the pour is planned for the slab of its own days."""


@dataclass(frozen=True)
class Packing:
    """What the crew is told.

    Parameters
    ----------
    days : Days
        Of which the schedule is one.
    schedule : Schedule
    pouring : Pouring
        On the zones of that schedule, whose hours are its own.
    floor : Mendable
        The floor that is poured, with what is done for it to be left dry.
    """

    days: Days
    schedule: Schedule
    pouring: Pouring
    floor: Mendable

    @property
    def gate(self) -> GateReport:
        """May the floor be coated."""
        return self.days.gate


class Pours:
    """Pours of one job at one slab temperature, each planned once."""

    def __init__(
        self, job: Job, floor: Mendable, pictures: Pictures, slab_c: float
    ) -> None:
        self.job, self.floor, self.pictures = job, floor, pictures
        self.slab_c = slab_c
        answers = floor.answers
        self.layers, _ = layers_of(answers.system, answers.work, pictures.shelf)
        self._kept: dict[tuple[tuple[Zone, ...], int], Pouring | PlanError] = {}

    def of(self, zones: tuple[Zone, ...], people: int) -> Pouring:
        """The pour on those zones.

        Raises
        ------
        PlanError
            As `pouring_of` does.
        """
        key = zones, people
        if key not in self._kept:
            try:
                self._kept[key] = pouring_of(
                    self.job, self.floor.answers, self.pictures,
                    people=people, slab_c=self.slab_c, zones=zones,
                    shoes=self.floor.shoes,
                )  # fmt: skip
            except PlanError as error:
                self._kept[key] = error
        found = self._kept[key]
        if isinstance(found, PlanError):
            raise found
        return found

    def times(self, zones: tuple[Zone, ...], people: int) -> list[list[Takes]]:
        """What each film takes on each zone by the pour's own clock.

        Raises
        ------
        PlanError
            As `of` does, and where a zone has no lane.
        """
        floor_m2 = sum(zone.area_m2 for zone in zones)
        pouring = self.of(zones, people)
        return [zone_times(self.layers, pouring, zone, floor_m2) for zone in zones]


def packing_of(
    job: Job,
    answers: Workup,
    pictures: Pictures,
    *,
    people: int | None = None,
    slab_c: float | None = None,
    fix: Fix | None = None,
) -> Packing:
    """Plan a floor's days and its pour on them.

    Parameters
    ----------
    job : Job
    answers : Workup
        Of that job.
    pictures : Pictures
        Of that job.
    people : int, optional
        On site; those of the sheet, else the firm's usual.
    slab_c : float, optional
        Slab that all times of the pour hold at; the warmest that is expected while
        coats are laid. [°C]
    fix : {"exit", "shoes", "days"}, optional
        What is done where a room cannot be left dry; what the sheet says, if it does.

    Raises
    ------
    PlanError
        If no days, no order or no batches can be planned; with what would free it.
    SheetError, MeasureError
        As `days_of` does.
    """
    days, pours = poured_days(job, answers, pictures, people=people, slab_c=slab_c, fix=fix)
    schedule = days.plans.best
    if schedule is None:
        told = days.plans.blocked.line if days.plans.blocked else "no plan"
        raise PlanError("days", expected=told)
    return Packing(days, schedule, pours.of(schedule.zones, schedule.crew), pours.floor)


def poured_days(
    job: Job,
    answers: Workup,
    pictures: Pictures,
    *,
    people: int | None = None,
    slab_c: float | None = None,
    fix: Fix | None = None,
    shortest: bool = False,
) -> tuple[Days, Pours]:
    """Plan a floor's days with the hours of its own pour.

    Parameters
    ----------
    job, answers, pictures, people, slab_c, fix
        As `packing_of` takes them.
    shortest : bool
        The slab is that of the shortest plan, not of the comfortable one.

    Returns
    -------
    days : Days
        Perhaps without a plan; it says why.
    pours : Pours
        That the hours are of.

    Raises
    ------
    PlanError
        If the floor can be poured in no zones, or its slab is never the one that the
        pour was planned for. Where a room cannot be left dry it says which fixes give
        an order, and which order.
    SheetError, MeasureError
        As `days_of` does.
    """
    if people is not None:
        crew = job.site.crew.changed(people=people)
        job = job.changed(site=job.site.changed(crew=crew))

    def planned(floor: Mendable) -> tuple[Days, Pours]:
        return _planned(job, floor, pictures, slab_c, shortest=shortest)

    floor = Mendable(answers)
    try:
        return planned(floor)
    except NoOrderError as refusal:
        chosen = fix or job.site.crew.fix or None
        if chosen is None:
            raise _refused(job, refusal, floor, pictures, slab_c) from None
        found = mended(chosen, refusal, floor, planned)
        if found is None:
            raise refused(refusal, (chosen,), {}, {}) from None
        return found


def _refused(
    job: Job,
    refusal: NoOrderError,
    floor: Mendable,
    pictures: Pictures,
    slab_c: float | None,
) -> PlanError:
    """The refusal, with every fix that gives an order and whether days hold it."""
    shelf = pictures.shelf
    at_c = _first_c(job, floor.answers, shelf) if slab_c is None else slab_c
    people = job.site.crew.people or shelf.house.crew
    terms = terms_of(job.site, shelf, begin=job.date + timedelta(days=USUAL_WAIT_DAYS))
    ways: dict[Fix, str] = {}
    idle: dict[Fix, str] = {}
    for fix in FIXES:

        def ordered(floor: Mendable, fix: Fix = fix) -> str:
            answers = floor.answers
            pours = Pours(job, floor, pictures, at_c)
            zones = zones_of(answers.plan, answers.takeoff.net_m2, 1)
            words = fix_in_words(fix, floor, pours.of(zones, people).order)
            asked = floor_of(
                answers.plan, answers.takeoff, answers.system, answers.work, shelf,
                pours=pours.times,
            )  # fmt: skip
            if lay_out_days(asked, terms) is None:
                idle.setdefault(fix, words)
                raise PlanError("days", expected="a plan of them")
            return words

        found = mended(fix, refusal, floor, ordered)
        if found is not None:
            ways[fix] = found
    return refused(refusal, FIXES, ways, idle)


def _planned(
    job: Job,
    floor: Mendable,
    pictures: Pictures,
    slab_c: float | None,
    *,
    shortest: bool,
) -> tuple[Days, Pours]:
    answers, shelf = floor.answers, pictures.shelf
    at_c = _first_c(job, answers, shelf) if slab_c is None else slab_c
    for is_again in (False, *[True] * REPLANS):
        pours = Pours(job, floor, pictures, at_c)
        days = days_of(job, answers, shelf, pours=pours.times)
        schedule = days.plans.shortest if shortest else days.plans.best
        if schedule is None or slab_c is not None:
            return days, pours
        warm_c = _warmest_c(job, schedule)
        # a pour planned for a warmer slab than it meets has time to spare
        if warm_c == at_c or (is_again and warm_c < at_c):
            return days, pours
        at_c = warm_c
    raise PlanError(
        "slab while coats are laid",
        found="a warmer one on the days of every plan",
        expected="days that are as warm as each other, or --slab",
    )


def _first_c(job: Job, answers: Workup, shelf: Shelf) -> float:
    """Slab to plan the first pour for: as it is on the days that the bid's hours give."""
    begin = job.date + timedelta(days=USUAL_WAIT_DAYS)
    cold_c, warm_c = climate_range(job.site, None, begin=begin)
    if cold_c == warm_c or not job.site.climate.forecast:
        return warm_c
    schedule = days_of(job, answers, shelf).plans.best
    return RECOAT_AT_C if schedule is None else _warmest_c(job, schedule)


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
