"""The plan to scale and the table of areas, as the client reads them."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from kit.press.drawing import plan_drawing
from kit.press.page import Drawing, Page
from kit.press.scale import METRIC_SCALES, SCALES, Scale, largest_that_fits
from kit.proposal import figures
from kit.proposal.catalogue import Words
from kit.proposal.measures import Measures
from kit.proposal.shown import PlanSheet, RoomRow

if TYPE_CHECKING:
    from kit.job import Workup
    from kit.plan.floor import FloorPlan
    from kit.takeoff import Takeoff

PLAN_FRAME_TALL_PT = 330.0
"""A plan of this height leaves its page room for areas and scope of a usual floor."""
LEAST_BESIDES_PT = 170.0
"""What heading, areas and scope of the smallest floor take of the page."""
TALLER_STEP_PT = 60.0
AROUND_PT = 32.0
LONGEST_ALT = 900


def plan_sheets(answers: Workup, page: Page, measures: Measures) -> tuple[PlanSheet, ...]:
    """Draw the plan, and list what was measured.

    Returns
    -------
    tuple of PlanSheet
        At scales that fit a page, the largest first; the last one leaves room for what
        is told below a plan.
    """
    sheets: dict[Scale, PlanSheet] = {}
    tall_pt = page.tall_pt - LEAST_BESIDES_PT
    while tall_pt > PLAN_FRAME_TALL_PT:
        scale = _scale_in((page.wide_pt, tall_pt), AROUND_PT, answers.plan, measures)
        if scale not in sheets:
            sheets[scale] = _plan_sheet(answers, (page.wide_pt, tall_pt), measures)
        tall_pt -= TALLER_STEP_PT
    usual = _plan_sheet(answers, (page.wide_pt, PLAN_FRAME_TALL_PT), measures)
    return *(one for one in sheets.values() if one.scale != usual.scale), usual


def _plan_sheet(
    answers: Workup, frame_pt: tuple[float, float], measures: Measures
) -> PlanSheet:
    plan, takeoff, say = answers.plan, answers.takeoff, measures.words
    rows, poured, rounded = area_rows(takeoff, measures)
    unit = measures.area_unit
    areas = {
        row.name: f"{row.area} {unit}".replace(" ", "\N{NO-BREAK SPACE}") for row in rows
    }
    rooms = say.listed(
        [say("plan.alt_room", name=name, area=area) for name, area in areas.items()],
        apart=True,
    )
    leaves = ""
    if plan.way_out.is_marked:
        leaves = f" {say('plan.alt_way_out', room=plan.way_out.room)}"
    scale, drawing = _drawn_to_scale(plan, areas, frame_pt, (rooms, leaves), measures)
    keys = {label.words for label in drawing.labels if label.tone == "key"}
    return PlanSheet(
        drawing=drawing,
        scale=scale.words,
        bar=str(scale.bar),
        bar_pt=scale.bar_pt,
        rooms=tuple(
            replace(row, key=str(number) if str(number) in keys else "")
            for number, row in enumerate(rows, start=1)
        ),
        poured=poured,
        basis=f"{say.told(takeoff.rule)} {rounded}".strip(),
        area_unit=unit,
        length_unit=measures.length_unit,
    )


def _drawn_to_scale(
    plan: FloorPlan,
    areas: dict[str, str],
    frame_pt: tuple[float, float],
    told: tuple[str, str],
    measures: Measures,
) -> tuple[Scale, Drawing]:
    """The plan at the largest scale at which it, with all its lengths, fits the page."""
    say, (rooms, leaves) = measures.words, told
    around = AROUND_PT
    while True:
        scale = _scale_in(frame_pt, around, plan, measures)
        alt = _shortened(f"{say('plan.alt', scale=scale.words, rooms=rooms)}{leaves}", say)
        drawing = plan_drawing(plan, scale, areas, alt=alt, way_out=say("plan.way_out"))
        beyond = drawing.width_pt - frame_pt[0]
        if beyond <= 0:
            return scale, drawing
        around += beyond / 2


def _scale_in(
    frame_pt: tuple[float, float], around_pt: float, plan: FloorPlan, measures: Measures
) -> Scale:
    west, south, east, north = plan.bounds_m
    return largest_that_fits(
        east - west,
        north - south,
        frame_pt=frame_pt,
        around_pt=around_pt,
        scales=METRIC_SCALES if measures.is_metric else SCALES,
    )


def area_rows(
    takeoff: Takeoff, measures: Measures
) -> tuple[tuple[RoomRow, ...], RoomRow, str]:
    """Every figure rounded by itself, the sums too."""
    say, locale = measures.words, measures.words.locale
    named = [(room.name, room.net_m2, room.perimeter_m) for room in takeoff.rooms]
    if takeoff.thresholds_m2 > 0:
        named.append((say("plan.doorways"), takeoff.thresholds_m2, 0.0))
    floors = [measures.of_area(net) for _, net, _ in named]
    runs = [measures.of_length(walls) for _, _, walls in named]
    whole, around = measures.of_area(takeoff.net_m2), sum(runs)
    rows = tuple(
        RoomRow(
            name, figures.tenths(area, locale), figures.tenths(run, locale) if run else ""
        )
        for (name, _, _), area, run in zip(named, floors, runs, strict=True)
    )
    poured = RoomRow(
        say("plan.poured"), figures.tenths(whole, locale), figures.tenths(around, locale)
    )
    apart = (
        not figures.tenths_add_up(floors, whole),
        not figures.tenths_add_up(runs, around),
    )
    notes = {
        (True, False): "plan.rounded_areas",
        (False, True): "plan.rounded_walls",
        (True, True): "plan.rounded_both",
    }
    return rows, poured, say(notes[apart]) if any(apart) else ""


def _shortened(alt: str, say: Words) -> str:
    if len(alt) <= LONGEST_ALT:
        return alt
    return say("paper.shortened", words=alt[: LONGEST_ALT - 20].rsplit(" ", 1)[0])
