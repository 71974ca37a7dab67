"""Instalments under the caps of law: published cases, and parts that always sum."""

from dataclasses import replace
from decimal import Decimal

import pytest
from floors import shelf_with
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.bid import deposit_rule, most_at_signing, payment_concerns, payment_plan
from kit.errors import ShelfError
from kit.record import filled
from kit.stock import DepositCap, read_shelf

SHELF = read_shelf()
D = Decimal
CAPS = {cap.key: cap for cap in SHELF.deposits}


@pytest.mark.parametrize(
    ("contract", "most"),
    [
        # California Business and Professions Code 7159.5(a)(3): the lesser of 1,000 and a
        # tenth, by hand; 1,000.00 of 9,999.99 would be more than a tenth of it. Quoted by
        # law offices, read there.
        ("3000", "300.00"),
        ("8500", "850.00"),
        ("9999.99", "999.99"),
        ("10000", "1000.00"),
        ("10000.01", "1000.00"),
        ("25000", "1000.00"),
    ],
)
def test_california_lets_the_lesser_of_a_tenth_and_a_thousand_be_asked(contract, most):
    assert most_at_signing(D(contract), CAPS["us_ca"], "USD") == D(most)
    first = payment_plan(D(contract), shelf_with(region="us_ca"))[0]
    assert first.amount == D(most)


@pytest.mark.parametrize("region", ["us_md", "us_ma", "us_pa"])
@pytest.mark.parametrize(
    ("contract", "most"), [("9000", "3000.00"), ("10000", "3333.33"), ("0.02", "0.00")]
)
def test_a_third_is_rounded_down_to_the_cent(region, contract, most):
    """Maryland Business Regulation 8-617(b) and its like: no more than one third."""
    assert most_at_signing(D(contract), CAPS[region], "USD") == D(most)


def test_a_plan_within_the_cap_stays_as_it_is():
    """Thirty percent is less than a third."""
    total = D("7843.10")

    assert payment_plan(total, shelf_with(region="us_md")) == payment_plan(total, SHELF)
    assert (
        payment_concerns(
            payment_plan(total, shelf_with(region="us_md")), shelf_with(region="us_md")
        )
        == ()
    )


def test_what_the_cap_keeps_is_due_with_the_last_payment_and_the_owner_is_told():
    shelf = shelf_with(region="us_ca")
    plan = payment_plan(D("8500.00"), shelf)

    assert [part.amount for part in plan] == [D("850.00"), D("3400.00"), D("4250.00")]
    assert sum(part.share for part in plan) == 1
    concerns = payment_concerns(plan, shelf)
    assert [concern.about for concern in concerns] == ["deposit", "payments"]
    assert "“When work starts”" in concerns[1].says


def test_payments_for_work_that_is_done_are_not_ahead_of_it():
    house = SHELF.house
    earned = tuple(one.changed(earned=True) for one in house.payments)
    shelf = shelf_with(region="us_ca", payments=earned)

    plan = payment_plan(D("8500.00"), shelf)
    assert [one.about for one in payment_concerns(plan, shelf)] == ["deposit"]


def test_a_single_instalment_that_is_capped_gets_a_second_one():
    shelf = shelf_with(region="us_ca", payments=[{"due": "At signing", "weight": 1}])
    plan = payment_plan(D("8500.00"), shelf)

    assert [part.amount for part in plan] == [D("850.00"), D("7650.00")]
    assert plan[1].due == "When the floor is done"


@settings(max_examples=50)
@given(st.integers(0, 10_000_000), st.sampled_from(["none", *CAPS]))
def test_parts_sum_to_the_cent_and_the_first_is_within_the_law(cents, region):
    total = D(cents) / 100
    plan = payment_plan(total, shelf_with(region=region))

    assert sum(part.amount for part in plan) == total
    assert all(part.amount >= 0 for part in plan)
    if region in CAPS:
        part, whole = CAPS[region].share
        assert plan[0].amount * whole <= total * part
        assert plan[0].amount <= (CAPS[region].most or total)


def test_the_rule_names_its_source_and_day_and_defers_to_the_law():
    said = deposit_rule(shelf_with(region="us_ca"))

    assert said.startswith(
        "California: 1/10 of the price at signing, 1000.00 USD at most ("
    )
    assert "7159.5" in said
    assert "checked 2026-11-25" in said
    assert said.endswith("Current local law governs.")
    assert "No region is set" in deposit_rule(SHELF)


def test_a_region_without_a_rule_is_named_with_those_that_have_one():
    with pytest.raises(
        ShelfError, match=r"house, region: found us_zz; expected one of us_ca"
    ):
        payment_plan(D(100), shelf_with(region="us_zz"))


def test_a_cap_in_another_currency_is_refused():
    with pytest.raises(ShelfError, match="currency: found EUR; expected USD"):
        payment_plan(D(100), shelf_with(region="us_ca", currency="EUR"))


def test_a_cap_of_more_than_the_whole_is_refused():
    with pytest.raises(ShelfError, match=r"California, share: found 4 of 3"):
        filled(DepositCap, {**dict(CAPS["us_ca"]), "share": (4, 3)}, family=ShelfError)


def test_a_job_tells_the_owner_of_the_cap(demo_job):
    from kit.job import workup

    shelf = replace(SHELF, house=SHELF.house.changed(region="us_ca"))
    answers = workup(demo_job, shelf)

    assert "deposit" in [concern.about for concern in answers.concerns]
    assert answers.payments[0].amount == D("783.62")
    assert answers.payments[0].amount == (answers.offer.total / 10).quantize(
        D("0.01"), "ROUND_DOWN"
    )
