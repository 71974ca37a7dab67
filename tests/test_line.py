"""The whole line: one wall changed on the sheet is felt in every answer."""

import pytest
from sheets import PLAIN

from kit.job import Job, Pictures, job_from, workup
from kit.site import tables


def longer(feet):
    """The plain job with its den `feet` longer."""
    text = PLAIN.replace('"E 20\'", "N 15\'"', f'"E 20\'", "N {15 + feet}\'"')
    return job_from(tables(text.replace('"S 15\'"]', f'"S {15 + feet}\'"]')))


@pytest.fixture(scope="module")
def two():
    jobs = longer(0), longer(12)
    return [(job, workup(job)) for job in jobs]


def test_a_longer_wall_changes_area_kits_and_price(two):
    (_, before), (_, after) = two
    kits = [[one.order.packs for one in w.system.purchases] for w in (before, after)]

    assert after.takeoff.net_m2 - before.takeoff.net_m2 == pytest.approx(
        240 * 0.3048**2, abs=1e-4
    )
    assert kits[0] != kits[1]
    assert after.offer.total > before.offer.total
    assert after.plan.surface.bounds != before.plan.surface.bounds


@pytest.mark.picture
def test_a_longer_wall_changes_the_picture(two):
    shots = [
        Pictures(job.recipe, w.plan).shown("above", "matte", width_px=160, height_px=120)
        for job, w in two
    ]

    assert (shots[0].rgb != shots[1].rgb).mean() > 0.2


def test_a_job_survives_being_written_down(demo_job):
    assert Job.model_validate_json(demo_job.model_dump_json(by_alias=True)) == demo_job


def test_the_demo_is_what_it_says(demo_workup):
    assert float(demo_workup.offer.area_sqft) == pytest.approx(641.2, abs=0.1)
    assert 6 <= demo_workup.offer.price_per_sqft <= 20
    assert [o.finish for o in demo_workup.offer.options if o.chosen] == ["matte"]
