"""The bid with its options, the offer a client sees, and the payments."""

import json
from dataclasses import asdict, fields
from decimal import Decimal

import pytest
from floors import PALETTE, rectangle, shelf_with
from hypothesis import given
from hypothesis import strategies as st

from kit.bid import Offer, bid, bid_for, offer_of, owner_json, payment_plan, split
from kit.coats import system_for
from kit.stock import read_shelf
from kit.work import work_for

SHELF = read_shelf()
FLOOR = rectangle(8.0, 7.0)


def bid_on(finish="matte", floor=FLOOR, shelf=SHELF):
    return bid(floor, PALETTE, shelf.finish(finish), shelf)


@pytest.mark.parametrize("finish", SHELF.finishes, ids=lambda f: f.key)
def test_every_finish_is_an_option_with_its_own_full_bid(finish):
    option = next(o for o in bid_on().options if o.finish == finish.key)
    system = system_for(FLOOR, PALETTE, finish, SHELF)

    alone = bid_for(FLOOR, system, work_for(FLOOR, system, SHELF), SHELF)
    assert (option.total, option.price_per_sqft) == (alone.total, alone.price_per_sqft)
    assert option.total == bid_on(finish.key).total


@pytest.mark.parametrize("chosen", [finish.key for finish in SHELF.finishes])
def test_differences_are_to_the_chosen_finish(chosen):
    asked = bid_on(chosen)

    assert [o.finish for o in asked.options if o.chosen] == [chosen]
    assert all(o.total - asked.total == o.difference for o in asked.options)


def test_finishes_do_not_all_cost_the_same():
    assert len({option.total for option in bid_on().options}) == len(SHELF.finishes)


def test_moving_one_wall_changes_area_kits_and_price():
    small, large = bid_on(), bid_on(floor=rectangle(11.0, 7.0))

    assert large.area_sqft > small.area_sqft
    assert large.total > small.total
    flood = [next(ln for ln in b.lines if ln.label == "Flood coat") for b in (small, large)]
    assert flood[0].how != flood[1].how


def test_the_area_is_stated_with_its_basis():
    """8 × 7 m is 602.78 sq ft, net coated."""
    asked = bid_on()

    assert asked.area_sqft == Decimal("602.78")
    assert asked.area_basis.startswith("Net coated surface")


def test_an_offer_cannot_hold_what_a_client_may_not_see():
    offer = offer_of(bid_on(), SHELF)
    words = json.dumps(asdict(offer), default=str).lower()

    assert {f.name for f in fields(Offer)} == {
        *("total", "price_per_sqft", "area_sqft", "area_basis", "currency"),
        *("tax_note", "discount", "discount_note", "options", "extras"),
    }
    assert not any(word in words for word in ("margin", "overhead", "wage", "cost", "hour"))


@pytest.mark.parametrize(
    ("rules", "note"),
    [
        ({"tax_on": "materials"}, "We pay the sales tax on materials; it is included."),
        ({"tax_on": "price", "tax_share": "0.0825"}, "Sales tax of 8.25% is included."),
        ({"tax_on": "price", "tax_share": "0"}, "No sales tax is included."),
        ({"tax_on": "none"}, "No sales tax is included."),
    ],
)
def test_an_offer_says_what_became_of_the_tax(rules, note):
    assert offer_of(bid_on(), shelf_with(**rules)).tax_note == note


def test_the_owners_json_sums_and_keeps_its_cents():
    written = json.loads(json.dumps(owner_json(bid_on("gloss"))))

    assert sum(Decimal(line["amount"]) for line in written["lines"]) == Decimal(
        written["total"]
    )
    per = Decimal(written["total"]) / Decimal(str(written["area_sqft"]))
    assert abs(per - Decimal(written["price_per_sqft"])) <= Decimal("0.005")
    money = [written["total"], *(line["amount"] for line in written["lines"])]
    assert all(len(text.partition(".")[2]) == 2 for text in money)
    assert [o["difference"] for o in written["options"] if o["finish"] == "gloss"] == [
        "0.00"
    ]


def test_a_hundred_in_three_parts_is_33_34_and_twice_33_33():
    """Largest remainder; three times 33.33 would lose a cent."""
    parts = split(Decimal("100.00"), (Decimal(1),) * 3, currency="USD")

    assert [str(part) for part in parts] == ["33.34", "33.33", "33.33"]


@given(
    st.integers(0, 10_000_000),
    st.lists(st.integers(1, 100).map(Decimal), min_size=1, max_size=12).map(tuple),
    st.sampled_from([("USD", 2), ("JPY", 0), ("KWD", 3)]),
)
def test_parts_sum_to_the_total_and_are_fair_to_a_coin(units, weights, currency):
    code, digits = currency
    total = Decimal(units).scaleb(-digits)

    parts = split(total, weights, currency=code)

    assert sum(parts) == total
    for part, weight in zip(parts, weights, strict=True):
        assert abs(part - total * weight / sum(weights)) < Decimal(1).scaleb(-digits)


def test_payments_follow_the_house_and_sum_to_the_total():
    total = bid_on().total
    payments = payment_plan(total, SHELF)

    assert [payment.due for payment in payments] == [p.due for p in SHELF.house.payments]
    assert sum(payment.amount for payment in payments) == total
    assert sum(payment.share for payment in payments) == 1


def test_the_same_floor_is_priced_the_same_twice():
    assert bid_on() == bid_on()
