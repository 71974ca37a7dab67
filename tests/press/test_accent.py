"""Contrast against the numbers of WCAG, and the accent that a palette gives."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.look.colour import contrast
from kit.press.accent import READABLE, accent_of, darkened, hexadecimal

# WCAG 2.2 relative luminance and contrast ratio, worked out from its formula by hand:
RATIOS = {
    ("#000000", "#ffffff"): 21.0000,
    ("#777777", "#ffffff"): 4.4781,
    ("#767676", "#ffffff"): 4.5422,
    ("#595959", "#ffffff"): 7.0047,
    ("#949494", "#ffffff"): 3.0335,
    ("#959595", "#ffffff"): 2.9953,
    ("#0000ff", "#ffffff"): 8.5925,
    ("#ff0000", "#ffffff"): 3.9985,
    ("#008000", "#ffffff"): 5.1374,
    ("#b87333", "#ffffff"): 3.7919,
    ("#b87333", "#000000"): 5.5382,
    ("#1f4e79", "#ffffff"): 8.6630,
    ("#ffff00", "#ffffff"): 1.0738,
}
COLOURS = st.tuples(*[st.integers(0, 255)] * 3)


def srgb(text: str) -> tuple[int, int, int]:
    return int(text[1:3], 16), int(text[3:5], 16), int(text[5:7], 16)


@pytest.mark.parametrize(("pair", "expected"), RATIOS.items())
def test_contrast_matches_the_formula_of_wcag(pair, expected):
    assert contrast(*pair) == pytest.approx(expected, abs=1e-4)


def test_777777_misses_the_gate_that_767676_passes():
    assert darkened(srgb("#767676")) == srgb("#767676")
    assert darkened(srgb("#777777")) != srgb("#777777")


@given(COLOURS)
def test_a_darkened_accent_always_reads_on_white(colour):
    assert contrast(hexadecimal(darkened(colour)), "#ffffff") >= READABLE


@given(COLOURS)
def test_darkening_goes_no_further_than_it_must(colour):
    """One step lighter would fail, or the colour was readable as it came."""
    dark = darkened(colour)
    if dark == colour:
        return
    keep = next(
        k for k in range(256, -1, -1) if tuple(c * k // 256 for c in colour) == dark
    )
    lighter = tuple(c * (keep + 1) // 256 for c in colour)
    assert contrast(hexadecimal(lighter), "#ffffff") < READABLE


def test_the_accent_is_the_most_colourful_pigment():
    assert accent_of([(20, 30, 60), (184, 115, 51), (230, 230, 228)]) == (184, 115, 51)


def test_a_floor_without_colours_has_a_black_accent():
    assert hexadecimal(accent_of([])) == "#000000"
