"""The days on the command line: gate, plan, calendar, chart, and what is refused."""

import io
from datetime import date

import pytest
from icalendar import Calendar
from PIL import Image
from sheets import PLAIN

from kit.cli import main
from kit.errors import SheetError
from kit.job import Job, workup
from kit.job.days import days_of
from kit.work.calendar import calendar
from kit.work.chart import chart_of

READ = """
[[slab.reading]]
kind = "rh"
value = 70
unit = "%"
where = "den, middle"
day = 2026-02-20
[crew]
begin = 2026-03-09
timezone = "America/Chicago"
"""
FOR = {"title": "Den", "number": "T-1", "place": "1 Loop Road", "stamped": date(2026, 3, 2)}


def sheet_with(tmp_path, more):
    path = tmp_path / "den.toml"
    path.write_text(PLAIN + more, encoding="utf-8")
    return path


@pytest.fixture
def sheet(tmp_path):
    return sheet_with(tmp_path, READ)


@pytest.fixture(scope="module")
def plan(tmp_path_factory):
    job = Job.from_sheet(sheet_with(tmp_path_factory.mktemp("den"), READ))
    return days_of(job, workup(job)).plans.shortest


def test_gate_times_and_plan_are_printed(sheet, capsys):
    assert main(["days", str(sheet)]) == 0

    said = capsys.readouterr().out
    assert said.startswith("Site gate: stop")
    assert "✗ stop     Slab above the dew point, now" in said
    assert "sq ft ask for 3: read 2 more." in " ".join(said.split())
    assert "pot life of" in said
    assert "Arrhenius" in said
    assert "Day 1, Mon Mar 9, 7:30 am to 5:00 pm" in said
    assert "  window " in said
    assert "Shoes" in said


def test_calendar_and_chart_are_written(sheet, tmp_path, capsys):
    ics, chart = tmp_path / "den.ics", tmp_path / "den.svg"

    assert main(["days", str(sheet), "--ics", str(ics), "--chart", str(chart)]) == 0

    assert Calendar.from_ical(ics.read_bytes())["prodid"] == "-//Pourtable//days//EN"
    assert chart.read_bytes().startswith(b"<?xml")
    assert main(["days", str(sheet), "--ics", str(tmp_path / "den.txt")]) == 2
    assert "found den.txt; expected a name ending in .ics" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("more", "line"),
    [
        (READ.replace('unit = "%"\n', ""), "slab, reading 1, unit: found nothing"),
        (READ.replace("den, middle", ""), "slab, reading 1, where: found nothing"),
        (READ + "people = 0\n", "crew, people: found 0; expected at least 1"),
        (READ + 'until = "08:00"\n', "crew, until: found 0.5 h a day; expected more than"),
    ],
)
def test_what_cannot_be_planned_on_is_named_and_nothing_written(
    tmp_path, capsys, more, line
):
    ics = tmp_path / "den.ics"

    code = main(["days", str(sheet_with(tmp_path, more)), "--ics", str(ics)])

    said = capsys.readouterr()
    assert code == 2
    assert line in said.err
    assert said.err.count("\n") == 1
    assert said.out == ""
    assert not ics.exists()


def test_no_plan_says_what_blocks_and_what_frees(tmp_path, capsys):
    cold = """
[[climate.reading]]
at = 2026-03-08T08:00:00
where = "corner"
air = "54 °F"
humidity = "40 %"
slab = "52 °F"
"""

    code = main(["days", str(sheet_with(tmp_path, READ + cold))])

    said = capsys.readouterr().out
    assert code == 1
    assert "No plan holds the next coat not before" in said
    assert "A plan is possible with" in said
    assert "the slab kept at 65 °F" in said


def test_a_calendar_reads_back_in_its_time_zone(plan):
    events = list(Calendar.from_ical(calendar(plan, **FOR)).walk("VEVENT"))
    timed = [e for e in events if "DTEND" in e]
    (zone,) = Calendar.from_ical(calendar(plan, **FOR)).walk("VTIMEZONE")

    assert zone["tzid"] == "America/Chicago"
    assert len(timed) == len(plan.slots)
    for event, slot in zip(timed, plan.slots, strict=True):
        assert event.start == slot.start
        assert event.end == slot.end
        assert event["dtstart"].params["TZID"] == "America/Chicago"
    assert len({str(event["uid"]) for event in events}) == len(events)


def test_a_calendar_is_the_same_each_time_and_another_for_another_job(plan):
    once = calendar(plan, **FOR)
    other = calendar(plan, **{**FOR, "number": "T-2"})

    assert once == calendar(plan, **FOR)
    uids = [{str(e["uid"]) for e in Calendar.from_ical(c).walk("VEVENT")}
            for c in (once, other)]  # fmt: skip
    assert not uids[0] & uids[1]


def test_a_calendar_without_a_time_zone_is_refused(tmp_path):
    job = Job.from_sheet(
        sheet_with(tmp_path, READ.replace('timezone = "America/Chicago"\n', ""))
    )
    plan = days_of(job, workup(job)).plans.shortest

    with pytest.raises(SheetError, match="crew, timezone: found nothing"):
        calendar(plan, **FOR)


def test_clocks_going_forward_at_night_take_an_hour_from_the_wait(tmp_path):
    """On Mar 8 2026 clocks in Chicago go forward at 2:00: 12 h after 20:00 is 9:00."""
    from datetime import datetime, time
    from zoneinfo import ZoneInfo

    from kit.work.expected import Clock

    clock = Clock(datetime.combine(date(2026, 3, 7), time(), ZoneInfo("America/Chicago")))
    evening = int(clock.quarter(datetime(2026, 3, 7, 20)))

    assert clock.at(evening + 48).strftime("%a %H:%M") == "Sun 09:00"


@pytest.mark.parametrize("form", ["png", "svg", "pdf"])
def test_a_chart_is_the_same_each_time(plan, form):
    assert chart_of(plan, form=form) == chart_of(plan, form=form)


def test_coats_are_told_apart_without_color(plan):
    """The chart's inks are grays: each pixel's red, green and blue are nearly one."""
    picture = Image.open(io.BytesIO(chart_of(plan, dots_per_in=72))).convert("RGB")
    colors = picture.getcolors(1 << 20)

    assert max(max(c) - min(c) for _, c in colors) <= 20
    lightness = {sum(c) // 3 // 32 for _, c in colors}
    assert len(lightness) >= 4
