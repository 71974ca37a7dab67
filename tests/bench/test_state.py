"""The table's state, without a widget and without a picture."""

import sys

import pytest

from kit.bench.choices import with_finish, with_knob, with_percent, with_pigment
from kit.bench.state import STEPS_KEPT, TableState
from kit.job import blank_job, workup


@pytest.fixture
def state(demo_job):
    return TableState(demo_job)


def test_the_price_follows_before_the_change_returns(state):
    before = state.offer.total

    assert state.change(lambda job: with_finish(job, "gloss")) is None
    assert state.offer.total != before
    assert state.offer == workup(state.job).offer


def test_a_bad_choice_is_a_complaint_and_the_last_good_job_stays(state):
    job, offer = state.job, state.offer

    complaint = state.change(lambda job: with_finish(job, "velvet"))

    assert complaint is not None
    assert "velvet" in complaint.says
    assert "matte" in complaint.says
    assert state.job is job
    assert state.offer is offer
    assert not state.can_undo


def test_a_pigment_that_is_not_on_the_shelf_is_a_complaint(state):
    complaint = state.change(lambda job: with_pigment(job, 0, "unobtainium"))

    assert complaint is not None
    assert "unobtainium" in complaint.says


def test_undo_and_redo_go_back_and_forth_through_every_choice(state):
    jobs = [state.job]
    for finish in ("gloss", "satin", "matte_grip"):
        state.change(lambda job, finish=finish: with_finish(job, finish))
        jobs.append(state.job)

    for job in reversed(jobs[:-1]):
        state.undo()
        assert state.job == job
        assert state.offer == workup(job).offer
    assert not state.can_undo
    for job in jobs[1:]:
        state.redo()
        assert state.job == job
    assert not state.can_redo


def test_a_new_choice_after_undo_forgets_what_was_undone(state):
    state.change(lambda job: with_finish(job, "gloss"))
    state.undo()
    state.change(lambda job: job.with_seed(99))

    assert not state.can_redo


def test_one_drag_is_one_step_to_undo(state):
    before = state.job
    for percent in range(50, 60):
        state.change(lambda job, p=percent: with_percent(job, 0, p), gesture="border.1")
    state.change(lambda job: with_knob(job, "calm", 0.7), gesture="knob.1")

    state.undo()
    assert state.job.recipe.palette.shares[0] == pytest.approx(0.59)
    state.undo()
    assert state.job == before


def test_a_choice_that_changes_nothing_is_no_step(state):
    state.change(lambda job: with_finish(job, job.finish))

    assert not state.can_undo


def test_observers_hear_every_change_until_they_are_taken_off(state):
    heard = []
    forget = state.observe(lambda s: heard.append(s.job.finish))
    state.change(lambda job: with_finish(job, "gloss"))
    state.undo()
    forget()
    state.redo()

    assert heard == ["gloss", "matte"]


def test_a_new_pattern_costs_the_same_without_working_the_job_up_again(state):
    answers = state.answers
    state.change(lambda job: job.with_seed(4321))

    assert state.answers is answers
    assert state.offer == workup(state.job).offer


def test_steps_are_kept_only_so_far_back(state):
    for seed in range(STEPS_KEPT + 30):
        state.change(lambda job, seed=seed: job.with_seed(1000 + seed))
    steps = 0
    while state.can_undo:
        state.undo()
        steps += 1

    assert steps == STEPS_KEPT


def test_state_needs_no_widgets():
    import subprocess

    code = (
        "import sys, kit.bench.state, kit.bench.choices\n"
        "heavy = ('ipywidgets', 'anywidget', 'IPython', 'numba')\n"
        "print([name for name in heavy if name in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == "[]"


def test_a_blank_job_has_no_price_yet_and_says_why():
    state = TableState(blank_job())

    assert state.answers is None
    assert state.offer is None
    assert state.total is None
    assert "walls close" in state.lacks
    assert state.change(lambda job: with_finish(job, "gloss")) is None
    assert state.job.finish == "gloss"
