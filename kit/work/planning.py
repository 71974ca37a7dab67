"""The plans of a floor's days: shortest, comfortable, or what stands in the way."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from typing import Literal
from zoneinfo import ZoneInfo

from kit.coats.system import System
from kit.errors import MeasureError, PlanError, SheetError
from kit.plan import FloorPlan
from kit.site import Site
from kit.stock.cures import RECOAT_AT_C
from kit.stock.shelf import Shelf
from kit.takeoff.figures import Takeoff
from kit.units import fahrenheit
from kit.work.asking import Floor, PourTimes, Terms, eased
from kit.work.counting import BY_DAY
from kit.work.dayplan import Blocked, DayPlans, Schedule
from kit.work.expected import PER_H, Clock, expectation, steady
from kit.work.layers import fillers_of, layers_of, levelling_h, walk_through_h
from kit.work.laying_out import LaidOut, lay_out_days
from kit.work.records import Work
from kit.work.telling_days import hour, told

SPARES = ((4, 8, 4), (4, 4, 2), (2, 4, 0), (0, 4, 0), (0, 2, 0))
"""What a comfortable plan keeps free after a window opens, before it closes, and of each
day; the first that can be kept is. Engineering judgement, no source. [quarters]"""

WARMER_C = (18.3333, 21.1111, 23.8889, 26.6667)
"""Slabs that are tried where there is no plan: 65, 70, 75, 80 °F. [°C]"""

FAMILIES = (
    "day it is needed",
    "days off",
    "crew",
    "work hours",
    "latest recoat",
    "earliest recoat",
    "slab temperature",
)
"""Constraints by family, in the order in which they are tried without."""


def day_plans(
    site: Site,
    plan: FloorPlan,
    takeoff: Takeoff,
    system: System,
    work: Work,
    shelf: Shelf,
    *,
    begin: date,
    pours: PourTimes | None = None,
) -> DayPlans:
    """Plan the days of a floor.

    Parameters
    ----------
    site : Site
        Crew and climate are read from it.
    plan, takeoff, system, work
        Of the same floor.
    shelf : Shelf
    begin : date
        First day on site, where the site's crew names none.
    pours : callable, optional
        What each film takes by the pour's own clock, see `Floor`; the bid's hours
        without it.

    Returns
    -------
    DayPlans
        Without a shortest plan it says what blocks and what would free it.

    Raises
    ------
    SheetError
        If the forecast has a gap, or a day has no hours left after setting up.
    MeasureError
        If the solver could not tell within its time.
    PlanError
        If the floor can be poured in none of the zones that were tried.
    """
    floor = floor_of(plan, takeoff, system, work, shelf, pours=pours)
    terms = terms_of(site, shelf, begin=begin)
    _check_hours(floor, terms)
    laid = lay_out_days(floor, terms)
    if laid is None:
        return DayPlans(None, None, why_not(floor, terms))
    easy = _comfortable(floor, terms, laid)
    last_h = walk_through_h(work, shelf)

    def said(laid: LaidOut, kind: Literal["shortest", "comfortable"]) -> Schedule:
        return told(
            floor, laid, kind=kind, timezone=site.crew.timezone, walk_through_h=last_h
        )

    comfortable = said(easy, "comfortable") if easy is not None else None
    return DayPlans(said(laid, "shortest"), comfortable, None)


def _comfortable(floor: Floor, terms: Terms, shortest: LaidOut) -> LaidOut | None:
    """The plan that keeps the most to spare, in no more zones or days on site."""
    for opening, closing, day in SPARES:
        spared = eased(terms, spare_from=opening, spare_until=closing, spare_day=day)
        laid = lay_out_days(floor, spared, most_zones=len(shortest.zones))
        if laid is not None and laid.days_on_site <= shortest.days_on_site:
            return laid
    return None


def floor_of(
    plan: FloorPlan,
    takeoff: Takeoff,
    system: System,
    work: Work,
    shelf: Shelf,
    *,
    pours: PourTimes | None = None,
) -> Floor:
    """What is laid, with the labor of each film and how its product hardens."""
    layers, prepare_h = layers_of(system, work, shelf)
    products = [shelf.product(layer.product) for layer in layers]
    each_day = sum(
        task.times / task.per_person_h
        for task in shelf.tasks
        if task.driver in BY_DAY and task.driver == "person_day"
    )
    return Floor(
        plan=plan,
        area_m2=takeoff.net_m2,
        layers=layers,
        products=tuple((product, shelf.cure(product)) for product in products),
        prepare_h=prepare_h,
        set_up_h=each_day,
        fillers=tuple(
            (product, shelf.cure(product)) for product in fillers_of(work, shelf)
        ),
        filled_h=prepare_h - levelling_h(work, shelf),
        pours=pours,
    )


def terms_of(site: Site, shelf: Shelf, *, begin: date) -> Terms:
    """Who works when, and on what slab."""
    crew = site.crew
    first, zone = _first(site, begin)
    until = crew.until or _later(crew.start, shelf.house.hours_per_day)
    clock = Clock(datetime.combine(first, time(), tzinfo=zone))
    return Terms(
        people=crew.people or shelf.house.crew,
        start=crew.start,
        until=until,
        crew=crew,
        begin=first,
        zone=zone,
        expected=expectation(site.climate, clock),
    )


def climate_range(
    site: Site, schedule: Schedule | None, *, begin: date
) -> tuple[float, float]:
    """Coldest and warmest slab expected from the first work until shoes. [°C]

    Without a plan, over the first two weeks.
    """
    first, zone = _first(site, begin)
    clock = Clock(datetime.combine(first, time(), tzinfo=zone))
    expected = expectation(site.climate, clock)
    start, end = 0, 14 * 24 * PER_H
    if schedule is not None:
        start = int(clock.quarter(schedule.start))
        end = max(start + 1, int(clock.quarter(schedule.back.shoes)))
    cold, warm = expected.cold_c[start:end], expected.warm_c[start:end]
    return float(cold.min()), float(warm.max())


def _first(site: Site, begin: date) -> tuple[date, tzinfo]:
    """First day that is looked at, and the clock of the site."""
    zone = ZoneInfo(site.crew.timezone) if site.crew.timezone else UTC
    return site.crew.begin or begin, zone


def _later(at: time, hours: float) -> time:
    """A time so many hours later on the same day, its last minute at most."""
    minutes = at.hour * 60 + at.minute + round(hours * 60)
    return time(*divmod(min(minutes, 24 * 60 - 1), 60))


def _check_hours(floor: Floor, terms: Terms) -> None:
    hours = (_minutes(terms.until) - _minutes(terms.start)) / 60.0
    if hours <= floor.set_up_h:
        raise SheetError(
            "crew, until",
            found=f"{hours:g} h a day",
            expected=f"more than the {floor.set_up_h:g} h that setting up takes",
        )


def _minutes(at: time) -> int:
    return at.hour * 60 + at.minute


def why_not(floor: Floor, terms: Terms) -> Blocked:
    """Find constraints that cannot hold together, and changes of which one is enough.

    Notes
    -----
    A deletion filter: each family is left out in turn, and stays out if there is still
    no plan without it. What is left is a core, of which every member is needed.
    """
    core = [family for family in FAMILIES if _counts(family, terms)]
    for family in list(core):
        others = frozenset(FAMILIES) - (set(core) - {family})
        if not _is_plan(floor, eased(terms, dropped=others)):
            core.remove(family)
    by = tuple(_in_words(family, floor, terms) for family in reversed(core))
    frees: dict[str, str] = {}
    for kind, words, other in _changes(terms):
        if kind not in frees and _is_plan(floor, other):
            frees[kind] = words
    return Blocked(by, tuple(frees.values()))


def _counts(family: str, terms: Terms) -> bool:
    if family == "day it is needed":
        return terms.crew.done_by is not None
    if family == "days off":
        return bool(terms.crew.days_off or terms.crew.closed)
    return True


def _is_plan(floor: Floor, terms: Terms) -> bool:
    """Whether there is a plan; what is not known counts as one."""
    try:
        return lay_out_days(floor, terms) is not None
    except MeasureError:
        return True
    except PlanError:
        return False


def _in_words(family: str, floor: Floor, terms: Terms) -> str:
    """Say a family of constraints with its figures."""
    crew = terms.crew
    match family:
        case "day it is needed":
            return f"shoes on the floor by {crew.done_by:%a %b} {crew.done_by.day}"  # type: ignore[union-attr]
        case "days off":
            closed = [f"{day:%b} {day.day}" for day in crew.closed]
            return f"no work on {', '.join([*crew.days_off, *closed])}"
        case "slab temperature":
            least_c = max(cure.least_c for _, cure in floor.products)
            most_c = min(cure.most_c for _, cure in floor.products)
            cold_c, warm_c = terms.expected.cold_c.min(), terms.expected.warm_c.max()
            return (
                f"a slab from {fahrenheit(least_c):.0f} to {fahrenheit(most_c):.0f} °F, "
                f"with {fahrenheit(cold_c):.0f} to {fahrenheit(warm_c):.0f} °F expected"
            )
        case "crew":
            return f"one crew of {terms.people}, one coat at a time"
        case "work hours":
            return f"work from {hour(terms.start)} to {hour(terms.until)}"
        case "latest recoat":
            until = _worst_until(floor, terms)
            return f"the next coat down within {until:.1f} h of the last"
        case _:
            wait = _worst_wait(floor, terms)
            return f"the next coat not before {wait:.1f} h at the slab's temperature"


def _worst_until(floor: Floor, terms: Terms) -> float:
    noon = 12 * PER_H
    ends = (
        terms.expected.closes(cure, noon, product.recoat_until_h)
        for product, cure in floor.products[:-1]
    )
    return min(ends) / PER_H


def _worst_wait(floor: Floor, terms: Terms) -> float:
    noon = 12 * PER_H
    waits = (
        terms.expected.hardens(cure, noon, product.recoat_from_h, told_c=RECOAT_AT_C)
        for product, cure in floor.products[:-1]
    )
    return max(waits) / PER_H


def _changes(terms: Terms) -> Iterator[tuple[str, str, Terms]]:
    """Changes that a crew could make: kind, words, and the terms then; easiest first."""
    longer = eased(terms, until=_later(terms.until, 2.0))
    yield "hours", "two hours more a day", longer
    for more, words in ((1, "one person more"), (2, "two persons more")):
        yield "people", words, eased(terms, people=terms.people + more)
    if terms.crew.days_off or terms.crew.closed:
        every_day = terms.crew.changed(days_off=(), closed=())
        yield "days off", "work on days off", eased(terms, crew=every_day)
    coldest_c = float(terms.expected.cold_c.min())
    for slab_c in WARMER_C:
        if slab_c > coldest_c:
            words = f"the slab kept at {fahrenheit(slab_c):.0f} °F"
            yield "heat", words, eased(terms, expected=steady(slab_c))
    needed = terms.crew.done_by
    if needed is not None:
        for days, words in ((1, "a day more"), (2, "two days more"), (7, "a week more")):
            later = terms.crew.changed(done_by=needed + timedelta(days=days))
            yield "deadline", words, eased(terms, crew=later)
