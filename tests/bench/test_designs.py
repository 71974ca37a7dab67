"""Designs kept at the table: kept, renamed, let go, taken up, laid beside each other."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.bench import designs
from kit.bench.choices import with_finish
from kit.bench.scenes import Side
from kit.bench.state import TableState
from kit.errors import KitError
from kit.job import MOST_DESIGNS, workup
from kit.proposal import priced_designs
from kit.stock import read_shelf

SHELF = read_shelf()


def kept(job, count):
    for seed in range(count):
        job = designs.with_kept(job.with_seed(seed))
    return job


def test_a_pour_that_was_kept_comes_back_in_the_finish_it_is_shown_in(demo_job):
    job = designs.with_kept(demo_job)
    later = with_finish(job.with_seed(77), "gloss")
    again = designs.taken_up(later, 0)
    assert (again.recipe, again.finish) == (demo_job.recipe, "gloss")
    assert again.designs == job.designs


def test_designs_of_one_pour_come_back_each_in_its_own_finish(demo_job):
    job = designs.with_kept(demo_job)
    both = designs.with_kept(with_finish(job, "gloss"))
    later = with_finish(both.with_seed(77), "satin")
    assert designs.taken_up(later, 0).finish == demo_job.finish
    assert designs.taken_up(later, 1).finish == "gloss"


def test_four_are_kept_and_a_fifth_is_refused(demo_job):
    job = kept(demo_job, MOST_DESIGNS)
    assert [d.name for d in job.designs] == [f"Design {n}" for n in (1, 2, 3, 4)]
    with pytest.raises(KitError, match="4 at most"):
        designs.with_kept(job.with_seed(99))


def test_the_same_floor_is_not_kept_twice(demo_job):
    job = designs.with_kept(demo_job)
    with pytest.raises(KitError, match="Design 1"):
        designs.with_kept(job)


def test_one_pour_is_kept_again_in_another_finish(demo_job):
    job = with_finish(designs.with_kept(demo_job), "gloss")
    (told,) = designs.figures_of_designs(job, SHELF)
    assert (told["is_shown"], told["is_as_kept"]) == (True, False)
    told = designs.figures_of_designs(designs.with_kept(job), SHELF)
    assert [one["finish"] for one in told] == ["Matte", "Gloss"]
    assert [one["is_as_kept"] for one in told] == [False, True]


def test_a_name_let_go_is_free_again_and_no_name_stands_twice(demo_job):
    job = designs.dropped(kept(demo_job, 3), 1)
    assert [d.name for d in job.designs] == ["Design 1", "Design 3"]
    again = designs.with_kept(job.with_seed(50))
    assert again.designs[-1].name == "Design 2"
    with pytest.raises(KitError, match="twice"):
        designs.with_name(again, 0, "Design 3")


@pytest.mark.parametrize("name", ["", "   ", "a\u202eb", "x" * 500, "tab\there"])
def test_a_name_that_cannot_be_printed_is_refused_and_the_old_one_stays(demo_job, name):
    state = TableState(designs.with_kept(demo_job))
    complaint = state.change(lambda job: designs.with_name(job, 0, name))
    assert complaint is not None
    assert "name" in complaint.about
    assert state.job.designs[0].name == "Design 1"


@given(place=st.integers().filter(lambda n: n != 0))
def test_a_place_with_no_design_is_refused(place):
    from kit.job import Job
    from kit.shipped import shipped

    job = designs.with_kept(Job.from_sheet(shipped("demo_assets") / "boathouse.toml"))
    with pytest.raises(KitError, match="1 to 1"):
        designs.taken_up(job, place)


def one_pour_in_two_finishes(job):
    return designs.with_kept(with_finish(designs.with_kept(job), "gloss"))


@pytest.mark.parametrize("keep", [lambda job: kept(job, 2), one_pour_in_two_finishes])
@pytest.mark.parametrize("finish", ["matte", "satin", "gloss"])
def test_the_table_shows_and_prices_designs_as_the_paper_does(demo_job, keep, finish):
    job = with_finish(keep(demo_job), finish)
    total = workup(job, SHELF).offer.total
    paper = priced_designs(job, SHELF)
    for told, one in zip(designs.figures_of_designs(job, SHELF), paper, strict=True):
        apart = one.answers.offer.total - total
        assert told["finish"] == SHELF.finish(one.finish).name
        assert told["per_sqft"] == f"${one.answers.offer.price_per_sqft}"
        assert told["amount"] == (f"${abs(apart):,.2f}" if apart else "")
        assert told["is_more"] == (apart > 0)
        assert told["slip"] == SHELF.finish(one.finish).slip
        side = designs.side_of(job, str(told["key"]))
        assert side == Side(one.design.recipe, one.finish, one.design.name)
        assert designs.offer_for(job, side, SHELF).total == one.answers.offer.total
        assert told["is_shown"] == ((side.recipe, side.finish) == (job.recipe, job.finish))


def test_a_side_shows_a_finish_of_this_pour_or_a_kept_design(demo_job):
    job = designs.with_kept(demo_job).with_seed(5)
    assert designs.side_of(job, "gloss") == Side(job.recipe, "gloss")
    assert designs.side_of(job, "design Design 1") == Side(
        demo_job.recipe, demo_job.finish, "Design 1"
    )
    assert designs.side_of(job, "design gone") == Side(job.recipe, job.finish)


def test_keeping_is_one_step_to_undo(demo_job):
    state = TableState(demo_job)
    state.change(designs.with_kept)
    state.undo()
    assert state.job.designs == ()
    state.redo()
    assert len(state.job.designs) == 1
