"""Extras on the paper: priced, marked where taken, told in what is in and what is not."""

from decimal import Decimal
from io import BytesIO

import pytest
from bands import Bands

from kit.job import workup
from kit.proposal import client_view, owners_figures, propose

pypdf = pytest.importorskip("pypdf", reason="pypdf is not installed")
COVE, DAMP = (
    "Cove or base along the walls",
    "Moisture treatment, if the readings ask for it",
)


@pytest.fixture(scope="module")
def worked(demo_job):
    job = demo_job.changed(extras=("cove", "moisture_primer", "crack_repair"))
    return job, workup(job)


@pytest.fixture(scope="module")
def seen(worked):
    return client_view(*worked, Bands(worked[0]))


@pytest.fixture(scope="module")
def plain(demo_job, demo_workup):
    return client_view(demo_job, demo_workup, Bands(demo_job))


def test_every_extra_is_a_row_and_those_taken_are_marked(worked, seen):
    offer = worked[1].offer

    told = (*seen.price.extras, *seen.price.allowances)
    assert [row.name for row in told] == [one.name for one in offer.extras]
    assert [row.taken for row in told] == [*(True, False, True, False, False, True, False)]
    rows = {row.name: row for row in told}
    assert rows["Crack repair allowance"].adds == "+\N{NO-BREAK SPACE}460.00"
    assert rows["Crack repair allowance"].amount == "40 ft"
    assert rows["Crack repair allowance"].each == "$11.50 a foot"
    assert rows["Cove base, 6 in"].adds == ""
    assert rows["Cove base, 6 in"].amount == "Not together with Cove base, 4 in."


def test_what_is_taken_is_in_the_price_and_no_more_left_out(plain, seen):
    assert {COVE, DAMP} <= set(plain.scope_out)
    assert not {COVE, DAMP} & set(seen.scope_out)
    words = "Cove base, 4 in high, along walls and columns, less all doors, 187.0 ft"
    assert words in seen.scope_in
    assert "Cracks that grinding lays bare, 40 ft at $11.50 a foot" in seen.scope_in
    assert len(seen.scope_in) == len(plain.scope_in) + 3
    assert plain.scope_out[-1] == seen.scope_out[-1]


def test_the_days_follow_the_extras(worked, plain, seen):
    assert seen.days.bars[-1].last == worked[1].work.days - 1 > plain.days.bars[-1].last
    assert [seen.days.bars[0].words, plain.days.bars[0].words] == [
        *("Grind, prime, cove base, seal", "Grind, fill, seal")
    ]


@pytest.mark.paper
def test_the_paper_shows_what_extras_ask_and_nothing_of_what_they_cost(worked, seen):
    answers = worked[1]
    pdf = propose(seen, withheld=owners_figures(answers))
    said = "\n".join(page.extract_text() for page in pypdf.PdfReader(BytesIO(pdf)).pages)

    assert "Extras you can add" in said
    assert said.count("taken") >= 3
    adds = next(e.adds for e in answers.offer.extras if e.extra == "cove")
    assert f"{adds:,.2f}" in said
    costs = [one.cost for one in answers.bid.extras if one.cost and one.cost > 100]
    costs += [ln.amount for ln in answers.bid.lines if ln.amount > Decimal(100)]
    asked = {f"{part.amount:,.2f}" for part in answers.payments}
    assert [c for c in costs if f"{c:,.2f}" in said and f"{c:,.2f}" not in asked] == []


@pytest.mark.paper
def test_an_offer_without_extras_has_no_such_table(plain):
    from dataclasses import replace

    bare = replace(plain, price=replace(plain.price, extras=(), allowances=()))
    pdf = propose(bare)
    said = "\n".join(page.extract_text() for page in pypdf.PdfReader(BytesIO(pdf)).pages)

    assert "Extras" not in said
    assert "Allowances" not in said
