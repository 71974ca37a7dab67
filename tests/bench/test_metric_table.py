"""A table in meters: what is typed, what is shown, and prices for a square meter."""

from decimal import ROUND_HALF_UP, Decimal

import pytest

from kit.bench import brand, columns, measuring, openings
from kit.bench.beginning import begin_blank
from kit.bench.extras import extra_figures
from kit.bench.figures import Shown, figures_of
from kit.bench.measured import measure_figures
from kit.bench.rooms import begun
from kit.bench.sizes import Sizes
from kit.bench.state import TableState
from kit.bench.who import with_cracks
from kit.book import Book
from kit.job import blank_job


@pytest.fixture
def state():
    state = TableState(brand.with_units(blank_job(), "metric"))
    state.change(begun)
    state.change(lambda job: measuring.rectangle(job, "Room 1", "6.2", "450 cm"))
    return state


def shown(state):
    plan = state.answers.plan if state.answers else None
    return measure_figures(state.job, plan, state.lacks)


def figures(state):
    return figures_of(
        state.job, Shown.of(state.answers), state.shelf, can_undo=False, can_redo=False
    )


def test_bare_numbers_are_meters_and_areas_square_meters(state):
    room = shown(state)["rooms"][0]
    assert [wall["length"] for wall in room["walls"]] == ["6.2 m", "4.5 m"] * 2
    assert room["area"] == "27.9 m²"
    assert room["around"] == "21.4 m"


@pytest.mark.parametrize(
    ("text", "length"),
    [("4.2", "4.2 m"), ("4,2", "4.2 m"), ("4.2 m", "4.2 m"), ("420 cm", "4.2 m"),
     ("13' 9\"", "4.191 m"), ("4200 mm", "4.2 m")],
)  # fmt: skip
def test_a_length_is_typed_in_any_unit_and_shown_in_meters(state, text, length):
    assert state.change(lambda job: measuring.with_length(job, "Room 1", 0, text)) is None
    assert shown(state)["rooms"][0]["walls"][0]["length"] == length


@pytest.mark.parametrize("text", ["20 6", "-3", "lots", "1e9", ""])
def test_nonsense_is_answered_in_meters(state, text):
    says = state.change(lambda job: measuring.with_length(job, "Room 1", 0, text)).says
    assert "4.2 (meters)" in says


def test_a_length_out_of_range_is_answered_in_meters(state):
    assert "152.4 m" in state.change(
        lambda job: measuring.with_length(job, "Room 1", 0, "900")
    ).says  # fmt: skip


def test_openings_columns_gaps_and_cracks_are_in_meters(state):
    state.change(lambda job: openings.way_out_in(job, "Room 1", 0))
    state.change(lambda job: openings.way_out_wide(job, "0.9"))
    state.change(lambda job: columns.column_in(job, "Room 1"))
    state.change(lambda job: columns.column_sized(job, "Room 1", 0, "0.3", ""))
    state.change(lambda job: with_cracks(job, "7"))
    seen = shown(state)
    assert seen["way_out"]["width"] == "0.9 m"
    assert seen["way_out"]["along"] == "3.1 m"
    assert seen["rooms"][0]["columns"][0]["sizes"] == ["0.3 m"]
    assert seen["rooms"][0]["columns"][0]["east"] == "3.1 m"
    assert Sizes("metric").kept(state.job.site.slab.cracks) == "7 m"

    state.change(lambda job: measuring.with_length(job, "Room 1", 0, "6.41"))
    gap = shown(state)["rooms"][0]["gap"]
    assert gap["says"] == "The outline is open by 21 cm."
    assert gap["repairs"][0]["says"] == "Make wall 3 6.41 m"


def test_prices_are_for_a_square_meter_of_the_same_total(state):
    offer = state.answers.offer
    square_meters = offer.area_sqft * Decimal("0.09290304")
    each = (offer.total / square_meters).quantize(Decimal("0.01"), ROUND_HALF_UP)
    seen = figures(state)
    assert seen["price"]["per_sqft"] == f"${each}"
    assert seen["price"]["basis"] == "per m² of 27.9"
    assert seen["stations"]["rooms"] == "27.9 m²"
    assert seen["poured"] == {"area": "27.9 m²", "walls": "21.4 m"}
    assert seen["units"] == {"metric": True, "area": "m²", "per_area": "per m²"}

    feet = TableState(brand.with_units(state.job, "us"))
    assert feet.total == state.total
    assert figures(feet)["price"]["per_sqft"] == f"${offer.price_per_sqft}"
    assert figures(feet)["price"]["basis"].startswith("per sq ft of 3")


def test_extras_by_the_foot_are_told_in_meters(state):
    rows = extra_figures(state.answers.offer, state.shelf, Sizes("metric"))
    cove = next(row for row in rows if row["key"] == "cove")
    feet = next(
        row
        for row in extra_figures(state.answers.offer, state.shelf, Sizes())
        if row["key"] == "cove"
    )
    assert feet["much"].endswith(" ft")
    assert cove["much"].endswith(" m")
    assert Decimal(cove["per_sqft"][1:]) > 10 * Decimal(feet["per_sqft"][1:])


def test_a_new_job_is_measured_as_the_last_one_was(tmp_path, state):
    with Book(tmp_path / "book.sqlite") as book:
        job = state.job.changed(paper=state.job.paper.changed(page="a4"), language="es")
        book.keep(job, total=state.total)
        fresh = book.latest(begin_blank(book))
    assert (fresh.paper.units, fresh.paper.page) == ("metric", "a4")
    assert fresh.language == "en"
