"""Times by temperature: Arrhenius and doubling, worked apart; laws that must hold.

R is CODATA 2018. Published activation energies of amine and epoxy: 44 to 60 kJ/mol
(Thermochimica Acta 447, 2006; J. Appl. Polym. Sci. 56, 1995; abstracts).
"""

import math
import shutil
from importlib.resources import as_file, files

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.errors import MeasureError, ShelfError
from kit.stock import read_shelf
from kit.work.windows import (
    doubling_activation_kj_per_mol,
    doubling_ratio,
    rate_ratio,
    windows_for,
)

SHELF = read_shelf()
PRODUCTS = pytest.mark.parametrize("product", SHELF.products, ids=lambda p: p.key)
FLOOD = SHELF.product("flood_epoxy")
CURE = SHELF.cure(FLOOD)
LAID_C = st.floats(CURE.least_c, CURE.most_c)
LITRES = st.floats(0.2, 40)


@pytest.mark.parametrize(
    ("energy", "ratios"),
    [
        (44, (1.8918, 1.8515, 1.8139, 1.7789)),
        (50, (2.0637, 2.0137, 1.9674, 1.9243)),
        (55, (2.2187, 2.1597, 2.1051, 2.0544)),
        (60, (2.3854, 2.3163, 2.2525, 2.1934)),
    ],
)
def test_a_cure_is_about_twice_as_fast_ten_degrees_warmer(energy, ratios):
    for from_c, ratio in zip((10, 15, 20, 25), ratios, strict=True):
        found = rate_ratio(from_c, from_c + 10, activation_kj_per_mol=energy)
        assert found == pytest.approx(ratio, abs=1e-4)


@pytest.mark.parametrize(
    ("from_c", "energy"), [(10, 47.83724), (20, 51.21617), (25, 52.94886)]
)
def test_just_twice_needs_an_energy_of_its_own(from_c, energy):
    assert doubling_activation_kj_per_mol(from_c) == pytest.approx(energy, abs=1e-4)
    twice = rate_ratio(from_c, from_c + 10, activation_kj_per_mol=energy)
    assert twice == pytest.approx(2.0, abs=1e-5)


@pytest.mark.parametrize(
    ("slab_c", "doubling_h", "arrhenius_h"),
    [
        *((10, 67.882, 77.743), (15, 48.0, 51.833), (20, 33.941, 35.039)),
        *((30, 16.971, 16.645), (35, 12.0, 11.682)),
    ],
)
def test_a_day_at_25_degrees_by_either_rule(slab_c, doubling_h, arrhenius_h):
    found_h = 24 / rate_ratio(25, slab_c, activation_kj_per_mol=55)
    assert 24 / doubling_ratio(25, slab_c) == pytest.approx(doubling_h, abs=1e-3)
    assert found_h == pytest.approx(arrhenius_h, abs=1e-3)
    if slab_c <= CURE.most_c:
        both = {one.name: one for one in windows_for(FLOOD, CURE, slab_c).beside}["Shoes"]
        assert both.arrhenius == pytest.approx(arrhenius_h, abs=1e-3)
        assert both.doubling == pytest.approx(doubling_h, abs=1e-3)
        assert both.hours == max(both.arrhenius, both.doubling)


@pytest.mark.parametrize(
    ("slab_f", "factor"), [(50, 2.8284), (59, 2.0), (70, 1.3094), (90, 0.6062)]
)
def test_the_doubling_rule_in_fahrenheit(slab_f, factor):
    assert 1 / doubling_ratio(25, (slab_f - 32) / 1.8) == pytest.approx(factor, abs=1e-4)
    assert factor == pytest.approx(2 ** ((77 - slab_f) / 18), abs=1e-4)


def test_the_shelf_states_an_activation_energy_that_was_published():
    assert 44 <= CURE.activation_kj_per_mol <= 60
    assert windows_for(FLOOD, CURE, 20).activation_kj_per_mol == CURE.activation_kj_per_mol


def test_a_product_lasts_as_its_sheet_says_at_the_sheets_own_terms():
    told = windows_for(FLOOD, CURE, 25.0)
    assert told.pot_life_min == pytest.approx(FLOOD.pot_life_min)
    told = windows_for(FLOOD, CURE, 21.0)
    assert told.recoat_from_h == pytest.approx(FLOOD.recoat_from_h)
    assert told.recoat_until_h == FLOOD.recoat_until_h


@pytest.mark.parametrize(
    ("gallons", "minutes"), [(1, 38.237), (2, 30.0), (3, 26.031), (5, 21.769)]
)
def test_a_larger_bucket_kicks_sooner(gallons, minutes):
    """30 min at 2 gal, 25 °C, times (2/gallons)^0.35; the exponent is common practice."""
    found = windows_for(FLOOD, CURE, 25.0, batch_l=gallons * 3.785411784).pot_life_min

    assert found == pytest.approx(30 * (2 / gallons) ** 0.35)
    assert found == pytest.approx(minutes, abs=1e-3)


@PRODUCTS
@settings(max_examples=30)
@given(a_c=LAID_C, b_c=LAID_C, one_l=LITRES, other_l=LITRES)
def test_warmer_or_more_never_lasts_longer(product, a_c, b_c, one_l, other_l):
    cure = SHELF.cure(product)
    cold_c, warm_c = sorted((a_c, b_c))
    cool = windows_for(product, cure, cold_c, batch_l=one_l)
    warm = windows_for(product, cure, warm_c, batch_l=one_l)
    assert warm.pot_life_min <= cool.pot_life_min
    assert warm.working_min <= cool.working_min
    assert warm.recoat_from_h <= cool.recoat_from_h
    assert warm.recoat_until_h <= cool.recoat_until_h
    assert warm.walk_on_h <= cool.walk_on_h
    less_l, more_l = sorted((one_l, other_l))
    small, large = (windows_for(product, cure, a_c, batch_l=v) for v in (less_l, more_l))
    assert large.pot_life_min <= small.pot_life_min


@PRODUCTS
@settings(max_examples=30)
@given(slab_c=LAID_C, batch_l=LITRES)
def test_film_outlasts_the_bucket_and_no_latest_time_is_lengthened(
    product, slab_c, batch_l
):
    found = windows_for(product, SHELF.cure(product), slab_c, batch_l=batch_l)

    assert found.working_min >= found.pot_life_min
    assert found.recoat_until_h <= product.recoat_until_h
    assert found.walk_on_h <= found.furniture_h <= found.wheels_h <= found.full_h


def test_cold_does_not_lengthen_the_latest_time_though_both_rules_would():
    cold = windows_for(FLOOD, CURE, 10.5)
    both = {one.name: one for one in cold.beside}["Next coat until"]

    assert min(both.arrhenius, both.doubling) > FLOOD.recoat_until_h == both.hours


def test_rules_are_not_stretched_beyond_where_a_product_is_laid():
    with pytest.raises(MeasureError) as caught:
        windows_for(FLOOD, CURE, 9.0)
    assert caught.value.line == (
        "slab temperature for Self-leveling clear epoxy: found 48 °F; "
        "expected 50 °F to 90 °F"
    )
    with pytest.raises(MeasureError, match="found 95 °F"):
        windows_for(FLOOD, CURE, 35.0)
    with pytest.raises(MeasureError, match="batch: found 0 l"):
        windows_for(FLOOD, CURE, 20.0, batch_l=0.0)


def test_a_product_without_pot_life_is_named_and_nothing_is_planned(tmp_path):
    with as_file(files("kit.stock.shelf")) as shelf:
        shutil.copytree(shelf, tmp_path / "shelf", ignore=shutil.ignore_patterns("*.py*"))
    table = tmp_path / "shelf" / "products.toml"
    text = table.read_text("utf-8").replace("pot_life_min = 30\n", "", 1)
    table.write_text(text, "utf-8")

    with pytest.raises(ShelfError) as caught:
        read_shelf(tmp_path / "shelf")

    assert caught.value.line == (
        "products.toml, [product.flood_epoxy], pot_life_min: found nothing; "
        "expected it to be given"
    )


def test_a_matching_exponential_is_the_same_curve():
    """Arrhenius by hand at one place, digits and all."""
    by_hand = math.exp(55e3 / 8.314462618 * (1 / 283.15 - 1 / 293.15))

    assert rate_ratio(10, 20, activation_kj_per_mol=55) == pytest.approx(by_hand, rel=1e-12)
