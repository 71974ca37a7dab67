"""A floor of one coat over another on a steady slab, to plan by hand."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from itertools import pairwise

from floors import one_room
from shapely import box

from kit.site import Crew
from kit.stock import read_shelf
from kit.work.asking import Floor, Terms
from kit.work.dayplan import Layer
from kit.work.expected import steady
from kit.work.planning import day_plans

SHELF = read_shelf()
BEGIN = date(2026, 12, 1)  # a Tuesday
EPOXY = SHELF.product("seal_epoxy")


def floor(
    *hours, wait_h=10.0, until_h=24.0, prepare_h=0.0, set_up_h=0.0, area_m2=50.0,
    filler_h=None, filled_h=0.0,
):  # fmt: skip
    """Films that take one person so many hours, each open between two times at 21 °C."""
    product = EPOXY.changed(recoat_from_h=wait_h, recoat_until_h=until_h)
    layers = tuple(
        Layer(f"coat{n}", f"Coat {n}", product.key, labor_h)
        for n, labor_h in enumerate(hours, start=1)
    )
    plan = one_room(box(0, 0, 10, area_m2 / 10))
    products = tuple((product, SHELF.cure(product)) for _ in layers)
    mortar = SHELF.product("patch_mortar").changed(recoat_from_h=filler_h or 1.0)
    fillers = ((mortar, SHELF.cure(mortar)),) if filler_h else ()
    return Floor(plan, area_m2, layers, products, prepare_h, set_up_h, fillers, filled_h)


def terms(*, people=1, start=8, until=18, slab_c=21.0, **crew):
    """A crew that works from and to full hours, every day unless said."""
    return Terms(
        people=people,
        start=time(start),
        until=time(until),
        crew=Crew(**({"days_off": ()} | crew)),
        begin=BEGIN,
        zone=UTC,
        expected=steady(slab_c),
    )


def planned(job, answers, **crew):
    """Plans of a job with another crew."""
    site = job.site.changed(crew=job.site.crew.changed(**crew))
    return day_plans(
        site,
        answers.plan,
        answers.takeoff,
        answers.system,
        answers.work,
        SHELF,
        begin=BEGIN,
    )


def faults(schedule, *, days_off=("Sun",), setting_up_h=1.25):
    """Everything wrong with a plan, by a checker that knows nothing of how it was made."""
    slots = schedule.slots
    wrong = [
        f"{after.name} begins while {before.name} is laid"
        for before, after in pairwise(slots)
        if after.start < before.end
    ]
    for slot in slots:
        if slot.start.date() != slot.end.date():
            wrong.append(f"{slot.name} runs over midnight")
        if slot.start.strftime("%a") in days_off:
            wrong.append(f"{slot.name} on a day off")
    for day in schedule.days:
        spent = (day.slots[0].start - day.opens) + (day.closes - day.slots[-1].end)
        is_short = day.slots[-1].activity == "walk_through"
        if not is_short and spent < timedelta(hours=setting_up_h):
            wrong.append(f"no time to set up on {day.date}")
    return wrong + _faults_of_coats(schedule)


def _faults_of_coats(schedule):
    slots = schedule.slots
    coats = [slot for slot in slots if slot.activity == "coat"]
    ready = max((s.end for s in slots if s.activity == "prepare"), default=slots[0].start)
    wrong = [f"{slot.name} on a slab not ready" for slot in coats if slot.start < ready]
    by_place = {(slot.zone.number, slot.layer.key): slot for slot in coats}
    keys = [layer.key for layer in schedule.layers]
    for zone in schedule.zones:
        for below, above in pairwise(keys):
            wrong += _recoat(by_place[zone.number, below], by_place[zone.number, above])
    if len(by_place) != len(schedule.zones) * len(keys):
        wrong.append("a coat is missing or laid twice")
    return wrong


def _recoat(first, second):
    """Waiting is told at 21 °C; on a slab that is no warmer it is at least that."""
    product = SHELF.product(first.layer.product)
    wrong = []
    if second.start < second.window.earliest or second.start < first.end:
        wrong.append(f"{second.name} recoats early")
    if second.end > second.window.latest:
        wrong.append(f"{second.name} recoats late")
    if second.end > first.start + timedelta(hours=product.recoat_until_h):
        wrong.append(f"{second.name} recoats later than its sheet allows")
    if second.start < first.end + timedelta(hours=product.recoat_from_h):
        wrong.append(f"{second.name} recoats sooner than at 21 °C")
    return wrong


def at(day, hour, minute=0):
    """A time of the plan's own clock."""
    return datetime(2026, 12, day, hour, minute, tzinfo=UTC)
