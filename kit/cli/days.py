"""``days SHEET``: may the floor be coated, and what is done on which day."""

from __future__ import annotations

import argparse
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from textwrap import wrap
from typing import TYPE_CHECKING

from kit.cli.asking import add_sheet, ending
from kit.errors import Concern, PlanError
from kit.job import Job, Pictures, workup
from kit.takeoff.figures import spoken
from kit.work.dayplan import Schedule
from kit.work.telling_days import clocked, hour
from kit.work.verdicts import ORDER, GateCheck, GateReport
from kit.work.windows import shown_c
from kit.writing import write_file

if TYPE_CHECKING:
    from kit.job.days import Days

MARKS = {"pass": "✓", "marginal": "~", "stop": "✗"}
NO_PLAN = 1
_WIDE = 78


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Name the verb and what it asks for."""
    verb = verbs.add_parser("days", help="the site gate, and what is done on which day")
    add_sheet(verb)
    verb.add_argument(
        "--shortest", action="store_true", help="the shortest plan, not the comfortable one"
    )
    verb.add_argument("--ics", type=Path, metavar="FILE.ics", help="write a calendar")
    verb.add_argument("--chart", type=Path, metavar="FILE", help="draw it, PNG, SVG or PDF")
    verb.set_defaults(run=run)


def run(given: argparse.Namespace) -> int:
    """Print gate and plan; write calendar and chart. 1 where there is no plan."""
    ics = ending(given.ics, (".ics",)) if given.ics else None
    picture = ending(given.chart, (".png", ".svg", ".pdf")) if given.chart else None
    job = Job.from_sheet(given.sheet)
    days = _days(job, shortest=given.shortest)
    plan = days.plans.shortest if given.shortest else days.plans.best
    if plan is None:
        print(f"{gate_in_words(days.gate)}\n\n{times_in_words(days)}")
        print(f"\n{days.plans.blocked.line if days.plans.blocked else ''}")
        return NO_PLAN
    made: list[tuple[Path, bytes]] = []
    if ics is not None:
        made.append((ics, _calendar(job, plan)))
    if picture is not None:
        from kit.work.chart import chart_of

        form = picture.suffix.lower().removeprefix(".")
        made.append((picture, chart_of(plan, form=form)))
    for path, content in made:
        write_file(path, content)
    said = [gate_in_words(days.gate), times_in_words(days), plan_in_words(plan)]
    said += [f"! {c.about}: {c.says} {c.fix}" for c in days.concerns]
    print(*said, sep="\n\n")
    return 0


def _days(job: Job, *, shortest: bool) -> Days:
    """Days by the pour's own clock; by the bid's hours where no pour can be planned."""
    from kit.job.days import days_of
    from kit.job.packing import poured_days

    answers = workup(job)
    pictures = Pictures(job.recipe, answers.plan)
    try:
        days, pours = poured_days(job, answers, pictures, shortest=shortest)
    except PlanError as error:
        days = days_of(job, answers)
        concern = Concern(
            "pour",
            f"The pour itself cannot be planned ({error.line}); coats have the hours that "
            "the bid counts.",
            "Mend that before a day is promised: the crew's own times may differ.",
        )
        return replace(days, concerns=(concern, *days.concerns))
    mends = tuple(
        Concern("way out", f"To get out dry: {says}.", "See to it before the first bucket.")
        for says in pours.floor.says
    )
    return replace(days, concerns=(*mends, *days.concerns))


def _calendar(job: Job, plan: Schedule) -> bytes:
    from kit.work.calendar import calendar

    return calendar(
        plan,
        title=job.title,
        number=job.number,
        place=job.site.client.address or job.site.client.name,
        stamped=job.date,
    )


def gate_in_words(gate: GateReport) -> str:
    """The gate for a terminal: the worst first, and what to do under each."""
    rows = [f"Site gate: {gate.verdict}"]
    for verdict in reversed(ORDER):
        for check in gate.of(verdict):
            rows += _check(check)
    return "\n".join(rows)


def _check(check: GateCheck) -> list[str]:
    rows = [f"{MARKS[check.verdict]} {check.verdict:<9}{check.name}"]
    rows += _under(f"{check.found}; held to {check.limit}")
    if check.do:
        rows += _under(f"→ {check.do}")
    return rows


def _under(words: str) -> list[str]:
    return wrap(words, _WIDE, initial_indent=" " * 11, subsequent_indent=" " * 11)


def times_in_words(days: Days) -> str:
    """What pot life, recoat and return come to, by either rule; the safer counts."""
    rows = []
    by_name = {one.product: one for one in days.warm}
    for cold in days.cold:
        warm = by_name.get(cold.product)
        if warm is None:
            continue
        beside = {one.name: one for one in cold.beside}
        first, shoes = beside["Next coat from"], beside["Shoes"]
        rows += [
            f"{cold.product}: {shown_c(cold.slab_c)} slab at the coldest, "
            f"{shown_c(warm.slab_c)} at the warmest",
            f"  pot life of {spoken(warm.batch_l, 'l')} {warm.pot_life_min:.0f} min, "
            f"on the floor {warm.working_min:.0f} min",
            f"  next coat from {first.hours:.1f} h (Arrhenius {first.arrhenius:.1f} with "
            f"{cold.activation_kj_per_mol:g} kJ/mol, doubling {first.doubling:.1f}), "
            f"until {min(cold.recoat_until_h, warm.recoat_until_h):.1f} h",
            f"  shoes {shoes.hours:.0f} h, furniture {cold.furniture_h:.0f} h, "
            f"wheels {cold.wheels_h:.0f} h",
        ]
    return "\n".join(rows)


def plan_in_words(plan: Schedule) -> str:
    """The days for a terminal."""
    zones = f", {len(plan.zones)} zones" if len(plan.zones) > 1 else ""
    clock = plan.timezone or "the site's own clock"
    rows = [f"The {plan.kind} plan: {len(plan.days)} days, a crew of {plan.crew}{zones}, "
            f"by {clock}"]  # fmt: skip
    if len(plan.zones) > 1:
        for zone in plan.zones:
            rooms = ", ".join(zone.rooms)
            area = spoken(zone.area_m2, "m²")
            rows.append(f"  zone {zone.number}: {area}, {rooms}")
    for day in plan.days:
        rows.append(f"\nDay {day.number}, {day.date:%a %b} {day.date.day}, "
                    f"{hour(day.opens.time())} to {hour(day.closes.time())}")  # fmt: skip
        for slot in day.slots:
            between = f"{hour(slot.start.time())} – {hour(slot.end.time())}"
            rows.append(f"  {between:<20} {slot.name}")
            if slot.window is not None:
                rows.append(
                    f"{'':<23}window {clocked(slot.window.earliest)} to "
                    f"{clocked(slot.window.latest)}"
                )
        rows += wrap(day.wait, _WIDE, initial_indent="  ⋯ ", subsequent_indent="    ")
    back = plan.back
    rows += [
        "",
        f"Shoes {_day(back.shoes)}, light furniture {_day(back.furniture)}, "
        f"wheels and rugs {_day(back.wheels)}",
    ]
    rows += [f"\n! {c.about}: {c.says} {c.fix}" for c in plan.concerns]
    return "\n".join(rows)


def _day(at: datetime) -> str:
    return f"{at:%a %b} {at.day}"
