"""Dew point: published formulas and psychrolib; where the verdict hangs on the formula."""

import math
import sys
from unittest import mock

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from kit.errors import MeasureError
from kit.site.dew import dew_point_c, margin, saturation_hpa

with mock.patch.dict(sys.modules, {"numba": None}):
    # as plain Python: compiling it takes longer than all the tests here
    import psychrolib

# Alduchov & Eskridge 1996, coefficients from memory; computed apart from the kit.
AE96 = [
    *((5, 80, 1.8359), (10, 50, 0.0467), (15, 60, 7.2967), (18, 70, 12.4468)),
    *((20, 50, 9.2611), (23, 50, 12.0199), (25, 65, 17.9644), (35, 90, 33.1115)),
]
# The same form with other coefficients: Sonntag 1990 and WMO-No. 8, Bolton 1980.
OTHERS = [(17.62, 243.12), (17.67, 243.5)]
# ASHRAE Handbook 2017 through psychrolib 2.5.0, in °F.
FAHRENHEIT = [
    *((50, 50, 32.113), (60, 70, 50.201), (68, 50, 48.690), (70, 60, 55.492)),
    *((75, 80, 68.412), (77, 50, 56.955), (80, 85, 75.082), (90, 70, 78.890)),
]


@pytest.fixture(autouse=True)
def metric():
    psychrolib.SetUnitSystem(psychrolib.SI)


@pytest.mark.parametrize(("air_c", "percent", "dew_c"), AE96)
def test_the_dew_point_is_that_of_the_formula_named(air_c, percent, dew_c):
    assert dew_point_c(air_c, percent) == pytest.approx(dew_c, abs=1e-4)


@pytest.mark.parametrize(("air_c", "percent", "dew_c"), AE96)
def test_other_formulas_and_ashrae_agree_within_a_tenth(air_c, percent, dew_c):
    for a, b in OTHERS:
        gamma = math.log(percent / 100) + a * air_c / (b + air_c)
        assert b * gamma / (a - gamma) == pytest.approx(dew_c, abs=0.1)
    ashrae = psychrolib.GetTDewPointFromRelHum(air_c, percent / 100)
    assert dew_point_c(air_c, percent) == pytest.approx(ashrae, abs=0.022)


@pytest.mark.parametrize(("air_f", "percent", "dew_f"), FAHRENHEIT)
def test_dew_points_in_fahrenheit_agree_with_ashrae(air_f, percent, dew_f):
    found_c = dew_point_c((air_f - 32) / 1.8, percent)

    assert 1.8 * found_c + 32 == pytest.approx(dew_f, abs=0.05)


@settings(max_examples=50)
@given(st.floats(1, 40), st.floats(20, 100))
def test_psychrolib_agrees_anywhere_a_floor_is_laid(air_c, percent):
    ashrae = psychrolib.GetTDewPointFromRelHum(air_c, percent / 100)
    assume(ashrae > 0.05)  # below, ASHRAE's is over ice

    assert dew_point_c(air_c, percent) == pytest.approx(ashrae, abs=0.03)


@pytest.mark.parametrize("air_c", [5.0, 20.0, 35.0])
def test_full_air_condenses_at_its_own_temperature(air_c):
    assert dew_point_c(air_c, 100.0) == pytest.approx(air_c, abs=1e-9)


@pytest.mark.parametrize(
    ("air_c", "hpa"),
    [(0, 6.1094), (10, 12.2602), (20, 23.3344), (25, 31.6174), (30, 42.3665)],
)
def test_vapor_pressure_at_saturation(air_c, hpa):
    assert saturation_hpa(air_c) == pytest.approx(hpa, abs=5e-5)
    ashrae = psychrolib.GetSatVapPres(air_c + 0.001) / 100
    assert saturation_hpa(air_c) == pytest.approx(ashrae, rel=0.003)


def test_a_margin_that_flips_with_the_formula_lies_inside_the_guard():
    """20 °C, 60 %, slab 15 °C: 3.0001 here, 2.9925 by ASHRAE, 2.9932 by Bolton."""
    found = margin(20.0, 60.0, 15.0)

    assert found.above_c == pytest.approx(3.000105, abs=1e-6)
    assert 15 - psychrolib.GetTDewPointFromRelHum(20.0, 0.6) == pytest.approx(
        2.9925, abs=1e-4
    )
    assert found.surface_percent == pytest.approx(82.260782, abs=1e-6)
    assert found.guard_c > abs(found.above_c - 2.99)


def test_meters_off_by_half_a_degree_and_three_percent_move_it_by_nine_tenths():
    found = margin(20.0, 60.0, 15.0, slab_within_c=1e-9)

    assert found.guard_c == pytest.approx(0.9, abs=0.05)


@pytest.mark.parametrize(
    ("dew_c", "percent"), [(5, 81.3525), (10, 82.0083), (15, 82.6314), (20, 83.2238)]
)
def test_three_degrees_above_the_dew_point_is_about_85_percent_at_the_slab(dew_c, percent):
    found = margin(dew_c, 100.0, dew_c + 3.0)

    assert found.surface_percent == pytest.approx(percent, abs=1e-3)


def test_three_celsius_and_five_fahrenheit_are_not_one_rule():
    assert pytest.approx(5.4) == 3.0 * 1.8
    assert pytest.approx(2.7778, abs=1e-4) == 5.0 / 1.8


@pytest.mark.parametrize("percent", [0.0, -1.0, 100.5])
def test_air_that_cannot_be_is_refused(percent):
    with pytest.raises(MeasureError, match="humidity: found"):
        dew_point_c(20.0, percent)
