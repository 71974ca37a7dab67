"""Which hours belong to which film: nothing is lost, nothing counted twice."""

import pytest
from plans import SHELF

from kit.job import Job, workup
from kit.plan.heading import rooms_in_turn
from kit.work.layers import layers_of, walk_through_h, zones_of

EXTRAS = [
    (),
    ("moisture_primer",),
    ("second_flood", "cove"),
    ("moisture_primer", "second_flood", "extra_color"),
]


@pytest.mark.parametrize("sheet", ["boathouse.toml", "chart_house.toml", "netloft.toml"])
@pytest.mark.parametrize("extras", EXTRAS, ids=" ".join)
def test_every_hour_of_the_bid_is_in_the_plan(demo_sheet, sheet, extras):
    answers = workup(Job.from_sheet(demo_sheet.parent / sheet).changed(extras=extras))
    layers, prepare_h = layers_of(answers.system, answers.work, SHELF)
    daily_h = sum(t.labor_h for t in answers.work.tasks if t.key == "set_up")
    last_h = walk_through_h(answers.work, SHELF)

    planned_h = sum(layer.labor_h for layer in layers) + prepare_h + daily_h + last_h
    assert planned_h == pytest.approx(answers.work.crew_hours)
    assert all(layer.labor_h > 0 for layer in layers)
    assert last_h > 0
    assert len({layer.key for layer in layers}) == len(layers)


def test_the_second_flood_coat_is_laid_in_hours_of_its_own(demo_job):
    """53 m² sanded at 40 and laid at 19 m² an hour, and its share of the buckets."""
    answers = workup(demo_job.changed(extras=("second_flood",)))
    layers, _ = layers_of(answers.system, answers.work, SHELF)
    by_key = {layer.key: layer.labor_h for layer in layers}
    hours = {task.key: task.labor_h for task in answers.work.tasks}
    first, second = (c for c in answers.system.coats if c.kind == "flood")
    share = second.volume_l / (first.volume_l + second.volume_l)

    assert by_key["second_flood"] == pytest.approx(
        hours["key_flood"] + hours["lay_second_flood"] + share * hours["mix_flood"]
    )


def test_rooms_are_taken_from_the_far_end_to_the_way_out(demo_workup):
    """The hall has the door; the alcove lies behind the studio."""
    order = rooms_in_turn(demo_workup.plan)

    assert order[0] == "Kiln alcove"
    assert order[-1] == "Hall"


@pytest.mark.parametrize("count", range(1, 9))
def test_zones_hold_the_whole_floor_and_little_more_each_than_asked(demo_workup, count):
    area_m2 = demo_workup.takeoff.net_m2
    zones = zones_of(demo_workup.plan, area_m2, count)

    assert sum(zone.area_m2 for zone in zones) == pytest.approx(area_m2)
    assert max(zone.area_m2 for zone in zones) <= 1.05 * area_m2 / count + 1e-6
    assert [zone.number for zone in zones] == list(range(1, len(zones) + 1))
    held = [room for zone in zones for room in zone.rooms]
    assert list(dict.fromkeys(held)) == list(rooms_in_turn(demo_workup.plan))
