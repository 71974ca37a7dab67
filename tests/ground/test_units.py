"""Lengths as people write them, and the factors behind them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit import units
from kit.errors import SheetError
from kit.units import feet_inches, read_length


def test_a_gallon_covers_1604_square_feet_at_a_mil():
    """231 in³ over 144 in² times 0.001 in, exact (NIST Handbook 44 App. C)."""
    assert pytest.approx(9625 / 6, rel=1e-12) == units.FT2_MIL_PER_GAL


@pytest.mark.parametrize(
    ("gallon_l", "mil_um", "ft2_m2"), [(3.785411784, 25.4, 0.09290304)]
)
def test_factors_are_those_of_nist_sp_811_appendix_b(gallon_l, mil_um, ft2_m2):
    assert pytest.approx(gallon_l, rel=1e-12) == units.L_PER_GAL
    assert mil_um == units.UM_PER_MIL
    assert pytest.approx(ft2_m2, rel=1e-12) == units.M2_PER_FT2


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("12' 6\"", 150),
        ("12'6\"", 150),
        ("12′ 6″", 150),
        ("12 ft 6 in", 150),
        ("12 ft", 144),
        ("150 in", 150),
        ("12' 6 1/2\"", 150.5),
        ("12' 6½\"", 150.5),
        ("12' 1/4\"", 144.25),
        ('½"', 0.5),
        ("12.5'", 150),
        ("12'-6\"", 150),
        ("3.81 m", 150),
        ("3,81 m", 150),
        ("381cm", 150),
        ("3810 mm", 150),
    ],
)
def test_reads_lengths_as_they_are_written(text, inches):
    assert read_length(text) == pytest.approx(inches * 0.0254, abs=1e-9)


@pytest.mark.parametrize(
    "text",
    [
        *("", "12", "twelve feet", "12 yd", "-3'", "3' --2\"", "1e9 m", "12' 6' 3\""),
        *("3 1/0 in x", "nan m", "inf m", "12 m 30", "' \"", "١٢ m", "0x10 m"),
        *(None, 12, 3.5, True, ["12'"]),
    ],
)
def test_refuses_what_is_not_a_length_and_says_what_is(text):
    with pytest.raises(SheetError, match=r"wall 2.*expected a positive length"):
        read_length(text, about="wall 2")


def test_a_zero_below_the_line_is_refused_not_divided_by():
    with pytest.raises(SheetError):
        read_length("3 1/0 in")


@given(st.integers(0, 12 * 500 * 2))
def test_what_is_written_is_read_back(half_inches):
    length_m = half_inches * 0.0127

    assert read_length(feet_inches(length_m)) == pytest.approx(length_m, abs=1e-9)


@pytest.mark.parametrize("text", ["6' 99\"", "12' 12\"", "3 ft 12 1/4 in"])
def test_a_foot_of_inches_after_the_feet_is_a_slip(text):
    with pytest.raises(SheetError, match=r"wall 2.*inches below 12"):
        read_length(text, about="wall 2")
    assert read_length("150 in") == pytest.approx(3.81)
