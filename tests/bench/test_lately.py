"""A page that is loaded again can undo what was done before it."""

import pytest

from kit.bench import choices
from kit.bench.beginning import begin_blank
from kit.bench.lately import STEPS_KEPT, Lately
from kit.bench.opening import open_table
from kit.bench.rooms import begun
from kit.bench.state import TableState
from kit.book import Book
from kit.job import blank_job


@pytest.fixture
def lately(tmp_path):
    return Lately(tmp_path / "lately")


def changed(job):
    state = TableState(job)
    for finish in ("gloss", "satin", "matte"):
        state.change(lambda job, finish=finish: choices.with_finish(job, finish))
    state.undo()
    return state


def test_the_way_back_is_given_back_and_prices_follow_it(lately, demo_job):
    before = changed(demo_job)
    lately.keep(before, "job-1")
    after = TableState(before.job)
    lately.give_back(after, "job-1")

    assert after.steps == before.steps
    for table in (before, after):
        table.undo()
    assert after.total == before.total
    assert after.job.finish == "gloss"
    after.redo()
    after.redo()
    assert after.job.finish == "matte"
    assert not after.can_redo


def test_rooms_that_are_not_closed_are_gone_back_to(lately):
    state = TableState(blank_job())
    state.change(begun)
    state.change(lambda job: choices.with_finish(job, "gloss"))
    lately.keep(state, "job-1")
    again = TableState(state.job)
    lately.give_back(again, "job-1")
    again.undo()
    assert again.job.site.drafts
    assert again.lacks


def test_no_way_back_is_given_to_a_job_that_went_on_elsewhere(lately, demo_job):
    lately.keep(changed(demo_job), "job-1")
    for job, job_id in ((demo_job, "job-1"), (changed(demo_job).job, "job-2")):
        other = TableState(job)
        lately.give_back(other, job_id)
        assert other.is_fresh


@pytest.mark.parametrize("damage", ["", "[]", "{", '{"now": 3}', "\x00"])
def test_notes_that_cannot_be_read_or_written_stop_nothing(lately, tmp_path, damage):
    lately.keep(changed(blank_job()), "job-1")
    (note,) = (tmp_path / "lately").glob("steps-*.json")
    note.write_text(damage)
    state = TableState(blank_job())
    lately.give_back(state, "job-1")
    assert state.is_fresh

    blocked = Lately(tmp_path / "lately" / note.name)
    blocked.laid("job-1")
    blocked.keep(state, "job-1")
    assert blocked.job_id == ""


def test_only_so_many_steps_are_kept(lately):
    state = TableState(blank_job())
    for seed in range(100, 100 + STEPS_KEPT + 20):
        state.change(lambda job, seed=seed: job.with_seed(seed))
    lately.keep(state, "job-1")
    again = TableState(state.job)
    lately.give_back(again, "job-1")
    assert len(again.steps[0]) == STEPS_KEPT
    again.undo()
    assert again.job.recipe.seed == 100 + STEPS_KEPT + 18


def test_a_bare_address_opens_the_job_that_lay_on_a_table_last(monkeypatch, tmp_path):
    monkeypatch.setenv("KIT_BOOK_URL", str(tmp_path / "book.sqlite"))
    monkeypatch.setenv("KIT_OWNER_LOCK", str(tmp_path / "owner.json"))
    monkeypatch.setenv("KIT_LATELY", str(tmp_path / "lately"))
    monkeypatch.delenv("QUERY_STRING", raising=False)
    with Book() as book:
        first, second = begin_blank(book), begin_blank(book)
    monkeypatch.setenv("KIT_JOB", first)
    visit = open_table()
    assert visit.saving.job_id == first

    with Book() as book:
        visit.saving.take_up(book.open(second))
    again = open_table()
    assert again.saving.job_id == second
    assert again.frame.notice["says"] == "Poured floor lay on the table last."
    monkeypatch.setenv("QUERY_STRING", f"job={first}")
    named = open_table()
    assert named.saving.job_id == first
    assert named.frame.notice == {}
