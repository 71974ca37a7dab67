"""The build-up: a worked bid to the cent, margin, tax, minimum, and lines that sum."""

from dataclasses import replace
from decimal import ROUND_HALF_EVEN, Decimal

import pytest
from floors import PALETTE, dearer, rectangle, shelf_with
from hypothesis import given
from hypothesis import strategies as st

from kit.bid import Line, bid_for, priced
from kit.coats import system_for
from kit.money import CENT, cents, minor_unit, price_for_margin, rounded, shown
from kit.stock import read_shelf
from kit.work import work_for

SHELF = read_shelf()
MONEY = st.integers(0, 5_000_000).map(lambda cent: Decimal(cent) / 100)
SHARES = st.integers(0, 60).map(lambda percent: Decimal(percent) / 100)


def house(**given_):
    plain = {
        "tax_on": "none",
        "contingency_share": "0",
        "minimum_charge": "0",
        "overhead_share": "0.30",
        "margin_share": "0.15",
    }
    return SHELF.house.changed(**{**plain, **given_})


def direct(materials, labor, equipment):
    amounts = {"materials": materials, "labor": labor, "equipment": equipment}
    return tuple(Line(kind, Decimal(a), kind, "given") for kind, a in amounts.items())


def built(floor, finish="matte", shelf=SHELF):
    system = system_for(floor, PALETTE, shelf.finish(finish), shelf)
    return bid_for(floor, system, work_for(floor, system, shelf), shelf)


def total(lines):
    return sum(line.amount for line in lines)


def amount(lines, kind):
    return sum(line.amount for line in lines if line.kind == kind)


@pytest.mark.parametrize(
    ("margin", "price"),
    [
        # price = cost / (1 − margin), by algebra, for a cost of 1000.
        ("0.25", "1333.33"),
        ("0.30", "1428.57"),
        ("0.35", "1538.46"),
        ("0.40", "1666.67"),
        ("0.50", "2000.00"),
    ],
)
def test_margin_is_a_share_of_the_price_and_not_a_markup(margin, price):
    margin, price = Decimal(margin), Decimal(price)
    lines = priced(direct("1000", "0", "0"), house(overhead_share="0", margin_share=margin))

    assert cents(price_for_margin(Decimal(1000), margin)) == price
    assert total(lines) == price
    assert total(lines) > 1000 * (1 + margin)


WORKED = direct("1850.00", "1203.84", "240.00")
"""32 h × 28.50 = 912.00, and 32 % burden on it, 291.84."""


def test_a_bid_worked_on_paper():
    """3293.84 direct, 988.15 overhead, 4281.99 cost, 15 % of the price: 5037.64."""
    lines = priced(WORKED, house())

    assert amount(lines, "overhead") == Decimal("988.15")
    assert total(lines) == Decimal("5037.64")


def test_a_bid_worked_on_paper_with_contingency():
    """Eight percent of 4281.99 is 342.56; 4624.55 over 0.85 is 5440.65."""
    lines = priced(WORKED, house(contingency_share="0.08"))

    assert amount(lines, "contingency") == Decimal("342.56")
    assert total(lines) == Decimal("5440.65")


def test_labor_is_hours_times_wage_with_its_burden():
    """32 h × 28.50 × 1.32 = 1203.84, whatever the floor."""
    shelf = shelf_with(wage_per_h="28.50", burden_share="0.32")
    floor = rectangle(8.0, 7.0)
    system = system_for(floor, PALETTE, shelf.finish("matte"), shelf)
    work = replace(work_for(floor, system, shelf), crew_hours=32.0)

    assert amount(bid_for(floor, system, work, shelf).lines, "labor") == Decimal("1203.84")


def test_price_per_area_is_never_multiplied_back():
    """5037.64 over 480 sq ft is 10.4951, shown 10.50, and 10.50 × 480 is 5040.00."""
    per_sqft = cents(Decimal("5037.64") / 480)

    assert per_sqft == Decimal("10.50")
    assert per_sqft * 480 != Decimal("5037.64")
    found = built(rectangle(8.0, 7.0))
    assert found.price_per_sqft == cents(found.total / found.area_sqft)
    assert found.total == total(found.lines)


@pytest.mark.parametrize(
    ("exact", "half_up", "half_even"),
    [
        # By the rule of each mode; binary floats get 2.675, 2.355 and 1.005 wrong.
        ("2.345", "2.35", "2.34"),
        ("2.355", "2.36", "2.36"),
        ("2.675", "2.68", "2.68"),
        ("0.125", "0.13", "0.12"),
        ("1.005", "1.01", "1.00"),
    ],
)
def test_lines_round_half_up_as_invoices_do(exact, half_up, half_even):
    assert rounded(Decimal(exact), "USD") == cents(Decimal(exact)) == Decimal(half_up)
    assert Decimal(exact).quantize(CENT, ROUND_HALF_EVEN) == Decimal(half_even)


@pytest.mark.parametrize(
    ("currency", "digits"),
    [
        # ISO 4217, from memory.
        *[(code, 2) for code in ("USD", "CAD", "EUR", "GBP", "MXN")],
        *[(code, 0) for code in ("JPY", "KRW", "CLP")],
        *[(code, 3) for code in ("KWD", "BHD", "OMR", "TND")],
    ],
)
def test_amounts_are_whole_minor_units_of_their_currency(currency, digits):
    assert minor_unit(currency) == Decimal(1).scaleb(-digits)
    found = built(rectangle(8.0, 7.0), shelf=shelf_with(currency=currency))
    assert all(line.amount % minor_unit(currency) == 0 for line in found.lines)
    assert found.total == total(found.lines)


def test_money_is_written_as_its_readers_do():
    assert shown(Decimal("5037.64")) == "$5,037.64"
    assert shown(Decimal("5037.64"), "EUR", "de_DE") == "5.037,64\N{NO-BREAK SPACE}€"
    assert shown(Decimal("5037.64"), "JPY", "en_US") == "¥5,038"


@given(MONEY, MONEY, MONEY, SHARES, SHARES, SHARES, st.sampled_from(["materials", "price"]))
def test_the_price_is_the_sum_of_its_printed_lines(
    materials, labor, equipment, overhead, margin, tax, tax_on
):
    rules = house(
        overhead_share=overhead, margin_share=margin, tax_share=tax, tax_on=tax_on
    )

    lines = priced(direct(materials, labor, equipment), rules)

    assert all(line.amount == cents(line.amount) for line in lines)
    cost = total(line for line in lines if line.kind not in {"margin", "tax"})
    if tax_on == "materials":
        cost += amount(lines, "tax")
        assert amount(lines, "tax") == cents(tax * materials)
    asked = cost + amount(lines, "margin")
    assert abs(amount(lines, "margin") - margin * asked) <= CENT
    if tax_on == "price":
        assert amount(lines, "tax") == cents(tax * asked)


def test_no_tax_line_is_printed_where_none_is_due():
    assert amount(priced(WORKED, house(tax_on="none", tax_share="0.07")), "tax") == 0
    assert all(line.kind != "tax" for line in priced(WORKED, house(tax_share="0")))


def test_a_minimum_charge_raises_the_margin_and_says_so():
    lines = priced(WORKED, house(minimum_charge="6000"))
    margin = next(line for line in lines if line.kind == "margin")

    assert total(lines) == 6000
    assert margin.how.endswith("raised to the minimum charge of $6,000.00")


def test_a_minimum_charge_is_a_concern_and_so_is_a_small_floor():
    found = built(rectangle(2.0, 2.0), shelf=shelf_with(minimum_charge="9000"))

    assert found.total == 9000
    assert [concern.about for concern in found.concerns] == [
        "minimum charge",
        "small floor",
    ]
    assert built(rectangle(8.0, 7.0)).concerns == ()


def test_cost_is_everything_but_margin_and_tax_on_the_price():
    for tax_on in ("materials", "price", "none"):
        found = built(
            rectangle(8.0, 7.0), shelf=shelf_with(tax_on=tax_on, tax_share="0.07")
        )
        on_top = amount(found.lines, "margin")
        on_top += amount(found.lines, "tax") if tax_on == "price" else 0

        assert found.cost + on_top == found.total


@given(st.floats(2.0, 20.0), st.floats(2.0, 20.0), st.floats(0.0, 8.0))
def test_the_price_never_falls_when_the_floor_grows(width_m, depth_m, more_m):
    small, large = rectangle(width_m, depth_m), rectangle(width_m + more_m, depth_m)

    assert built(large).total >= built(small).total


@given(st.floats(150.0, 900.0), st.floats(0.0, 600.0))
def test_the_price_never_falls_when_the_film_grows(film_um, more_um):
    def laid(film):
        coats = tuple(
            c.changed(film_um=film) if c.key == "flood" else c for c in SHELF.coats
        )
        return built(rectangle(8.0, 7.0), shelf=replace(SHELF, coats=coats)).total

    assert laid(film_um + more_um) >= laid(film_um)


@pytest.mark.parametrize(
    "risen",
    [
        {"wage_per_h": "40.00"},
        {"burden_share": "0.45"},
        {"trip_price": "120.00"},
        {"trip_h": 2.0},
        {"overhead_share": "0.40"},
        {"contingency_share": "0.10"},
        {"margin_share": "0.30"},
        {"tax_share": "0.10"},
        {"waste_share": 0.25},
        {"minimum_charge": "20000"},
    ],
    ids=lambda risen: next(iter(risen)),
)
def test_the_price_rises_with_every_figure_of_the_house(risen):
    before, after = (
        built(rectangle(9.0, 7.0), shelf=s) for s in (SHELF, shelf_with(**risen))
    )

    assert after.total > before.total


@given(st.integers(100, 300))
def test_the_price_never_falls_when_prices_rise(percent):
    floor = rectangle(8.0, 7.0)

    assert built(floor, shelf=dearer(SHELF, f"{percent / 100}")).total >= built(floor).total


def test_slower_tasks_never_make_a_floor_cheaper():
    floor = rectangle(8.0, 7.0)
    system = system_for(floor, PALETTE, SHELF.finish("matte"), SHELF)
    done = {task.key for task in work_for(floor, system, SHELF).tasks}
    for slowed in SHELF.tasks:
        tasks = tuple(
            t.changed(per_person_h=t.per_person_h * 0.8) if t is slowed else t
            for t in SHELF.tasks
        )
        later = built(floor, shelf=replace(SHELF, tasks=tasks))

        assert later.total >= built(floor).total
        if slowed.key in done:
            assert later.total > built(floor).total


def test_every_line_says_how_it_came_to_be():
    lines = {line.label: line for line in built(rectangle(8.0, 7.0)).lines}

    assert lines["Flood coat"].how == "1 × 15.00 gal at $1,140.00 for 14.20 gal"
    assert lines["Travel and mobilization"].how.startswith("3 trips × ($64.00 + 2 × 1 h")
    assert lines["Labor"].how.endswith(" h × ($29.50 + 31% burden)")
    assert all(line.how for line in lines.values())


@pytest.mark.parametrize("finish", SHELF.finishes, ids=lambda f: f.key)
def test_a_common_floor_asks_what_the_trade_asks(finish):
    """Six to fifteen dollars a square foot for some 640: common practice, no source."""
    per_sqft = built(rectangle(10.0, 5.95), finish.key).price_per_sqft

    assert 6 <= per_sqft <= 15
