"""Days, calendar, chart and pack have one clock: that of the pour's own lanes."""

import re
from contextlib import redirect_stdout
from dataclasses import replace
from datetime import datetime, time, timedelta
from io import StringIO

import pytest
from icalendar import Calendar
from jobpack.conftest import BASEMENT

from kit.cli import main
from kit.job import Job, Pictures, workup
from kit.job.clocked import clocked, pour_time, zone_times
from kit.job.packing import packing_of
from kit.job.pouring import pouring_of
from kit.jobpack import crew_view
from kit.plan.order import pour_order
from kit.site.climate import Expected
from kit.work import chart
from kit.work.layers import zones_of

HOURS = re.compile(r"(\d+:\d\d [ap]m) +– +(\d+:\d\d [ap]m)")


def told(text):
    """Every pair of hours that a text names, in turn."""
    return HOURS.findall(text.replace("\N{NO-BREAK SPACE}", " "))


def said(argv):
    out = StringIO()
    with redirect_stdout(out):
        assert main(argv) == 0
    return out.getvalue()


def agree(sheet, view, packing, folder, monkeypatch):
    """Hours of all work by the pack, by `days`, by the calendar and on the chart."""
    drawn = []
    monkeypatch.setattr(chart, "_words", lambda slot: drawn.append(slot) or ("coat",))
    ics = folder / "days.ics"
    argv = ["days", str(sheet), "--chart", str(folder / "days.svg")]
    if packing.schedule.timezone:
        argv += ["--ics", str(ics)]
    text = said(argv)
    pack = [told(row.cells[0])[0] for day in view.days for row in day.rows]

    assert told(text) == pack
    pours = clocked(packing.schedule, packing.pouring)
    coats = [slot for slot in packing.schedule.slots if slot.activity == "coat"]
    assert [(one.start, one.closed) for one in pours] == [(s.start, s.end) for s in coats]
    assert set(drawn) == set(packing.schedule.slots)
    if packing.schedule.timezone:
        events = [
            (event.start, event.end)
            for event in Calendar.from_ical(ics.read_bytes()).walk("VEVENT")
            if "DTEND" in event
        ]
        assert events == [(slot.start, slot.end) for slot in packing.schedule.slots]


def test_the_demo_has_one_clock(demo_sheet, view, packing, tmp_path, monkeypatch):
    agree(demo_sheet, view, packing, tmp_path, monkeypatch)


@pytest.mark.slow
def test_a_basement_of_3848_square_feet_has_one_clock(
    basement, pictures, tmp_path, monkeypatch
):
    job, answers, packing = basement
    view = crew_view(
        job, answers, packing.pouring, pictures.shelf, gate=packing.gate,
        schedule=packing.schedule,
    )  # fmt: skip
    agree(BASEMENT, view, packing, tmp_path, monkeypatch)


def test_days_of_what_cannot_be_poured_say_that_they_are_the_bids(demo_sheet, tmp_path):
    text = demo_sheet.read_text(encoding="utf-8")
    narrow = re.sub(r'(\[way_out\]\n(?:.+\n)+?width = )"3\'"', r'\1"1 ft"', text)
    sheet = tmp_path / "narrow.toml"
    sheet.write_text(narrow, encoding="utf-8")

    out = " ".join(said(["days", str(sheet)]).split())

    assert "The pour itself cannot be planned (room" in out
    assert "coats have the hours that the bid counts" in out


def test_more_people_are_on_site_on_every_day_of_the_plan(demo_job, demo_workup, pictures):
    packing = packing_of(demo_job, demo_workup, pictures, people=4)

    assert packing.schedule.crew == packing.pouring.people == 4
    assert {slot.people for slot in packing.schedule.slots} == {4}


def test_a_coat_in_other_lanes_is_held_to_all_that_each_of_them_lies_on(packing):
    """Every overlap of two lanes is gone through here, by their own clocks."""
    (zone,) = packing.schedule.zones
    layers, mixings = packing.schedule.layers, packing.pouring.mixings
    flood, wear = mixings[1], mixings[2]
    fifths = {room: m2 / 5 for room, m2 in wear.order.lane_m2.items()}
    finer = pour_order(packing.floor.answers.plan, wear.order.pace, lane_m2=fifths)
    assert len(finer.lanes) > len(flood.order.lanes)
    other = replace(
        packing.pouring, mixings=(mixings[0], flood, replace(wear, order=finer))
    )

    takes = zone_times(layers, other, zone, zone.area_m2)[2]
    flood_zero, wear_zero = (
        pour_time(layers[n], other.mixings[n], zone, zone.area_m2, 2).zero_min
        for n in (1, 2)
    )
    latest = max(
        (wear_zero + over.to_min) - (flood_zero + under.from_min)
        for over in finer.lanes
        for under in flood.order.lanes
        if over.shape.intersection(under.shape).area > 0.05
    )
    assert takes.behind_h == pytest.approx(latest / 60)
    assert takes.behind_h < takes.hours


def one_set_of_lanes(mixings):
    """Every coat in the same lanes, on the same zones."""
    first = mixings[0].order.lanes
    for plan in mixings:
        lanes = plan.order.lanes
        assert [lane.day for lane in lanes] == [lane.day for lane in first]
        for one, other in zip(lanes, first, strict=True):
            assert one.shape.symmetric_difference(other.shape).area < 1e-6


def test_every_coat_is_laid_in_the_same_lanes(packing):
    one_set_of_lanes(packing.pouring.mixings)


@pytest.mark.slow
def test_a_hall_that_is_cut_ends_its_zones_at_the_same_line_in_every_coat(demo_sheet):
    """Its flood coat asks for finer lanes than the others: all are laid in those."""
    job = Job.from_sheet(demo_sheet.parent / "netloft.toml")
    answers = workup(job)
    zones = zones_of(answers.plan, answers.takeoff.net_m2, 2)
    pouring = pouring_of(
        job, answers, Pictures(job.recipe, answers.plan), people=2, zones=zones
    )

    assert pouring.order.days == 2
    one_set_of_lanes(pouring.mixings)


def test_the_pour_is_planned_for_the_warmest_slab_of_its_own_days(
    demo_job, demo_workup, pictures
):
    """Two cool weeks with a heat wave that no coat is laid in."""
    begin = datetime.combine(demo_job.site.crew.begin, time())
    rows = tuple(
        Expected(
            at=begin + timedelta(hours=6 * n), air="84 F" if n // 4 == 9 else "66 F",
            slab="66 F", humidity="50 %",
        )
        for n in range(80)
    )  # fmt: skip
    climate = demo_job.site.climate.changed(forecast=rows)
    job = demo_job.changed(site=demo_job.site.changed(climate=climate))
    packing = packing_of(job, demo_workup, pictures)

    assert packing.pouring.flood.slab_c == pytest.approx(18.89, abs=0.01)
