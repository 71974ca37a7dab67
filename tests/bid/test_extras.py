"""Extras: worked by hand, as differences of totals, and what of them a client may see."""

import json
from dataclasses import asdict, fields, replace
from decimal import Decimal

import pytest
from floors import FT, PALETTE, rectangle, shelf_with
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.bid import ExtraOption, Pricing, bid, offer_of, owner_json
from kit.coats import cheapest_kits
from kit.errors import ShelfError
from kit.stock import read_shelf, taken_of, why_not

SHELF = read_shelf()
FLOOR = rectangle(8.0, 7.0)
"""56 m², 30 m of wall with a way out of 0.9 m: 29.1 m for a base."""
KEYS = [extra.key for extra in SHELF.extras]
PLAIN = shelf_with(
    overhead_share="0", contingency_share="0", margin_share="0.20", tax_on="none",
    minimum_charge="0",
)  # fmt: skip
"""A firm whose price is its direct cost over 0.8, so that sums fit on a page."""


def taken(*keys, shelf=SHELF):
    return taken_of(keys, shelf.extras)


def priced(*keys, finish="matte", shelf=SHELF, floor=FLOOR):
    return bid(floor, PALETTE, shelf.finish(finish), shelf, taken(*keys, shelf=shelf))


def options_of(asked):
    return {one.option.extra: one.option for one in asked.extras}


def added_by(key, shelf=PLAIN):
    """Lines of the bid that an extra changes, by how much, and the floor with it."""
    pricing = Pricing(FLOOR, PALETTE, shelf)
    finish = shelf.finish("matte")
    before, after = pricing.floor(finish), pricing.floor(finish, taken(key, shelf=shelf))
    old = {line.label: line.amount for line in before.built.lines}
    apart = {line.label: line.amount - old.get(line.label, 0) for line in after.built.lines}
    return {label: amount for label, amount in apart.items() if amount}, after


def test_a_moisture_primer_worked_on_paper():
    """By hand, from the shelf's own rates, for 56 m².

    16 mil is 406.4 µm: 56 × 0.4064 × 1.08 = 24.579 l, in kits of 5.678, 11.356, 18.927
    and 56.781 l at $168, 312, 494, 1380 cheapest as 18.927 + 5.678 = 24.605 l, $662.
    Hours: 3 buckets at 12, 56 m² at 26 and at 55, and a day more to set up for two,
    2 ÷ 0.8: 0.25 + 2.1538 + 1.0182 + 2.5 = 5.9220; the bid rounds 29.893 h to 29.89 and
    35.815 to 35.81, 5.92 h more at 29.50 × 1.31 = 38.645 is $228.78.
    Used up: 2 covers 14.80, 2 brushes 4.20, a blade 18.00, 3 buckets 13.80, a paddle
    9.50, 2 days of gloves 17.00: $77.30. Taken away: a day of waste, $22.00.
    A day of grinders, extractor and mixing station: 145 + 28 + 70 + 18 = $261.
    A trip: 64 + 2 × 38.645 = $141.29.
    662 + 228.78 + 77.30 + 22 + 261 + 141.29 = 1392.37, over 0.8 is 1740.46.
    """
    lines, floor = added_by("moisture_primer")

    assert lines.pop("Margin") == Decimal("348.09")
    assert lines == {
        "Moisture primer": Decimal("662.00"),
        "Labor": Decimal("228.78"),
        "Sundries": Decimal("77.30"),
        "Disposal": Decimal("22.00"),
        "Equipment": Decimal("261.00"),
        "Travel and mobilization": Decimal("141.29"),
    }
    option = options_of(priced(shelf=PLAIN))["moisture_primer"]
    assert option.difference == Decimal("1740.46")
    assert [coat.kind for coat in floor.system.coats] == [
        *("primer", "seal", "flood", "wear")
    ]


def test_a_cove_base_worked_on_paper():
    """By hand, 29.1 m of it, 4 in high on a fillet of 1 in, mortar 1/8 in thick.

    Mortar: 29.1 × (0.1016 × 0.003175 + 0.214602 × 0.0254²) m² is 13.416 l, and eight
    percent more 14.489 l: kits of 3.785 + 11.356 l, 74 + 198 = $272.
    Strips of 2.4384 m: 11.93, so 12 at 7.20, $86.40; the fourth day brings gloves for
    two, 17.00: $103.40 of sundries; and a bag of waste, 22.00.
    Hours: 29.1 ÷ 3.5 + 29.1 ÷ 14 + 29.1 ÷ 24 + 2.5 = 14.1054; 44.00 − 29.89 h at
    38.645 is 545.28. Face: 29.1 × 0.1016 = 2.957 m², of which the seal coat covers
    all at 203.2 µm, the flood coat 0.3 at 889 µm: 0.649 and 0.852 l more, still in the
    same kits; tint and metallic for them, $2.27.
    272 + 103.40 + 22 + 545.28 + 2.27 + 261 + 141.29 = 1347.24, over 0.8 is 1684.05.
    """
    lines, floor = added_by("cove")

    assert lines.pop("Margin") == Decimal("336.81")
    assert lines == {
        "Cove base, 4 in, mortar": Decimal("272.00"),
        "Sundries": Decimal("103.40"),
        "Disposal": Decimal("22.00"),
        "Labor": Decimal("545.28"),
        "Pigments and tint": Decimal("2.27"),
        "Equipment": Decimal("261.00"),
        "Travel and mobilization": Decimal("141.29"),
    }
    option = options_of(priced(shelf=PLAIN))["cove"]
    assert option.difference == Decimal("1684.05")
    assert option.amount == f"{29.1 / FT:.1f} ft" == "95.5 ft"
    assert floor.system.fills[0].volume_l == pytest.approx(14.489, abs=5e-4)


def test_one_more_color_worked_on_paper():
    """By hand, 56 m²: a third of an hour to mix and 56 ÷ 110 to lay, 0.8424 h.

    29.893 h become 30.735; the bid rounds to 29.89 and 30.74, 0.85 h at 38.645, $32.85.
    A jar for 60 m² at 38.00 and a bucket at 4.60: $42.60. 75.45 over 0.8 is 94.31.
    """
    lines, _ = added_by("extra_color")

    assert lines == {
        "Labor": Decimal("32.85"),
        "Sundries": Decimal("42.60"),
        "Margin": Decimal("18.86"),
    }
    assert options_of(priced(shelf=PLAIN))["extra_color"].difference == Decimal("94.31")


def test_all_that_a_client_may_ask_for_is_priced_as_a_difference():
    asked = priced()
    plain = asked.total

    assert {"matte", "matte_grip", "gloss"} <= {one.finish for one in asked.options}
    assert all(one.total - plain == one.difference for one in asked.options)
    offered = options_of(asked)
    for key in (
        *("cove", "moisture_primer", "second_flood", "extra_color"),
        *("crack_repair", "grip_where_wet"),
    ):
        assert offered[key].difference == priced(key).total - plain > 0
    assert offered["crack_repair"].unit_price == Decimal("11.50")


def test_a_second_flood_coat_shares_the_kits_of_the_first():
    """By hand: 56 × (0.889 + 0.635) × 1.08 = 92.171 l is 24.35 gal; 15 + 5 + 3 + 1.5 gal.

    Alone the coats would take 15 gal, $1140, and 10.15 gal, 3 × 3 + 1.5 at $934: $2074
    for what is had for 1140 + 415 + 264 + 142 = $1961.
    """
    _, floor = added_by("second_flood")

    flood = floor.system.purchase("flood_epoxy")
    assert flood.name == "Flood coat and second flood coat"
    assert flood.order.needed_l == pytest.approx(92.17152)
    assert flood.order.cost == 1961
    apart = [cheapest_kits(flood.product.packs, one.volume_l).cost for one in flood.made]
    assert apart == [1140, 934]
    assert [need.share for need in floor.system.coats[2].pigments] == list(PALETTE.shares)


def test_a_coat_more_is_a_day_more():
    pricing = Pricing(FLOOR, PALETTE, SHELF)
    finish = SHELF.finish("matte")
    days = {
        keys: tuple(s.days for s in pricing.floor(finish, taken(*keys)).work.stages)
        for keys in ((), ("moisture_primer",), ("second_flood",))
    }

    assert days == {
        (): (1, 1, 1),
        ("moisture_primer",): (2, 1, 1),
        ("second_flood",): (1, 2, 1),
    }


def test_an_allowance_asks_just_its_quantity_at_its_unit_price():
    """40 ft at $11.50 is $460.00, of which $284.00 at $7.10 is cost: by hand."""
    plain, with_it = priced(), priced("crack_repair")
    added = with_it.lines[len(plain.lines) :]

    assert with_it.total - plain.total == Decimal("460.00")
    assert [(ln.kind, ln.amount, ln.how) for ln in added] == [
        ("allowance", Decimal("284.00"), "40 ft × $7.10"),
        ("margin", Decimal("176.00"), "40 ft × ($11.50 − $7.10)"),
    ]
    assert with_it.cost - plain.cost == Decimal("284.00")
    option = options_of(with_it)["crack_repair"]
    assert option.much("USD") == "40 ft at $11.50 a foot"


def test_an_allowance_stands_beside_the_minimum_charge():
    """On a closet the minimum is asked, and the allowance comes on top of it."""
    shelf = shelf_with(minimum_charge="9000")
    closet = rectangle(2.0, 2.0)

    assert priced(shelf=shelf, floor=closet).total == 9000
    assert priced("crack_repair", shelf=shelf, floor=closet).total == 9460


def test_tax_on_the_price_comes_on_top_of_an_allowance_and_its_words_say_so():
    """8.25 % of 460.00 is 37.95: 497.95, to the cent that the tax line rounds."""
    shelf = shelf_with(tax_on="price", tax_share="0.0825")
    option = options_of(priced(shelf=shelf))["crack_repair"]

    assert abs(option.difference - Decimal("497.95")) <= Decimal("0.01")
    assert option.much("USD") == "40 ft at $11.50 a foot before tax"
    owners = next(e for e in priced(shelf=shelf).extras if e.option == option)
    assert (owners.cost, owners.margin) == (Decimal("284.00"), Decimal("176.00"))


@pytest.mark.parametrize("finish", ["matte", "gloss"])
@pytest.mark.parametrize("key", KEYS)
def test_a_difference_is_that_of_the_totals_and_switching_back_undoes_it(key, finish):
    off, on = priced(finish=finish), priced(key, finish=finish)
    before, after = options_of(off)[key], options_of(on)[key]

    assert (before.taken, after.taken) == (False, True)
    assert off.total + before.difference == on.total
    assert on.total + after.difference == off.total
    assert before.adds == after.adds > 0


@settings(max_examples=25)
@given(
    st.sets(st.sampled_from([key for key in KEYS if key != "cove_high"])),
    st.sampled_from([finish.key for finish in SHELF.finishes]),
)
def test_totals_are_sums_of_printed_lines_and_options_are_bids_of_their_own(keys, finish):
    asked = priced(*keys, finish=finish)

    assert sum(line.amount for line in asked.lines) == asked.total
    on_top = sum(line.amount for line in asked.lines if line.kind == "margin")
    assert asked.cost + on_top == asked.total
    for one in asked.options:
        assert one.total == priced(*keys, finish=one.finish).total
    for one in asked.extras:
        if one.option.difference is not None:
            switched = keys ^ {one.option.extra}
            alone = priced(*switched, finish=finish)
            assert one.option.difference == alone.total - asked.total
            assert abs(alone.cost - asked.cost) == abs(one.cost)


def test_extras_are_the_same_in_whatever_order_they_are_taken():
    assert priced("crack_repair", "cove") == priced("cove", "crack_repair")


def test_a_finish_that_has_it_already_is_not_charged_twice():
    """Grip where water is used adds nothing to a coat with grip everywhere."""
    grip = priced("grip_where_wet", finish="matte_grip")
    option = options_of(grip)["grip_where_wet"]

    assert grip.total == priced(finish="matte_grip").total
    assert (option.taken, option.counts, option.difference) == (True, False, None)
    assert option.blocked == "Matte with grip has it already."
    smooth = priced("grip_where_wet")
    finishes = {one.finish: one.total for one in smooth.options}
    assert finishes["matte_grip"] == grip.total
    assert smooth.total - priced().total == 120


def test_two_that_rule_each_other_out_are_refused_in_words():
    with pytest.raises(ShelfError) as caught:
        taken("cove", "cove_high")

    assert caught.value.line == (
        "extras: found Cove base, 4 in and Cove base, 6 in; expected only one of the two"
    )
    options = options_of(priced("cove"))
    assert options["cove_high"].blocked == "Not together with Cove base, 4 in."
    assert options["cove_high"].adds is None
    assert options_of(priced("cove_high"))["cove"].blocked


def test_one_that_needs_another_waits_for_it_and_holds_it():
    cap = SHELF.extras[-1].changed(key="cap", name="Cap", needs=("cove",), given_by=())
    shelf = replace(SHELF, extras=(*SHELF.extras, cap))

    with pytest.raises(ShelfError, match="found Cap by itself; expected Cove base, 4 in"):
        taken("cap", shelf=shelf)
    assert options_of(priced(shelf=shelf))["cap"].blocked == "Only with Cove base, 4 in."
    both = options_of(priced("cove", "cap", shelf=shelf))
    assert both["cap"].blocked == ""
    assert both["cove"].blocked == "Cap needs it."
    matte = SHELF.finish("matte")
    assert why_not(cap, taken("cove", shelf=shelf), shelf.extras, matte) == ""


@pytest.mark.parametrize(
    ("keys", "told"),
    [
        (["gold"], "found gold; expected one of cove, cove_high, "),
        (["cove", "cove"], "found cove twice; expected it once"),
    ],
)
def test_unknown_and_doubled_keys_are_refused_and_the_field_named(keys, told):
    with pytest.raises(ShelfError) as caught:
        taken_of(keys, SHELF.extras, about="floor, extras")

    assert caught.value.line.startswith(f"floor, extras: {told}")


def test_a_floor_without_a_shelf_of_extras_is_offered_none():
    bare = replace(SHELF, extras=())

    assert bid(FLOOR, PALETTE, bare.finish("matte"), bare).extras == ()
    with pytest.raises(ShelfError, match="none are offered"):
        taken("cove", shelf=bare)


def test_what_a_client_sees_of_an_extra_has_no_place_for_the_owners_side():
    asked = priced("cove", "crack_repair")
    offer = offer_of(asked, SHELF)
    words = json.dumps([asdict(one) for one in offer.extras], default=str).lower()

    assert {f.name for f in fields(ExtraOption)} == {
        *("extra", "name", "says", "amount", "unit_price", "unit", "before_tax"),
        *("difference", "taken", "counts", "blocked", "scope", "left_out"),
    }
    assert all(type(one) is ExtraOption for one in offer.extras)
    assert not any(word in words for word in ("margin", "overhead", "wage", "cost", "hour"))
    for one in asked.extras:
        if one.cost:
            assert f"{one.cost}" not in words


def test_the_owner_reads_what_an_extra_adds_to_cost_hours_and_days():
    written = {e["extra"]: e for e in owner_json(priced("cove"))["extras"]}

    assert written["cove"]["taken"]
    assert Decimal(written["cove"]["difference"]) < 0 < written["cove"]["adds_days"]
    assert written["cove_high"]["difference"] is None
    assert written["crack_repair"]["unit_price"] == "11.50"
    assert json.dumps(written)
