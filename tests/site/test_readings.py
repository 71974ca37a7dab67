"""Slab readings: counts, units, and what proves nothing.

ASTM F1869, F2170, D4263 and D7234 were not opened: counts and depths are from memory,
agreed by secondary pages. Unit identities are computed from the exact inch and pound.
"""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.errors import SheetError
from kit.record import filled
from kit.site import Reading
from kit.site.readings import (
    MPA_PER_PSI,
    MVER_G_M2,
    asked_for,
    probe_depth_m,
    proven,
    pull_n,
    vapor_lb,
)
from kit.stock import read_shelf
from kit.units import M2_PER_FT2, M_PER_IN, square_feet

SHELF = read_shelf()


SHORT = {"gain_g": 1, "area_ft2": 0.4, "hours": 48}


def count(key, area_ft2):
    per = SHELF.limit(key).tests
    return asked_for(
        area_ft2, first=per.first, first_ft2=per.first_ft2, each_ft2=per.each_ft2
    )


def reading(**others):
    given = {"kind": "rh", "value": 71, "unit": "%", "where": "den", "day": "2026-03-01"}
    return filled(Reading, given | others)


@pytest.mark.parametrize("key", ["rh", "mver"])
@pytest.mark.parametrize(
    ("area_ft2", "tests"),
    [
        *((120, 3), (480, 3), (1000, 3), (1001, 4), (1500, 4)),
        *((2000, 4), (2001, 5), (2400, 5), (5000, 7), (10000, 12)),
    ],
)
def test_three_tests_for_a_thousand_square_feet_and_one_for_each_more(key, area_ft2, tests):
    assert count(key, area_ft2) == tests
    assert count(key, square_feet(area_ft2 * M2_PER_FT2)) == tests


@pytest.mark.parametrize(
    ("area_ft2", "tests"), [(480, 1), (500, 1), (501, 2), (1000, 2), (1001, 3), (2400, 5)]
)
def test_a_plastic_sheet_for_each_five_hundred_square_feet(area_ft2, tests):
    assert count("sheet", area_ft2) == tests


@pytest.mark.parametrize(
    ("slab_in", "sides", "depth_in"),
    [
        *((4, 1, 1.6), (4, 2, 0.8), (5, 1, 2.0), (5, 2, 1.0)),
        *((6, 1, 2.4), (6, 2, 1.2), (8, 1, 3.2), (8, 2, 1.6)),
    ],
)
def test_a_probe_sits_at_two_fifths_or_a_fifth_of_the_slab(slab_in, sides, depth_in):
    depth_m = probe_depth_m(slab_in * M_PER_IN, sides=sides)

    assert depth_m / M_PER_IN == pytest.approx(depth_in, abs=1e-9)


@pytest.mark.parametrize(
    ("gain_g", "area_ft2", "hours", "lb"),
    [(1.5, 0.437, 66, 2.751765), (2.0, 0.45, 72, 3.266108), (1.0, 0.5, 60, 1.763698)],
)
def test_a_dish_is_reduced_with_the_constant_of_its_standard(gain_g, area_ft2, hours, lb):
    """24 × 1000 / 453.59237 = 52.910943; the standard prints 52.91, from memory."""
    by_hand = 24 * 1000 / 453.59237 * gain_g / (area_ft2 * hours)

    assert vapor_lb(gain_g, area_ft2, hours) == pytest.approx(by_hand, rel=1e-12)
    assert by_hand == pytest.approx(lb, abs=1e-6)
    dish = {"gain_g": gain_g, "area_ft2": area_ft2, "hours": hours}
    assert reading(kind="mver", value=None, unit="", dish=dish).figure == pytest.approx(lb)


def test_a_pound_of_vapor_in_metric_units():
    """453.59237 g over 92.90304 m²; a second and a square metre get 56.51 µg of it."""
    assert pytest.approx(453.59237 / 92.90304, rel=1e-12) == MVER_G_M2
    assert pytest.approx(4.88242763638305, abs=1e-9) == MVER_G_M2
    assert pytest.approx(56.50957912, abs=1e-8) == MVER_G_M2 / 86400 * 1e6
    metric = reading(kind="mver", value=14.647282909, unit="g/m² 24 h")
    assert metric.figure == pytest.approx(3.0, abs=1e-9)


def test_pull_off_strength_in_pounds_newtons_and_megapascals():
    """Pound-force 0.45359237 × 9.80665 N; 1.5 MPa on a 50 mm dolly by π/4 d²."""
    assert pytest.approx(1.378951459, abs=1e-6) == 200 * MPA_PER_PSI
    assert pytest.approx(2.068427188, abs=1e-6) == 300 * MPA_PER_PSI
    assert pull_n(1.5, dolly_mm=50) == pytest.approx(math.pi / 4 * 2500 * 1.5)
    assert pull_n(1.5, dolly_mm=50) == pytest.approx(2945.2431, abs=1e-3)


@pytest.mark.parametrize(
    ("others", "line"),
    [
        ({"unit": ""}, "slab, reading 2, unit: found nothing; expected %"),
        ({"unit": "lb"}, "slab, reading 2, unit: found lb; expected %"),
        (
            {"where": ""},
            "slab, reading 2, where: found nothing; expected the place it was read at",
        ),
        (
            {"kind": "mver", "value": 3.0, "unit": ""},
            "slab, reading 2, unit: found nothing; "
            "expected lb/1000 sq ft 24 h or g/m2 24 h",
        ),
    ],
)
def test_a_reading_without_unit_or_place_is_named(others, line):
    with pytest.raises(SheetError) as caught:
        proven([reading(), reading(**others)])

    assert caught.value.line == line


@pytest.mark.parametrize(
    "others",
    [
        {"value": None},
        {"kind": "sheet", "value": 0.5},
        {"value": 101},
        {"dish": {"gain_g": 1, "area_ft2": 0.4, "hours": 66}},
        {"value": None, "dish": {"gain_g": 1, "area_ft2": 0.4, "hours": 66}},
        {
            "kind": "mver",
            "value": None,
            "dish": SHORT,
        },
        {"kind": "smell"},
        {"day": "soon"},
    ],
)
def test_what_no_instrument_reads_is_refused(others):
    with pytest.raises(SheetError):
        reading(**others)


@given(st.floats(1, 1e5), st.floats(0, 1e4))
def test_more_floor_never_asks_for_fewer_tests(area_ft2, more_ft2):
    assert count("rh", area_ft2 + more_ft2) >= count("rh", area_ft2) >= 3
