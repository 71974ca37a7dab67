"""From a worked-up job and its pouring to what the crew reads, and no price."""

from __future__ import annotations

from kit.coats.system import Coat
from kit.job.clocked import Clocked, clocked, same_lanes
from kit.job.pouring import Pouring
from kit.job.records import Job
from kit.job.working import Workup
from kit.jobpack.cards import board_tables, card_sheets
from kit.jobpack.lists import (
    film_log,
    lane_tables,
    lot_log,
    order_tables,
    photo_list,
)
from kit.jobpack.maps import floor_map
from kit.jobpack.planned import (
    back_in_use,
    days_shown,
    gate_table,
    on_site,
    unchecked,
    verdict_of,
)
from kit.jobpack.shown import CrewView, Fact, Map, Steps
from kit.press.names import check_names
from kit.press.page import PAGES, Page
from kit.stock.shelf import Shelf
from kit.stock.steps import When
from kit.units import fahrenheit, mils, square_feet
from kit.work.dayplan import Schedule
from kit.work.verdicts import GateReport

READ_A_DAY, USUAL_DAYS, MOST_DAYS = 6, 5, 30
"""Climate is read every four hours; days where none are planned, and the most."""
EVENING_AND_AFTER = 5
"""Days of it beside those between coats: the last coat, the evening before, three after."""
SMALL_ROOM_M2 = 12.0
"""Rooms up to here share a page."""
SMALL_MAP_PT = 245.0
STEP_TITLES: dict[When, str] = {
    "prepare": "Before the first bucket",
    "primer": "Primer",
    "seal": "Seal coat",
    "between": "Between coats",
    "flood": "Flood coat",
    "wear": "Wear coat",
    "after": "When the last coat is down",
}
BOARD_SAYS = (
    "Two by two feet, on the same base, before the floor is begun: seal it, let it harden, "
    "pour the ribbons side by side, trowel as on the floor, lay the wear coat. Show it in "
    "the room's own light and have it signed. Amounts are for one board and a little over."
)


LEGEND = (
    "Numbers are lanes in turn, an arrow is the way a lane is laid, a double line is tape. "
    "Stand on the higher number. Buckets are mixed outside, by the way out."
)
ALL_COATS = " Every coat is laid in these lanes, in this turn."
BOTH_ENDS = " Two lay: one from each end of a lane, to meet at ×."


def crew_view(
    job: Job,
    answers: Workup,
    pouring: Pouring,
    shelf: Shelf,
    *,
    gate: GateReport | None = None,
    schedule: Schedule | None = None,
    fixes: tuple[str, ...] = (),
    page: Page | None = None,
) -> CrewView:
    """Show a job as its crew may read it.

    Parameters
    ----------
    job : Job
    answers : Workup
    pouring : Pouring
        Of that job, see `kit.job.pouring`.
    shelf : Shelf
    gate : GateReport, optional
        What the site gate says; without it the pack says that nothing was checked.
    schedule : Schedule, optional
        Days by the clock; the stages of the work without it.
    fixes : tuple of str
        What is done on site for every room to be left dry.
    page : Page, optional
        Letter or A4; what the job says, unless given.

    Raises
    ------
    PaperError
        If a name on the measure sheet cannot be printed.
    """
    check_names(job)
    page = page or PAGES[job.paper.page]
    client = job.site.client
    verdict, verdict_says = verdict_of(gate)
    overview = _overview(answers, pouring, page)
    pours = clocked(schedule, pouring) if schedule is not None else ()
    return CrewView(
        page=page,
        title=f"Job pack: {job.title}",
        number=job.number,
        dated=job.date,
        date=f"{job.date:%B} {job.date.day}, {job.date.year}",
        firm=job.firm.name,
        client=client.name,
        place=f"{client.name}, {client.address}" if client.address else client.name,
        verdict=verdict,
        verdict_says=verdict_says,
        facts=_facts(answers, pouring, schedule, fixes),
        unchecked=unchecked(gate),
        colours=_colours(pouring),
        overview=overview,
        maps=_maps(answers, pouring, page, turned=overview.turned),
        lanes=lane_tables(pouring),
        sheets=card_sheets(pouring),
        orders=order_tables(answers),
        days=days_shown(answers.work, schedule, pours),
        back=back_in_use(schedule),
        steps=_steps(shelf, answers),
        gate=gate_table(gate),
        cautions=tuple(Fact(one.title, one.crew) for one in answers.cautions if one.crew),
        board=board_tables(answers.system),
        board_says=BOARD_SAYS,
        climate_rows=_climate_rows(pours),
        film=film_log(pouring),
        lots=lot_log(pouring),
        photos=photo_list(pouring, answers),
    )


def _climate_rows(pours: tuple[Clocked, ...]) -> int:
    """Rows of the climate log, from the evening before the first coat."""
    days = USUAL_DAYS
    if pours:
        days = (pours[-1].start.date() - pours[0].start.date()).days + EVENING_AND_AFTER
    return READ_A_DAY * min(days, MOST_DAYS)


def _facts(
    answers: Workup,
    pouring: Pouring,
    schedule: Schedule | None,
    fixes: tuple[str, ...],
) -> tuple[Fact, ...]:
    order = pouring.order
    area = f"{square_feet(answers.takeoff.net_m2):,.0f} sq ft in {len(answers.plan.rooms)} "
    area += "room" if len(answers.plan.rooms) == 1 else "rooms"
    mixers = 2 if pouring.people > 3 else 1
    hands = (
        f"{pouring.people}: {max(pouring.people - mixers, 1)} lay, {mixers} at the buckets"
    )
    if max(batch.mixer for batch in pouring.flood.batches) > mixers:
        hands += f"; mixer {mixers + 1} of the cards is lent from the lane"
    rooms = " → ".join(dict.fromkeys(lane.room for lane in order.lanes))
    zones = f"{order.days} zone{'s' if order.days > 1 else ''}, {len(order.lanes)} lanes"
    warm = f"{fahrenheit(pouring.flood.slab_c):.0f} °F"
    return (
        Fact("Floor", area),
        Fact("Crew", "1, who lays and mixes in turn" if pouring.people == 1 else hands),
        Fact("Days on site", on_site(answers.work, schedule)),
        Fact("Coats", "; ".join(_coat(coat) for coat in answers.system.coats)),
        Fact("Flood coat", f"{zones}, {len(pouring.flood.batches)} buckets"),
        Fact("Rooms in turn", f"{rooms} → out"[:880]),
        Fact("Way out", f"by {answers.plan.way_out.room}; buckets are mixed outside of it"),
        *((Fact("To get out dry", "; ".join(fixes)),) if fixes else ()),
        Fact("Bucket lasts", f"{pouring.flood.pot_life_min:.0f} min when full, film on the "
             f"floor {pouring.flood.working_min:.0f} min, slab at {warm}"),
        Fact("A stop of 10 min", _stops(pouring)),
    )  # fmt: skip


def _coat(coat: Coat) -> str:
    passes = f", {coat.passes} passes" if coat.passes > 1 else ""
    return f"{coat.name}, {mils(coat.film_um):.0f} mil{passes}"


def _stops(pouring: Pouring) -> str:
    hurt = [
        f"{plan.name}, set {one.number}"
        for plan in pouring.mixings
        for one in plan.sets
        if one.late
    ]
    if not hurt:
        return "breaks nothing, whenever it comes"
    told = "; ".join(hurt[:6]) + (f" and {len(hurt) - 6} more" if len(hurt) > 6 else "")
    return f"hurts in {told}: see the cards"


def _colours(pouring: Pouring) -> tuple[Fact, ...]:
    coat = pouring.flood.coat
    return tuple(
        Fact(chr(ord("A") + place), f"{need.name}, {need.share:.0%}")
        for place, need in enumerate(coat.pigments)
    )


def _overview(answers: Workup, pouring: Pouring, page: Page) -> Map:
    note = LEGEND
    if all(same_lanes(plan.order.lanes, pouring.order.lanes) for plan in pouring.mixings):
        note += ALL_COATS
    if pouring.order.pace.at_lane > 1:
        note += BOTH_ENDS
    return floor_map(
        answers.plan,
        pouring.order,
        title="Lanes and order",
        note=note,
        frame_pt=(page.wide_pt, page.height_pt - 197.0),
    )


def _maps(
    answers: Workup, pouring: Pouring, page: Page, *, turned: bool
) -> tuple[Map, ...]:
    """Ribbons of each room, large, as the floor lies on the overview, in turn."""
    by_name = {room.name: room for room in answers.plan.rooms}
    return tuple(
        floor_map(
            answers.plan,
            pouring.order,
            title=way.room,
            note="",
            frame_pt=(page.wide_pt, _high(by_name[way.room].poured.area, place, page)),
            ribbons=pouring.ribbons,
            room=way.room,
            turned=turned,
        )
        for place, way in enumerate(pouring.order.headings)
    )


def _high(area_m2: float, place: int, page: Page) -> float:
    """How high the map of a room may be; the first has the legend over it. [pt]"""
    if area_m2 <= SMALL_ROOM_M2:
        return SMALL_MAP_PT
    return page.height_pt - (340.0 if place == 0 else 205.0)


def _steps(shelf: Shelf, answers: Workup) -> tuple[Steps, ...]:
    kinds = {coat.kind for coat in answers.system.coats}
    optional = {"primer", "seal", "flood", "wear"} - kinds
    found = []
    for when, title in STEP_TITLES.items():
        says = tuple(step.says for step in shelf.steps if step.when == when)
        if says and when not in optional:
            found.append(Steps(title, says))
    return tuple(found)
