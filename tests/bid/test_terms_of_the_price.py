"""Overhead, overtime, discount, rounding, tax by class, floor price: worked by hand."""

import json
from dataclasses import fields, replace
from decimal import Decimal

import pytest
from floors import PALETTE, rectangle, shelf_with
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.bid import Bid, BuildUp, Line, Offer, bid, bid_for, offer_of, owner_json, priced
from kit.bid.direct import paid_per_h
from kit.coats import system_for
from kit.errors import SheetError, ShelfError
from kit.job import Job, workup
from kit.money import CENT
from kit.record import filled
from kit.stock import Charge, Discount, House, read_shelf
from kit.work import work_for

SHELF = read_shelf()
FLOOR = rectangle(8.0, 7.0)
D = Decimal


def house(**given_):
    plain = {
        "tax_on": "none",
        "contingency_share": "0",
        "minimum_charge": "0",
        "overhead_share": "0.30",
        "margin_share": "0.15",
    }
    return SHELF.house.changed(**{**plain, **given_})


WORKED = (
    Line("Materials", D("1850.00"), "materials", "given"),
    Line("Labor", D("1203.84"), "labor", "32 h × 28.50 × 1.32"),
    Line("Equipment", D("240.00"), "equipment", "given"),
)
"""32 h × 28.50 = 912.00 and 32 % burden, 291.84; direct 3293.84 in all."""


def of(lines, kind):
    return sum((line.amount for line in lines if line.kind == kind), D(0))


def total(lines):
    return sum((line.amount for line in lines), D(0))


def built(shelf=SHELF, finish="matte", floor=FLOOR, discount=None):
    system = system_for(floor, PALETTE, shelf.finish(finish), shelf)
    given_ = {} if discount is None else {"discount": discount}
    return bid_for(floor, system, work_for(floor, system, shelf), shelf, **given_)


# 120,000 a year over 400,000 of direct cost is 30 %, over 6,000 paid hours 20.00 an
# hour (cost accounting, by division): the two price one job differently.
def test_overhead_by_the_share_and_by_the_hour_recover_a_year_and_price_a_job_apart():
    share, per_h = D(120_000) / 400_000, D(120_000) / 6_000
    by_share = priced(WORKED, house(overhead_share=share), hours=D(32))
    by_hour = priced(WORKED, house(overhead_by="hour", overhead_per_h=per_h), hours=D(32))

    assert (share, per_h) == (D("0.3"), D(20))
    assert of(by_share, "overhead") == D("988.15")
    assert of(by_hour, "overhead") == D("640.00")
    assert next(ln.how for ln in by_hour if ln.kind == "overhead") == "32 h × $20.00"


def test_overhead_by_the_hour_is_of_the_hours_that_the_bid_prints():
    lines = built(shelf_with(overhead_by="hour", overhead_per_h="20.00")).lines
    hours = D(next(ln.how for ln in lines if ln.label == "Labor").split(" h")[0])

    assert of(lines, "overhead") == hours * 20


def test_burden_is_a_share_of_the_wage():
    """Employer FICA, 7.65 % of 28.50, is 2.18025 (IRS Pub. 15, from memory)."""
    figures = SHELF.house.changed(wage_per_h="28.50", burden_share="0.0765")

    assert paid_per_h(figures) - D("28.50") == D("2.18025")


def test_overtime_is_paid_above_the_plain_wage_in_a_line_of_its_own():
    """Three hours over, half as much again on 29.50 with 31 % burden: 57.97."""
    shelf = shelf_with(overtime_after_h=8.0)
    system = system_for(FLOOR, PALETTE, shelf.finish("matte"), shelf)
    work = replace(work_for(FLOOR, system, shelf), overtime_h=3.0)
    line = next(
        ln
        for ln in bid_for(FLOOR, system, work, shelf).lines
        if ln.label.startswith("Overtime")
    )

    assert line.amount == D("57.97")  # 3 × 0.5 × 38.645 = 57.9675
    assert line.how == "3.00 h beyond 8 h a day × 0.5 × ($29.50 + 31% burden)"


def test_no_overtime_is_printed_where_the_house_pays_none():
    assert all("Overtime" not in line.label for line in built().lines)


@pytest.mark.parametrize(
    ("step", "how", "off"),
    [
        # 5037.64 by hand: up to 5040, 5050, 5100; nearest 5040, 5050, 5000; down 5035 ...
        ("5", "up", "2.36"),
        ("10", "up", "2.36"),
        ("50", "up", "12.36"),
        ("100", "up", "62.36"),
        ("5", "nearest", "2.36"),
        ("100", "nearest", "-37.64"),
        ("5", "down", "-2.64"),
        ("0", "up", "0"),
    ],
)
def test_the_asked_price_is_rounded_in_a_line_of_its_own(step, how, off):
    lines = priced(WORKED, house(round_to=step, round_how=how))

    assert of(lines, "rounding") == D(off)
    assert total(lines) == D("5037.64") + D(off)


def test_a_price_that_is_round_already_gets_no_line():
    direct = (Line("Materials", D("850.00"), "materials", "given"),)
    lines = priced(direct, house(overhead_share="0", round_to="50"))

    assert total(lines) == 1000
    assert all(line.kind != "rounding" for line in lines)


def test_a_price_is_never_rounded_down_to_nothing():
    direct = (Line("Materials", D("0.85"), "materials", "given"),)

    lines = priced(direct, house(overhead_share="0", round_to="50", round_how="down"))
    assert total(lines) == 1


def test_a_discount_comes_out_of_the_margin_all_of_it():
    """Five percent of 5037.64 is 251.88; of 755.65 kept, 503.77 are left."""
    plain = priced(WORKED, house())
    lines = priced(WORKED, house(), discount=Discount(share="0.05"))

    assert of(plain, "margin") == D("755.65")
    assert of(lines, "discount") == D("-251.88")
    assert total(lines) - D("4281.99") == D("503.77")


def test_a_discount_rounds_towards_the_owner():
    """Three percent of 5037.64 are 151.1292: 151.12 is taken off, not 151.13."""
    lines = priced(WORKED, house(), discount=Discount(share="0.03"))

    assert of(lines, "discount") == D("-151.12")


def test_what_is_left_is_told_as_margin_and_as_markup():
    """30 % of the price is 42.857 % of the cost; both are the same money."""
    figures = BuildUp(
        lines=(
            Line("All", D("1000.00"), "materials", ""),
            Line("Margin", D("428.57"), "margin", ""),
        ),
        cost=D(1000),
        tax=D(0),
        total=D("1428.57"),
        allowed=D(0),
        floor_price=D(1000),
        area_sqft=D(100),
        price_per_sqft=D("14.29"),
        concerns=(),
    )

    assert figures.margin_share == pytest.approx(D("0.30"), abs=D("1e-5"))
    assert figures.markup_share == D("0.42857")


@pytest.mark.parametrize(
    ("margin", "markup"),
    [
        # k = m / (1 − m), by algebra
        ("0.25", "0.333333"),
        ("0.30", "0.428571"),
        ("0.35", "0.538462"),
        ("0.40", "0.666667"),
        ("0.50", "1.000000"),
    ],
)
def test_margin_and_markup_are_two_names_of_one_sum(margin, markup):
    direct = (Line("Materials", D("100000.00"), "materials", ""),)
    lines = priced(direct, house(overhead_share="0", margin_share=margin))

    assert (of(lines, "margin") / 100_000).quantize(D("1e-6")) == pytest.approx(
        D(markup), abs=D("1e-6")
    )


@pytest.mark.parametrize(
    ("markup", "margin"),
    [
        # m = k / (1 + k), by algebra
        ("0.10", "0.090909"),
        ("0.25", "0.200000"),
        ("0.50", "0.333333"),
        ("1.00", "0.500000"),
    ],
)
def test_a_markup_is_told_as_the_margin_that_it_leaves(markup, margin):
    asked = 1000 * (1 + D(markup))
    figures = replace(built(), cost=D(1000), tax=D(0), total=asked)

    assert figures.markup_share == D(markup)
    assert figures.margin_share == pytest.approx(D(margin), abs=D("1e-6"))


def test_tax_by_class_taxes_materials_and_services_apart():
    """Price 5037.64; materials, 1850 of 3293.84 direct, are 2829.41 of it.

    The rest is 2208.23.

    8.25 % of 2829.41 is 233.43; 1 % of 2208.23 is 22.08.
    """
    rules = house(tax_on="classes", tax_share="0.0825", service_tax_share="0.01")
    lines = [line for line in priced(WORKED, rules) if line.kind == "tax"]

    assert [(line.label, line.amount) for line in lines] == [
        ("Sales tax, materials", D("233.43")),
        ("Sales tax, services", D("22.08")),
    ]
    assert lines[0].how == "8.25% of $2,829.41"


def test_classes_at_one_share_are_the_tax_on_the_price():
    both = house(tax_on="classes", tax_share="0.0825", service_tax_share="0.0825")
    one = house(tax_on="price", tax_share="0.0825")

    assert of(priced(WORKED, both), "tax") == pytest.approx(
        of(priced(WORKED, one), "tax"), abs=CENT
    )


def test_disposal_is_no_purchase_that_is_taxed():
    lines = {line.label: line for line in built().lines}
    bought = of(lines.values(), "materials")

    assert lines["Disposal"].amount == 66
    assert lines["Sales tax on materials"].how == f"6.5% of ${bought:,.2f}"


def subcontracted(**given_):
    charge = {
        "key": "haul",
        "name": "Haul the old carpet away",
        "kind": "subcontract",
        "driver": "area",
        "price": "3.00",
        "source": "made up",
    }
    return replace(SHELF, charges=(filled(Charge, {**charge, **given_}),))


def test_what_others_charge_is_a_line_of_cost():
    """56 m² at 3.00 are 168.00, or the least that they come for."""
    line = next(ln for ln in built(subcontracted()).lines if ln.kind == "subcontract")
    assert line.amount == 168
    assert line.how == "602.8 sq ft at 0.2787 a sq ft"

    line = next(
        ln for ln in built(subcontracted(least="250")).lines if ln.kind == line.kind
    )
    assert line.amount == 250
    assert line.how.endswith("raised to the least of 250")
    assert built(subcontracted()).cost > built().cost + 168


def test_mobilization_is_paid_once_a_job():
    lines = {ln.label: ln for ln in built(shelf_with(mobilization_price="180.00")).lines}

    assert lines["Mobilization"].amount == 180
    assert "Mobilization" not in {line.label for line in built().lines}


def test_a_discount_below_the_floor_price_warns_the_owner():
    """Cost over 1 − 0.10 is the least; eighteen percent margin may fall to ten."""
    shelf = shelf_with(least_margin_share="0.10")
    plain = built(shelf)

    assert plain.floor_price == (plain.cost / D("0.9")).quantize(CENT, "ROUND_CEILING")
    assert plain.concerns == ()
    near = built(shelf, discount=Discount(share="0.08"))
    assert near.concerns == ()
    low = built(shelf, discount=Discount(share="0.10"))
    assert [concern.about for concern in low.concerns] == ["floor price"]
    assert low.before_tax < low.floor_price == plain.floor_price


def test_discount_and_rounding_leave_allowances_at_their_price():
    shelf = shelf_with(tax_on="none", round_to="50")
    (one,) = (extra for extra in shelf.extras if extra.key == "crack_repair")
    crack = [one.changed(allowance=one.allowance.changed(quantity=41))]

    def asked(extras):
        return bid(
            FLOOR, PALETTE, shelf.finish("matte"), shelf, extras, Discount(share="0.1")
        ).total

    assert asked(crack) - asked([]) == 41 * D("11.50")


@pytest.mark.parametrize(
    ("given_", "told"),
    [
        ({"share": "1"}, "share: found 1; expected less than 1"),
        ({"share": "8"}, "share: found 8; expected less than 1"),
        ({"share": "-0.1"}, "share: found -0.1; expected at least 0"),
        ({"amount": "-5"}, "amount: found -5; expected at least 0"),
        (
            {"share": "0.1", "amount": "5"},
            "discount: found share 0.1 and amount 5; expected",
        ),
        ({"sharee": "0.1"}, "sharee: found a name that is not known here"),
        ({"amount": "5 EUR"}, "amount: found 5 EUR; expected"),
    ],
)
def test_a_discount_that_is_none_is_named(given_, told):
    with pytest.raises(SheetError) as caught:
        filled(Discount, given_)

    assert told in caught.value.line


def test_a_discount_beyond_the_price_is_named():
    with pytest.raises(
        SheetError, match=r"^discount, amount: found \$9,000.00; expected at "
    ):
        priced(WORKED, house(), discount=Discount(amount="9000"))


@pytest.mark.parametrize(
    ("field", "wrong", "told"),
    [
        ("margin_share", "1", "margin_share: found 1; expected less than 1"),
        ("margin_share", "1.2", "margin_share: found 1.2; expected less than 1"),
        ("tax_share", "8.25", "tax_share: found 8.25; expected less than 1"),
        ("service_tax_share", "6", "service_tax_share: found 6; expected less than 1"),
        ("least_margin_share", "1", "least_margin_share: found 1; expected less than 1"),
        ("overtime_factor", "0.5", "overtime_factor: found 0.5; expected at least 1"),
        ("overtime_after_h", 0, "overtime_after_h: found 0; expected more than 0"),
        ("round_to", "-5", "round_to: found -5; expected at least 0"),
        ("overhead_by", "month", "overhead_by: found month; expected 'share' or 'hour'"),
        ("tax_on", "labor", "tax_on: found labor; expected"),
        ("currency", "dollars", "currency: found dollars; expected"),
    ],
)
def test_a_figure_of_the_house_that_cannot_be_is_named(field, wrong, told):
    with pytest.raises(ShelfError) as caught:
        filled(House, {**dict(SHELF.house), field: wrong}, family=ShelfError)

    assert told in caught.value.line


def test_overhead_by_the_hour_without_a_rate_is_named():
    """Else a switch that was turned and not filled in would give overhead away."""
    with pytest.raises(ShelfError, match=r"house, overhead_per_h: found 0\.00; exp"):
        SHELF.house.changed(overhead_by="hour")


def test_two_currencies_are_never_mixed():
    asked = bid(FLOOR, PALETTE, SHELF.finish("matte"), SHELF)

    with pytest.raises(ShelfError, match="currency: found EUR; expected USD"):
        offer_of(asked, shelf_with(currency="EUR"))


@settings(max_examples=40)
@given(
    st.integers(0, 40),
    st.sampled_from(["0", "5", "25", "100"]),
    st.sampled_from(["up", "nearest", "down"]),
    st.sampled_from(["materials", "price", "classes", "none"]),
    st.sampled_from(["share", "hour"]),
    st.sampled_from(["USD", "JPY", "KWD", "EUR", "GBP"]),
)
def test_lines_sum_whatever_the_rules_of_the_house(off, step, how, tax, by, currency):
    shelf = shelf_with(
        round_to=step, round_how=how, tax_on=tax, overhead_by=by, overhead_per_h="19.00",
        service_tax_share="0.04", currency=currency, overtime_after_h=8.0,
    )  # fmt: skip
    found = built(shelf, discount=Discount(share=D(off) / 100))

    assert found.total == total(found.lines)
    on_top = sum(of(found.lines, kind) for kind in ("margin", "discount", "rounding"))
    assert found.cost + on_top + found.tax == found.total
    assert found.margin == on_top
    if step != "0":
        assert found.before_tax % D(step) == 0


@settings(max_examples=30)
@given(st.floats(2.0, 16.0), st.floats(0.0, 8.0), st.booleans())
def test_the_price_never_falls_when_the_floor_grows_under_every_rule(width, more, hourly):
    """Before tax: more of it may be labor, which is taxed at less than materials here."""
    shelf = shelf_with(
        overtime_after_h=8.0, round_to="25", overhead_by="hour" if hourly else "share",
        overhead_per_h="19.00", tax_on="classes", service_tax_share="0.04",
        mobilization_price="150",
    )  # fmt: skip
    small, large = rectangle(width, 6.0), rectangle(width + more, 6.0)

    assert built(shelf, floor=large).before_tax >= built(shelf, floor=small).before_tax


@pytest.mark.parametrize(
    "risen",
    [
        {"overtime_after_h": 8.0},
        {"overtime_factor": "2.0", "overtime_after_h": 8.0},
        {"mobilization_price": "200"},
        {"overhead_by": "hour", "overhead_per_h": "60"},
        {"round_to": "100"},
        {"tax_on": "classes", "service_tax_share": "0.05"},
    ],
    ids=lambda risen: next(iter(risen)),
)
def test_the_price_rises_with_every_new_figure_of_the_house(risen):
    floor = rectangle(9.0, 8.5)
    before = built(
        shelf_with(overtime_after_h=risen.get("overtime_after_h", 24)), floor=floor
    )
    if "overtime_factor" not in risen and "overtime_after_h" in risen:
        before = built(floor=floor)

    assert built(shelf_with(**risen), floor=floor).total > before.total


def test_no_figure_of_the_owner_reaches_the_offer():
    assert not issubclass(Offer, BuildUp)
    assert issubclass(Bid, BuildUp)
    shelf = shelf_with(
        least_margin_share="0.1", round_to="5", tax_on="classes", overtime_after_h=8.0
    )
    asked = bid(FLOOR, PALETTE, shelf.finish("matte"), shelf, (), Discount(share="0.02"))
    words = json.dumps(offer_of(asked, shelf), default=lambda one: one.__dict__ if hasattr(
        one, "__dict__") else str(one))  # fmt: skip

    for amount in (asked.cost, asked.floor_price, asked.margin):
        assert f"{amount}" not in words
    assert not {f.name for f in fields(Offer)} & {"cost", "margin", "floor_price", "lines"}


def test_the_offer_says_what_was_taken_off():
    asked = bid(FLOOR, PALETTE, SHELF.finish("matte"), SHELF, (), Discount(amount="250"))
    offer = offer_of(asked, SHELF)

    assert offer.discount == 250
    assert offer.discount_note == "A discount of $250.00 is taken off in this price."
    plain = offer_of(bid(FLOOR, PALETTE, SHELF.finish("matte"), SHELF), SHELF)
    assert (plain.discount, plain.discount_note) == (0, "")
    assert plain.total - offer.total == 250


@pytest.mark.parametrize(
    ("rules", "note"),
    [
        (
            {"tax_on": "classes", "tax_share": "0.08", "service_tax_share": "0.05"},
            "Sales tax of 8% on materials and 5% on services is included.",
        ),
        ({"tax_on": "classes", "tax_share": "0"}, "No sales tax is included."),
    ],
)
def test_an_offer_says_which_classes_are_taxed(rules, note):
    shelf = shelf_with(**rules)

    assert (
        offer_of(bid(FLOOR, PALETTE, shelf.finish("matte"), shelf), shelf).tax_note == note
    )


def test_the_owners_json_tells_margin_and_markup_and_the_floor():
    asked = bid(FLOOR, PALETTE, SHELF.finish("matte"), SHELF, (), Discount(share="0.05"))
    written = owner_json(asked)

    assert D(written["before_tax"]) - D(written["cost"]) == D(written["margin"])
    assert written["margin_share"] < written["markup_share"]
    assert D(written["discount"]) == -of(asked.lines, "discount") > 0
    assert D(written["floor_price"]) == asked.floor_price


def test_a_job_keeps_its_discount_and_a_new_one_takes_the_signature_off(demo_job):
    from kit.job import Signature, still_signed

    less = demo_job.changed(discount={"share": "0.05", "reason": "Neighbors"})
    assert Job.model_validate_json(less.model_dump_json(by_alias=True)) == less
    assert workup(less).offer.total < workup(demo_job).offer.total

    signed = demo_job.changed(
        signed=Signature(name="Ines Quarrie", day=demo_job.date, total="7000.00")
    )
    after = signed.changed(discount={"amount": "100"})
    assert still_signed(signed, after).signed is None
