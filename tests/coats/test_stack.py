"""The stack of coats of a floor: films, pigments by weight, and what moves them."""

import pytest
from floors import PALETTE, rectangle, shelf_with
from hypothesis import given
from hypothesis import strategies as st

from kit.coats import system_for
from kit.errors import ShelfError
from kit.pour.palette import Palette
from kit.stock import read_shelf

SHELF = read_shelf()
EVERY_FINISH = pytest.mark.parametrize("finish", SHELF.finishes, ids=lambda f: f.key)


@EVERY_FINISH
def test_every_finish_lies_on_a_seal_and_a_flood_coat(finish):
    system = system_for(rectangle(8.0, 7.0), PALETTE, finish, SHELF)

    assert [coat.kind for coat in system.coats] == ["seal", "flood", "wear"]
    assert system.coat("wear").product.key == finish.product
    assert system.coat("wear").passes == finish.passes
    assert [one.made for one in system.purchases] == [(coat,) for coat in system.coats]
    assert all(
        bought.order.bought_l >= coat.volume_l - 1e-9
        for bought, coat in zip(system.purchases, system.coats, strict=True)
    )


def test_volume_is_area_times_film_plus_waste():
    """56 m² at 889 µm is 49.784 l, and eight percent more is 53.76672 l: by hand."""
    system = system_for(
        rectangle(8.0, 7.0), PALETTE, SHELF.finish("matte"), shelf_with(waste_share=0.08)
    )

    assert system.coat("flood").volume_l == pytest.approx(53.76672, abs=1e-9)


def test_pigment_is_a_dose_of_the_mixed_weight_by_share():
    """53.76672 l at 1.10 kg/l is 59.143 kg; half of it at 1.5 % is 0.44358 kg."""
    system = system_for(
        rectangle(8.0, 7.0), PALETTE, SHELF.finish("matte"), shelf_with(waste_share=0.08)
    )
    first = system.coat("flood").pigments[0]

    assert SHELF.pigment("deep_well").dose == 0.015
    assert first.mass_kg == pytest.approx(53.76672 * 1.10 * 0.5 * 0.015, rel=1e-12)
    price = float(SHELF.pigment("deep_well").price_per_kg)
    assert float(first.cost) == pytest.approx(first.mass_kg * price, abs=0.005)


def test_the_tint_is_all_of_the_seal_coats_colour():
    seal = system_for(rectangle(8.0, 7.0), PALETTE, SHELF.finish("matte"), SHELF).coat(
        "seal"
    )

    assert [(need.key, need.share) for need in seal.pigments] == [("soot_black", 1.0)]


@given(st.lists(st.floats(0.05, 1.0), min_size=2, max_size=6))
def test_pigment_masses_over_dose_sum_to_the_mixed_weight(parts):
    keys = [pigment.key for pigment in SHELF.pigments]
    colours = [
        {"pigment": key, "share": part / sum(parts)}
        for key, part in zip(keys, parts, strict=False)
    ]
    palette = Palette(colours=colours, tint="soot_black")

    flood = system_for(rectangle(8.0, 7.0), palette, SHELF.finish("matte"), SHELF).coat(
        "flood"
    )

    mixed_kg = sum(need.mass_kg / SHELF.pigment(need.key).dose for need in flood.pigments)
    assert mixed_kg == pytest.approx(flood.volume_l * flood.product.density_kg_per_l)
    assert sum(need.share for need in flood.pigments) == pytest.approx(1.0)


def test_grain_is_weighed_by_the_area_and_only_where_the_finish_has_it():
    floor = rectangle(10.0, 5.0)
    grip = system_for(floor, PALETTE, SHELF.finish("matte_grip"), SHELF)
    plain = system_for(floor, PALETTE, SHELF.finish("matte"), SHELF)

    grain = grip.coat("wear").aggregate
    assert grain.mass_kg == pytest.approx(50 * 0.03)
    assert grip.purchases[-1].cost == grip.purchases[-1].order.cost + grain.cost
    assert plain.coat("wear").aggregate is None
    assert plain.purchases[-1].cost == plain.purchases[-1].order.cost


def test_two_passes_take_twice_the_volume_of_one():
    once = SHELF.finish("matte").changed(passes=1)
    twice = SHELF.finish("matte").changed(passes=2)
    volumes = [
        system_for(rectangle(8.0, 7.0), PALETTE, f, SHELF).coat("wear").volume_l
        for f in (once, twice)
    ]

    assert volumes[1] == pytest.approx(2 * volumes[0])


def test_each_colour_is_mixed_in_buckets_of_its_own():
    """53.77 l in shares of 0.5, 0.3, 0.2 and buckets of 10 l: 3 + 2 + 2."""
    flood = system_for(
        rectangle(8.0, 7.0), PALETTE, SHELF.finish("matte"), shelf_with(waste_share=0.08)
    ).coat("flood")

    assert flood.batches(10.0) == 7
    assert flood.batches(1000.0) == 3


@given(st.floats(0.0, 0.5), st.floats(0.0, 0.4), st.floats(3.0, 25.0))
def test_more_waste_never_buys_fewer_kits(waste, more, width_m):
    floor = rectangle(width_m, 7.0)
    systems = [
        system_for(floor, PALETTE, SHELF.finish("gloss"), shelf_with(waste_share=share))
        for share in (waste, waste + more)
    ]

    for less, most in zip(systems[0].purchases, systems[1].purchases, strict=True):
        assert most.order.cost >= less.order.cost
        assert most.order.bought_l >= less.order.bought_l - 1e-9


def test_every_coat_shows_how_its_figures_came_to_be():
    system = system_for(rectangle(8.0, 7.0), PALETTE, SHELF.finish("matte"), SHELF)

    lines = [figure.line for figure in system.coat("flood").trail]
    assert lines[1] == (
        "Flood coat, to mix: 14.20 gal = 602.8 sq ft × 35.0 mil wet + 8% waste; "
        "a gallon covers 45.8 sq ft"
    )
    assert system.purchase("flood_epoxy").bought.line == (
        "Flood coat, bought: 15.00 gal = 1 × 15.00 gal; 0.80 gal to spare"
    )


def test_an_unknown_colour_is_refused_with_the_choices():
    palette = PALETTE.changed(tint="plaid")

    with pytest.raises(ShelfError, match="tint: found plaid; expected one of soot_black"):
        system_for(rectangle(8.0, 7.0), palette, SHELF.finish("matte"), SHELF)
