"""A floor without a dry way out: refused with the order that each fix gives, or mended."""

from dataclasses import replace

import pytest
from sheets import PLAIN

from kit.cli import main
from kit.errors import PlanError
from kit.job import Job, Pictures, workup
from kit.job.packing import packing_of
from kit.jobpack import crew_view, job_pack

NECK = PLAIN.replace(
    """walls = ["E 20'", "N 15'", "W 20'", "S 15'"]""",
    """corners = [["0 ft", "0 ft"], ["9'", "0 ft"], ["9'", "7'"], ["13'", "7'"],
    ["13'", "0 ft"], ["20'", "0 ft"], ["20'", "15'"], ["13'", "15'"], ["13'", "8'"],
    ["9'", "8'"], ["9'", "15'"], ["0 ft", "15'"]]""",
)
HALL = """
[crew]
people = 1
[[climate.reading]]
at = 2026-03-02T08:00:00
where = "middle"
air = "76 F"
slab = "76 F"
humidity = "40 %"
"""


@pytest.fixture
def sheet(tmp_path):
    path = tmp_path / "neck.toml"
    path.write_text(NECK, encoding="utf-8")
    return path


def worked(path):
    job = Job.from_sheet(path)
    answers = workup(job)
    return job, answers, Pictures(job.recipe, answers.plan)


def test_the_refusal_names_each_fix_that_gives_an_order_with_it(sheet, tmp_path, capsys):
    out = tmp_path / "pack.pdf"

    assert main(["plan", str(sheet), "--out", str(out)]) == 2

    said = capsys.readouterr().err
    assert "77 sq ft behind a neck" in said
    assert "--fix exit: a second exit in the south wall of Den, far side" in said
    assert "its middle 3′ 6″ from the west corner" in said
    assert "Closet → Den, far side → Den → out" in said
    assert "--fix shoes" not in said
    assert "--fix days" not in said
    assert not out.exists()


@pytest.mark.parametrize("by", ["option", "sheet"])
def test_a_fix_that_is_chosen_makes_the_pack(sheet, by):
    if by == "sheet":
        sheet.write_text(f'{NECK}[crew]\nfix = "exit"\n', encoding="utf-8")
    job, answers, pictures = worked(sheet)
    packing = packing_of(job, answers, pictures, fix="exit" if by == "option" else None)

    plan = packing.floor.answers.plan
    assert [way.room for way in plan.exits] == ["Den, far side"]
    for mixing in packing.pouring.mixings:
        for lane in mixing.order.lanes:
            assert lane.onto is None or lane.onto > lane.number
            assert lane.way_out[-1] == "out"
    view = crew_view(
        job, packing.floor.answers, packing.pouring, pictures.shelf,
        gate=packing.gate, schedule=packing.schedule, fixes=packing.floor.says,
    )  # fmt: skip
    (told,) = [fact.says for fact in view.facts if fact.name == "To get out dry"]
    assert told.startswith("a second exit in the south wall of Den, far side")
    signs = [word.words for word in view.overview.words if word.kind == "station"]
    assert sorted(signs) == ["MIX · OUT", "OUT"]
    assert job_pack(view).startswith(b"%PDF")


def test_ribbons_are_those_of_the_picture_though_the_floor_is_mended(sheet):
    job, answers, pictures = worked(sheet)
    packing = packing_of(job, answers, pictures, fix="exit")

    whole_m2 = sum(ribbon.shape.area for ribbon in packing.pouring.ribbons)
    assert whole_m2 == pytest.approx(answers.plan.surface.area, rel=1e-6)
    assert packing.pouring.flood.volume_l == pytest.approx(
        next(c for c in answers.system.coats if c.kind == "flood").volume_l, abs=0.01
    )


def test_a_fix_that_gives_no_order_is_refused_with_what_would(sheet):
    job, answers, pictures = worked(sheet)
    with pytest.raises(PlanError, match=r"a second exit.*--fix days gives no order"):
        packing_of(job, answers, pictures, fix="days")


def test_a_floor_that_can_be_left_dry_is_not_changed(demo_job, demo_workup, pictures):
    packing = packing_of(demo_job, demo_workup, pictures, fix="exit")

    assert packing.floor.says == ()
    assert packing.floor.answers == replace(demo_workup)


def test_an_order_whose_days_cannot_be_planned_is_told_as_that(tmp_path, capsys):
    path = tmp_path / "neck.toml"
    path.write_text(f"{NECK}[crew]\ndone_by = 2026-03-10\n", encoding="utf-8")

    assert main(["plan", str(path), "--out", str(tmp_path / "pack.pdf")]) == 2

    said = capsys.readouterr().err
    assert "no --fix gives an order whose days can be planned" in said
    assert "without days there is --fix exit: a second exit in the south wall" in said


@pytest.mark.slow
def test_a_hall_too_wide_for_one_is_laid_in_parts_on_days_of_their_own(tmp_path):
    text = PLAIN.replace("E 20'", "E 60'").replace("N 15'", "N 60'")
    text = text.replace("W 20'", "W 60'").replace("S 15'", "S 60'")
    text = text.replace("[\"20' 6", "[\"60' 6").replace('["20\'"', '["60\'"')
    path = tmp_path / "hall.toml"
    path.write_text(text + HALL, encoding="utf-8")
    job, answers, pictures = worked(path)

    packing = packing_of(job, answers, pictures, fix="days")
    floods = [
        slot for slot in packing.schedule.slots
        if slot.layer is not None and slot.layer.key == "flood"
    ]  # fmt: skip
    days = {}
    for slot in floods:
        for room in slot.zone.rooms:
            days.setdefault(room, set()).add(slot.start.date())
    assert not days["Den, part 1"] & days["Den, part 2"]
    assert max(days["Den, part 1"]) < min(days["Den, part 2"])
