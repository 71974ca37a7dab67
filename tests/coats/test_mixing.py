"""Parts A and B, and what is left of them."""

import pytest
from floors import PALETTE, rectangle, shelf_with
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.coats import split_of, system_for
from kit.coats.film import volume_l, waste_of_loss
from kit.errors import MeasureError
from kit.stock import read_shelf
from kit.units import L_PER_GAL, M2_PER_FT2, UM_PER_MIL, gallons

SHELF = read_shelf()
FLOOD = SHELF.product("flood_epoxy")


def test_two_to_one_of_7_24_gallons():
    """7.24 × 2/3 and × 1/3, by hand: 4.82667 and 2.41333 gal."""
    split = split_of(FLOOD.changed(parts_a=2, parts_b=1), 7.24 * L_PER_GAL)

    assert gallons(split.a_l) == pytest.approx(4.82667, abs=5e-6)
    assert gallons(split.b_l) == pytest.approx(2.41333, abs=5e-6)


def test_weights_of_the_parts_are_that_of_the_mix():
    """30 l at 1.10 kg/l are 33 kg; 20 l of A at 1.15 are 23 kg, so that B weighs 10."""
    product = FLOOD.changed(density_kg_per_l=1.10, density_a_kg_per_l=1.15)

    split = split_of(product, 30.0)

    assert (split.a_kg, split.b_kg) == (pytest.approx(23.0), pytest.approx(10.0))
    unweighed = split_of(product.changed(density_a_kg_per_l=None), 30.0)
    assert (unweighed.a_kg, unweighed.b_kg) == (None, None)
    assert unweighed.a_l == split.a_l


@pytest.mark.parametrize("product", SHELF.products, ids=lambda p: p.key)
def test_part_b_of_every_product_has_a_weight_that_a_hardener_can_have(product):
    split = split_of(product, 1.0)

    assert 0.85 < split.b_kg / split.b_l < 1.3


@given(st.floats(0.1, 100), st.floats(0.1, 100), st.floats(0.0, 5000.0))
def test_parts_keep_their_ratio_and_sum_to_the_whole(parts_a, parts_b, volume):
    split = split_of(FLOOD.changed(parts_a=parts_a, parts_b=parts_b), volume)

    assert split.a_l + split.b_l == pytest.approx(volume)
    assert split.a_l * parts_b == pytest.approx(split.b_l * parts_a)


def test_less_than_nothing_cannot_be_mixed():
    with pytest.raises(MeasureError, match="volume: found -1 l; expected 0 l or more"):
        split_of(FLOOD, -1.0)


def test_a_loss_of_ten_percent_takes_more_than_a_waste_of_ten():
    """480 ft² at 20 mil: 5.984416 ÷ 0.9 = 6.649351 gal, and × 1.1 = 6.582857 gal."""
    needs = [
        gallons(volume_l(480 * M2_PER_FT2, 20 * UM_PER_MIL, waste=waste))
        for waste in (waste_of_loss(0.10), 0.10)
    ]

    assert needs == pytest.approx([6.64935064935065, 6.582857142857144], abs=1e-9)


@given(st.floats(0.0, 0.45), st.floats(1.0, 5000.0))
def test_what_is_left_after_a_loss_is_the_film(loss, film_l):
    mixed_l = film_l * (1 + waste_of_loss(loss))

    assert mixed_l * (1 - loss) == pytest.approx(film_l)


@pytest.mark.parametrize("loss", [-0.01, 1.0, 10])
def test_a_loss_that_is_no_share_is_refused(loss):
    with pytest.raises(MeasureError, match=r"loss: found .* expected a share"):
        waste_of_loss(loss)


@settings(max_examples=30)
@given(st.floats(3.0, 20.0), st.floats(0.0, 0.3))
def test_leftovers_are_what_was_bought_less_what_is_mixed(width_m, waste):
    system = system_for(
        rectangle(width_m, 7.0),
        PALETTE,
        SHELF.finish("gloss"),
        shelf_with(waste_share=waste),
    )

    left = {one.product: one for one in system.leftovers}
    for purchase in system.purchases:
        mixed_l = sum(made.volume_l for made in purchase.made)
        spare_l = purchase.order.bought_l - mixed_l
        kept = left.get(purchase.product.key)
        assert (kept.volume_l if kept else 0.0) == pytest.approx(spare_l, abs=1e-8)


def test_leftovers_are_told_with_what_they_are_left_of():
    system = system_for(
        rectangle(8.0, 7.0), PALETTE, SHELF.finish("matte"), shelf_with(waste_share=0.08)
    )
    left = next(one for one in system.leftovers if one.product == "flood_epoxy")

    assert left.figure.line == (
        "Self-leveling clear epoxy, left: 0.80 gal = 15.00 gal bought − 14.20 gal to mix"
    )
    assert left.split.a_l == pytest.approx(2 * left.split.b_l)


def test_every_figure_of_a_coat_hangs_on_the_area_that_was_measured():
    system = system_for(rectangle(8.0, 7.0), PALETTE, SHELF.finish("matte_grip"), SHELF)

    def names(figure):
        return {figure.name} | {name for part in figure.parts for name in names(part)}

    for purchase in system.purchases:
        assert "Net area" in names(purchase.bought)
    for coat in system.coats:
        for figure in coat.trail[1:]:
            assert "Net area" in names(figure), figure.name
    # 53.76672 l × 2/3 × 1.15 kg/l ÷ 0.45359237 kg/lb: 90.88 lb, by hand.
    lines = [figure.line for figure in system.coat("flood").trail]
    assert lines[2:4] == [
        "Flood coat, part A: 9.47 gal = 14.20 gal × 2 of 3 parts",
        "Flood coat, part A by weight: 90.88 lb = 9.47 gal × 9.60 lb a gallon",
    ]
    assert lines[-1].endswith(
        "14.20 gal mixed × 20% × 5.88 oz a gallon, 4.0% of its weight"
    )
