"""Closed jobs move a rate by shrinkage, by the published formulas, and only if agreed."""

from __future__ import annotations

import datetime
from math import sqrt

import pytest

from kit.book import facts_of, note
from kit.book.belief import Belief, counted_rate, counted_share, next_job, shrunk
from kit.book.closing import as_estimated, held_against
from kit.book.facts import Closed, CoatUsed, TaskDone, Withdrawn
from kit.book.learning import (
    JOB_SPREAD,
    RATE_SPREAD,
    agree,
    agreed_rates,
    learned_rates,
    learned_shelf,
    take_back,
)
from kit.errors import BookError
from kit.job import workup
from kit.stock import read_shelf

DAY = datetime.date(2026, 11, 12)
PRIOR = Belief(60.0, 10.0)


class TestPublishedUpdates:
    """Gelman et al., Bayesian Data Analysis, 3rd ed., 2.4 to 2.6 (from memory); the
    figures computed from the formulas there with fractions."""

    def test_normal_data_with_known_variance(self):
        # EST-11: prior 60 ± 10 ft²/h, a job strays 12, three jobs of mean 48
        belief = shrunk(PRIOR, [40.0, 48.0, 56.0], job_sd=12.0)
        assert belief.mean == pytest.approx(1920 / 37, abs=1e-9)
        assert belief.mean == pytest.approx(51.891891891891895, abs=1e-9)
        assert belief.sd == pytest.approx(5.694947974514994, abs=1e-9)
        assert next_job(belief, job_sd=12.0).sd == pytest.approx(13.282787, abs=1e-6)
        weight = (60.0 - belief.mean) / (60.0 - 48.0)
        assert weight == pytest.approx(3 / (3 + 1.44), abs=1e-9)

    def test_nothing_seen_leaves_the_prior_and_much_seen_leaves_the_data(self):
        assert shrunk(PRIOR, [], job_sd=12.0) == PRIOR
        much = shrunk(PRIOR, [48.0] * 100_000, job_sd=12.0)
        assert much.mean == pytest.approx(48.0, abs=1e-3)
        assert much.sd == pytest.approx(12.0 / sqrt(100_000), rel=1e-4)

    def test_job_after_job_comes_to_the_same_as_all_at_once(self):
        step = PRIOR
        for rate in (40.0, 48.0, 56.0):
            step = shrunk(step, [rate], job_sd=12.0)
        once = shrunk(PRIOR, [40.0, 48.0, 56.0], job_sd=12.0)
        assert step.mean == pytest.approx(once.mean, rel=1e-12)
        assert step.sd == pytest.approx(once.sd, rel=1e-12)

    def test_poisson_data_with_a_gamma_prior(self):
        # EST-12: Gamma(4, 200) defects a sq ft, 30 seen in 1200 sq ft
        rate = counted_rate(4.0, 200.0, count=30, exposure=1200.0)
        assert rate.mean == pytest.approx(0.024285714285714285, abs=1e-9)
        assert rate.sd == pytest.approx(0.004164965639175215, abs=1e-9)

    def test_binomial_data_with_a_beta_prior(self):
        # EST-12: Beta(1, 9), 1 of 12 called back; variance ab/((a+b)²(a+b+1))
        share = counted_share(1.0, 9.0, count=1, of=12)
        assert share.mean == pytest.approx(2 / 22, abs=1e-12)
        assert share.sd == pytest.approx(sqrt(2 * 20 / (22**2 * 23)), abs=1e-12)


@pytest.fixture(scope="module")
def shelf():
    return read_shelf()


def closed(task, *, hours, units=100.0, crew="", day=DAY):
    done = TaskDone(task=task, crew=crew, units=units, labor_h=hours)
    return Closed(day=day, tasks=(done,))


@pytest.fixture
def taught(book, demo_job, shelf):
    """Three jobs of crew A, one of crew B, all of the shelf's first task."""
    task = shelf.tasks[0]
    rate = task.per_person_h
    ids = []
    for turn, (crew, factor) in enumerate([("A", 0.7), ("A", 0.8), ("A", 0.9), ("B", 1.5)]):
        ids.append(book.keep(demo_job.changed(title=f"Job {turn}")).job_id)
        day = DAY + datetime.timedelta(days=turn)
        fact = closed(task.key, hours=100.0 / (rate * factor), crew=crew, day=day)
        note(book, ids[-1], fact)
    return task, ids


def test_each_crew_learns_from_its_own_jobs_and_shows_them(book, taught, shelf):
    task, ids = taught
    of_a, of_b = learned_rates(book, shelf)

    assert (of_a.crew, of_b.crew) == ("A", "B")
    rate = task.per_person_h
    trust, weight = 1 / RATE_SPREAD**2, 3 / JOB_SPREAD**2
    assert of_a.belief.mean == pytest.approx(
        rate * (trust * 1.0 + weight * 0.8) / (trust + weight)
    )
    assert [e.job_id for e in of_a.evidence] == ids[:3]
    assert rate < of_b.belief.mean < 1.5 * rate
    assert "3 jobs from 2026-11-12 to 2026-11-14" in of_a.says
    assert f"{0.8 * rate:.4g} on average" in of_a.says
    assert "1 job on 2026-11-15" in of_b.says


def test_a_closing_that_was_taken_back_or_told_anew_teaches_what_stands(
    book, taught, shelf
):
    task, ids = taught
    note(book, ids[3], Withdrawn(number=1))
    assert [rate.crew for rate in learned_rates(book, shelf)] == ["A"]

    rate = task.per_person_h
    note(book, ids[0], closed(task.key, hours=100.0 / rate, crew="A"))
    (of_a,) = learned_rates(book, shelf)
    assert sorted(e.per_person_h / rate for e in of_a.evidence) == pytest.approx(
        [0.8, 0.9, 1.0]
    )


def test_a_learned_rate_is_used_only_once_the_owner_agrees_and_until_he_does_not(
    book, taught, shelf, demo_job
):
    _task, ids = taught
    of_a, _ = learned_rates(book, shelf)
    before = workup(demo_job, shelf)
    assert learned_shelf(shelf, agreed_rates(book), "A") == shelf

    agree(book, of_a, who="Owner")
    (agreed,) = agreed_rates(book)
    assert agreed.jobs == tuple(ids[:3])
    assert agreed.says == of_a.says
    slower = learned_shelf(shelf, agreed_rates(book), "A")
    assert slower.tasks[0].per_person_h == of_a.belief.mean
    assert "learned from 3 closed jobs" in slower.tasks[0].source
    assert slower.tasks[1:] == shelf.tasks[1:]
    after = workup(demo_job, slower)
    assert after.work.crew_hours > before.work.crew_hours
    assert after.bid.cost > before.bid.cost
    assert learned_shelf(shelf, agreed_rates(book), "B") == shelf

    take_back(book, of_a.task, "A")
    assert agreed_rates(book) == ()
    with pytest.raises(BookError, match="whose learned rate is in use"):
        take_back(book, of_a.task, "A")


def test_a_task_that_is_not_on_the_shelf_teaches_nothing(book, demo_job, shelf):
    job_id = book.keep(demo_job).job_id
    note(book, job_id, closed("juggle", hours=1.0))
    assert learned_rates(book, shelf) == ()


def test_a_job_told_as_estimated_is_held_at_one_and_teaches_the_shelfs_own_rates(
    book, demo_job, demo_workup, shelf
):
    told = as_estimated(demo_workup, shelf, day=DAY)
    rows = {row.about: row for row in held_against(demo_workup, told)}
    laying = next(t.labor_h for t in demo_workup.work.tasks if t.key == "lay_wear")
    for row in rows.values():
        if row.actual is not None and row.about != "Person-hours":
            near = {"h": 0.006, "l": 0.006}.get(row.unit, 1e-2)
            assert row.actual == pytest.approx(row.estimate, abs=near), row
    hours = rows["Person-hours"]
    assert hours.estimate - hours.actual == pytest.approx(laying, abs=0.1)

    job_id = book.keep(demo_job).job_id
    note(book, job_id, told)
    rates = {task.key: task.per_person_h for task in shelf.tasks}
    for rate in learned_rates(book, shelf):
        assert rate.belief.mean == pytest.approx(rates[rate.task], rel=0.03)
    assert facts_of(book, job_id)[0].fact == told


def test_actual_is_laid_beside_estimate_for_hours_material_film_waste_days_and_cost(
    demo_workup, shelf
):
    told = Closed(
        day=DAY,
        tasks=(TaskDone(task="juggle", units=1.0, labor_h=3.0),),
        coats=(CoatUsed(coat="flood", area_m2=60.0, used_l=66.0, film_um=1000.0),),
        days=9,
    )
    rows = {row.about: row for row in held_against(demo_workup, told)}
    flood = demo_workup.system.coat("flood")
    assert rows["juggle"].estimate is None
    assert rows["juggle"].actual == 3.0
    assert (rows[flood.name].estimate, rows[flood.name].actual) == (flood.volume_l, 66.0)
    assert rows[f"{flood.name}, wet film"].actual == 1000.0
    assert rows[f"{flood.name}, waste"].actual == pytest.approx(0.10)
    assert rows["Days on site"].ratio == 9 / demo_workup.work.days
    assert rows["Cost"].actual is None
    assert rows["Cost"].ratio is None
