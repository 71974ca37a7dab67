"""When the floor may be used again, as its last coat hardens on this slab."""

from __future__ import annotations

import math
from datetime import datetime

import pytest
from bands import Bands

from kit.job import workup
from kit.proposal import client_view, words_in
from kit.proposal.measures import Measures
from kit.proposal.strip import hardening, waited
from kit.site.climate import AirReading, Climate
from kit.stock import read_shelf

SHELF = read_shelf()


def read_at(job, *slabs):
    """The job with its slab read at some temperatures on one day."""
    readings = tuple(
        AirReading(
            at=datetime.fromisoformat("2026-11-18T09:00"),
            where=f"place {number}",
            air="70 °F",
            humidity="40 %",
            slab=slab,
        )
        for number, slab in enumerate(slabs)
    )
    return job.changed(site=job.site.changed(climate=Climate(readings=readings)))


def hard(job):
    return hardening(job.site, SHELF.finish(job.finish), SHELF)


def test_without_a_reading_times_are_those_of_the_product_sheet(demo_job):
    found = hard(read_at(demo_job))
    assert found.slab_c == 25.0
    assert (found.walk_on_h, found.furniture_h, found.wheels_h) == (24, 72, 120)


def test_the_coldest_place_of_the_slab_counts(demo_job):
    found = hard(read_at(demo_job, "68 °F", "59 °F"))
    assert found.slab_c == pytest.approx(15.0)
    # twice as long at 10 °C less is the least that either rule of cure gives, by hand
    assert found.walk_on_h >= 48.0 - 1e-9


def test_a_slab_that_is_too_cold_is_told_at_the_coldest_it_is_laid_on(demo_job):
    least = SHELF.cure(SHELF.product(SHELF.finish("matte").product)).least_c
    assert hard(read_at(demo_job, "35 °F")).slab_c == least


@pytest.mark.parametrize("slab", ["55 °F", "65 °F", "77 °F"])
def test_the_paper_never_tells_a_shorter_wait_than_the_coat_needs(demo_job, slab):
    job = read_at(demo_job, slab)
    days = client_view(job, workup(job), Bands(job)).days
    found = hard(job)
    hours = (found.walk_on_h, found.furniture_h, found.wheels_h)
    for mark, needed in zip(days.returns, hours, strict=True):
        number, unit = mark.words.split(", ")[1].split()[:2]
        told_h = float(number) * {"hours": 1, "days": 24}[unit]
        assert needed - 1e-6 <= told_h < needed + (1 if unit == "hours" else 24)
        assert mark.at > days.bars[-1].last
    assert f"{slab.split()[0]}\N{NO-BREAK SPACE}°F" in days.note
    assert len(days.names) >= days.bars[-1].last + math.ceil(hours[-1] / 24)


def test_waits_are_told_in_the_language_and_degrees_of_the_reader():
    say = Measures(words_in("es"), "metric")
    assert waited(31.2, say) == "32 horas"
    assert waited(72.0, say) == "3 días"
    assert waited(72.1, say) == "4 días"
    assert say.temperature(15.0) == "15\N{NO-BREAK SPACE}°C"
