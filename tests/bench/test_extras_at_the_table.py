"""Extras switched at the table: the price follows at once, and no picture is made."""

from decimal import Decimal

import pytest

from kit.bench.choices import with_extra_switched, with_finish
from kit.bench.extras import advice_words, extra_figures
from kit.bench.faults import Faults
from kit.bench.scenes import Studio
from kit.bench.sizes import Sizes
from kit.bench.state import TableState
from kit.bench.visit import Visit
from kit.job import job_from, workup
from kit.stock import read_shelf


@pytest.fixture
def state(demo_job):
    return TableState(demo_job)


@pytest.fixture
def visit(demo_job, monkeypatch, tmp_path):
    asked = []

    def paint(_, scene):
        asked.append(scene)
        return (b"jpeg",) * len(scene.sides)

    monkeypatch.setattr(Studio, "paint", paint)
    monkeypatch.setattr(
        Studio, "paint_sample", lambda _, scene: (b"jpeg",) * len(scene.sides)
    )
    visit = Visit(TableState(demo_job), faults=Faults(print, tmp_path))
    visit.scenes, visit.sent = asked, []
    visit.frame.send = lambda content, buffers=None: visit.sent.append(content)  # noqa: ARG005
    return visit


def ask(visit, **wish):
    visit.frame._handle_custom_msg({**wish, "number": 1}, [])
    return next(c for c in visit.sent[::-1] if "answered" in c)["complaint"]


def switch(state, key):
    return state.change(lambda job: with_extra_switched(job, key))


def rows(visit):
    return {row["key"]: row for row in visit.frame.figures["extras"]}


def test_switching_on_and_off_comes_back_to_the_same_price(state):
    before = state.offer

    assert switch(state, "cove") is None
    adds = next(e.adds for e in state.offer.extras if e.extra == "cove")
    assert state.offer.total == before.total + adds
    assert switch(state, "cove") is None
    assert state.offer == before
    assert state.job.extras == ()


def test_extras_are_taken_back_and_made_again_like_every_choice(state):
    before = state.job
    switch(state, "cove")
    switch(state, "crack_repair")
    total = state.offer.total

    state.undo()
    assert state.job.extras == ("cove",)
    state.undo()
    assert state.job == before
    state.redo()
    state.redo()
    assert state.offer.total == total == workup(state.job).offer.total


@pytest.mark.parametrize(
    ("first", "then", "told"),
    [("cove", "cove_high", "only one of the two"), ("cove", "moonbeam", "one of cove, ")],
)
def test_what_does_not_go_together_is_a_complaint_and_changes_nothing(
    state, first, then, told
):
    switch(state, first)
    job = state.job

    complaint = switch(state, then)

    assert told in complaint.says
    assert state.job is job


def test_an_extra_stays_taken_through_a_finish_that_has_it_already(state):
    switch(state, "grip_where_wet")
    total = state.offer.total
    state.change(lambda job: with_finish(job, "matte_grip"))
    assert not any(extra.counts for extra in state.offer.extras)

    state.change(lambda job: with_finish(job, "matte"))
    assert state.offer.total == total


def test_the_price_follows_a_switch_and_no_picture_is_asked_for(visit):
    pictures = len(visit.scenes)
    before = Decimal(visit.frame.figures["price"]["plain"])

    assert ask(visit, do="extra", extra="crack_repair") == ""

    assert Decimal(visit.frame.figures["price"]["plain"]) == before + 460
    assert rows(visit)["crack_repair"]["taken"]
    assert visit.frame.figures["stations"]["price"] == "1 extra in"
    assert len(visit.scenes) == pictures
    ask(visit, do="undo")
    assert Decimal(visit.frame.figures["price"]["plain"]) == before
    assert visit.frame.figures["stations"]["price"] == "until Dec 23"


def test_the_tag_on_the_floor_tells_the_price_that_now_holds(visit):
    ask(visit, do="extra", extra="cove")

    offer = visit.state.offer
    assert visit.stage.words["Matte"] == f"${offer.price_per_sqft} per sq ft"
    assert set(visit.stage.words) == {option.name for option in offer.options}


def test_payments_and_finishes_follow_a_switch(visit):
    ask(visit, do="extra", extra="second_flood")
    offer, figures = visit.state.offer, visit.frame.figures

    assert [o["total"] for o in figures["options"]] == [
        f"${o.total:,.2f}" for o in offer.options
    ]
    paid = [Decimal(p["amount"].strip("$").replace(",", "")) for p in figures["payments"]]
    assert sum(paid) == offer.total


def test_a_row_says_how_much_what_it_adds_and_what_bars_it(visit):
    ask(visit, do="extra", extra="cove")
    shown = rows(visit)

    assert shown["cove"]["much"] == "187.0 ft"
    assert shown["cove"]["counts"]
    assert shown["crack_repair"]["much"] == "40 ft at $11.50 a foot"
    assert shown["crack_repair"]["difference"] == "+ $460.00"
    assert shown["cove_high"]["blocked"] == "Not together with Cove base, 4 in."
    assert shown["cove_high"]["adds"] == ""


def test_a_caution_tells_what_the_primer_would_add_until_it_is_taken(visit):
    (advice,) = visit.frame.figures["advice"]
    primer = rows(visit)["moisture_primer"]["adds"]
    assert advice == (
        "If the slab reads damp before we coat, it needs the moisture primer. "
        f"That is {primer} more for the whole floor; you decide then."
    )

    ask(visit, do="extra", extra="moisture_primer")
    assert visit.frame.figures["advice"] == []


def test_advice_is_given_only_where_a_caution_calls_for_it(state):
    assert advice_words(state.offer, (), state.shelf) == []


@pytest.mark.parametrize(
    "wish", [{"extra": 7}, {}, {"extra": ["cove"]}, {"extra": "<b>cove</b>"}], ids=str
)
def test_nonsense_is_told_and_changes_nothing(visit, wish):
    job = visit.state.job

    assert ask(visit, do="extra", **wish) != ""
    assert visit.state.job is job


def test_nothing_of_what_extras_cost_reaches_the_page(visit):
    ask(visit, do="extra", extra="cove")
    ask(visit, do="extra", extra="crack_repair")
    told = str(visit.frame.figures) + str(visit.stage.words)

    bid = visit.state.answers.bid
    costs = [one.cost for one in bid.extras if one.cost is not None]
    costs += [line.amount for line in bid.lines if line.amount > 20]
    assert [c for c in costs if f"{c:,.2f}" in told or f"{c:.2f}" in told] == []


def test_every_extra_that_the_table_offers_has_its_row_and_one_taken_elsewhere_too(state):
    shelf = read_shelf()
    offered = [extra.key for extra in shelf.extras if extra.at_table]
    (apart,) = {extra.key for extra in shelf.extras} - set(offered)
    assert [row["key"] for row in extra_figures(state.offer, shelf, Sizes())] == offered
    state.change(lambda job: job.changed(extras=(apart,)))
    assert apart in [row["key"] for row in extra_figures(state.offer, shelf, Sizes())]


def test_another_choice_keeps_the_plan_and_so_the_pattern_that_was_drawn(demo_job):
    """What is poured is the same plan, not one like it: pictures are kept by it."""
    one, other = (workup(demo_job.changed(extras=e)) for e in ((), ("cove",)))

    assert one.plan is other.plan


def test_a_sheet_takes_extras_in_its_floor(demo_sheet):
    from kit.site import read_sheet

    sheet = read_sheet(demo_sheet)
    sheet["floor"]["extras"] = ["crack_repair", "cove"]

    assert job_from(sheet).extras == ("cove", "crack_repair")
