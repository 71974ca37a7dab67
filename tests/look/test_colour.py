"""Colour: standards, Sharma's table, and colour-science as a rival."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from kit.look.colour import (
    BANDS_TO_RGB,
    contrast,
    difference,
    hex_of,
    lab,
    light_reflectance_value,
    luminance,
    rgb_of_bands,
    srgb_decoded,
    srgb_encoded,
    white_xyz,
)

# IEC 61966-2-1:1999 with its thresholds 0.04045 and 0.0031308.
DECODED = {
    0: 0.0, 1: 0.0003035269835, 10: 0.0030352698355, 11: 0.0033465357639,
    50: 0.0318960330730, 127: 0.2122307574141, 128: 0.2158605001139,
    188: 0.5028864580325, 254: 0.9911020971139, 255: 1.0,
}  # fmt: skip


@pytest.mark.parametrize(("shown", "linear"), DECODED.items())
def test_srgb_decodes_as_the_standard_says(shown, linear):
    assert srgb_decoded(shown / 255) == pytest.approx(linear, abs=1e-9)


@pytest.mark.parametrize(("linear", "shown"), [(0.18, 0.4613561295), (0.5, 0.7353569831)])
def test_srgb_encodes_as_the_standard_says(linear, shown):
    assert srgb_encoded(linear) == pytest.approx(shown, abs=1e-9)


def test_srgb_there_and_back_is_where_it_was():
    values = np.linspace(0, 1, 1001)
    assert np.allclose(srgb_encoded(srgb_decoded(values)), values, atol=2e-8)


def test_daylight_white_has_its_tristimulus():
    """D65 x, y = 0.3127, 0.3290 (IEC 61966-2-1) gives XYZ 95.0456, 100, 108.9058."""
    expected = (0.9504559270516715, 1.0, 1.0890577507598785)
    assert white_xyz(0.3127, 0.3290) == pytest.approx(expected, abs=1e-10)


# sRGB to Lab with the standard's four-decimal matrix, D65, by colour-science 0.4.7.
LAB = [
    ((255, 255, 255), (100.0, 0.0077, 0.0035)),
    ((0, 0, 0), (0.0, 0.0, 0.0)),
    ((128, 128, 128), (53.5850, 0.0046, 0.0021)),
    ((255, 0, 0), (53.2329, 80.1112, 67.2237)),
    ((0, 255, 0), (87.7370, -86.1829, 83.1878)),
    ((0, 0, 255), (32.3026, 79.1981, -107.8504)),
    ((184, 115, 51), (54.7524, 21.6578, 45.4006)),
]


@pytest.mark.parametrize(("rgb", "expected"), LAB)
def test_lab_matches_fixtures(rgb, expected):
    assert lab(srgb_decoded(np.array(rgb) / 255)) == pytest.approx(expected, abs=1e-3)


# Sharma, Wu, Dalal, Color Research and Application 30(1), 2005, 21-30, table 1.
# Pair 14 sits on a hue singularity: 4.8045 or 4.7461 by a rounding.
SHARMA = """
50 2.6772 -79.7751 50 0 -82.7485 2.0425
50 3.1571 -77.2803 50 0 -82.7485 2.8615
50 2.8361 -74.02 50 0 -82.7485 3.4412
50 -1.3802 -84.2814 50 0 -82.7485 1.0
50 -1.1848 -84.8006 50 0 -82.7485 1.0
50 -0.9009 -85.5211 50 0 -82.7485 1.0
50 0 0 50 -1 2 2.3669
50 -1 2 50 0 0 2.3669
50 2.49 -0.001 50 -2.49 0.0009 7.1792
50 2.49 -0.001 50 -2.49 0.001 7.1792
50 2.49 -0.001 50 -2.49 0.0011 7.2195
50 2.49 -0.001 50 -2.49 0.0012 7.2195
50 -0.001 2.49 50 0.0009 -2.49 4.8045
50 -0.001 2.49 50 0.001 -2.49 4.8045
50 -0.001 2.49 50 0.0011 -2.49 4.7461
50 2.5 0 50 0 -2.5 4.3065
50 2.5 0 73 25 -18 27.1492
50 2.5 0 61 -5 29 22.8977
50 2.5 0 56 -27 -3 31.9030
50 2.5 0 58 24 15 19.4535
50 2.5 0 50 3.1736 0.5854 1.0
50 2.5 0 50 3.2972 0 1.0
50 2.5 0 50 1.8634 0.5757 1.0
50 2.5 0 50 3.2592 0.3350 1.0
60.2574 -34.0099 36.2677 60.4626 -34.1751 39.4387 1.2644
63.0109 -31.0961 -5.8663 62.8187 -29.7946 -4.0864 1.2630
61.2901 3.7196 -5.3901 61.4292 2.2480 -4.9620 1.8731
35.0831 -44.1164 3.7933 35.0232 -40.0716 1.5901 1.8645
22.7233 20.0904 -46.6940 23.0331 14.9730 -42.5619 2.0373
36.4612 47.8580 18.3852 36.2715 50.5065 21.2231 1.4146
90.8027 -2.0831 1.4410 91.1528 -1.6435 0.0447 1.4441
90.9257 -0.5406 -0.9208 88.6381 -0.8985 -0.7239 1.5381
6.7747 -0.2908 -2.4247 5.8714 -0.0985 -2.2286 0.6377
2.0776 0.0795 -1.1350 0.9033 -0.0636 -0.5514 0.9082
"""
PAIRS = np.array([line.split() for line in SHARMA.strip().splitlines()], dtype=np.float64)


@pytest.mark.parametrize("row", range(len(PAIRS)))
def test_difference_matches_sharmas_table(row):
    pair = PAIRS[row]
    ours = float(difference(pair[0:3], pair[3:6]))
    if row == 13:
        assert min(abs(ours - 4.8045), abs(ours - 4.7461)) < 5e-5
    else:
        assert ours == pytest.approx(pair[6], abs=5e-5)


def test_difference_is_the_same_both_ways():
    forth, back = (
        difference(PAIRS[16:, :3], PAIRS[16:, 3:6]),
        difference(PAIRS[16:, 3:6], PAIRS[16:, :3]),
    )
    assert np.allclose(forth, back, atol=1e-9)


# WCAG 2.2 SC 1.4.3: (L1 + 0.05) / (L2 + 0.05).
CONTRAST = [
    ("#000000", "#ffffff", 21.0), ("#777777", "#ffffff", 4.4780894536),
    ("#767676", "#ffffff", 4.5422249596), ("#595959", "#ffffff", 7.0047292080),
    ("#949494", "#ffffff", 3.0334698257), ("#959595", "#ffffff", 2.9953461357),
    ("#0000ff", "#ffffff", 8.5924713584), ("#ff0000", "#ffffff", 3.9984767708),
    ("#008000", "#ffffff", 5.1374027806), ("#b87333", "#ffffff", 3.7918688637),
    ("#b87333", "#000000", 5.5381662064), ("#1f4e79", "#ffffff", 8.6629654111),
    ("#ffff00", "#ffffff", 1.0738392309),
]  # fmt: skip


@pytest.mark.parametrize(("one", "other", "ratio"), CONTRAST)
def test_contrast_matches_the_guideline(one, other, ratio):
    assert contrast(one, other) == pytest.approx(ratio, abs=1e-4)
    assert contrast(other, one) == contrast(one, other)


def test_a_perfect_white_is_white_and_reflects_a_hundred():
    assert rgb_of_bands(np.ones(8)) == pytest.approx((1.0, 1.0, 1.0), abs=6e-4)
    assert light_reflectance_value(np.ones(8)) == pytest.approx(100.0, abs=0.05)
    assert hex_of(rgb_of_bands(np.ones(8))) == "#ffffff"


def test_luminance_weighs_as_the_standard_matrix_does():
    assert luminance([1.0, 0.0, 0.0]) == pytest.approx(0.2126)


@pytest.fixture(scope="module")
def rival():
    import warnings

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour
    return colour


def test_srgb_and_difference_agree_with_colour_science(rival):
    random = np.random.default_rng(5)
    shown = random.random((200, 3))
    assert np.allclose(srgb_decoded(shown), rival.models.eotf_sRGB(shown), atol=1e-12)
    one, other = lab(srgb_decoded(shown)), lab(srgb_decoded(shown[::-1]))
    assert np.allclose(
        difference(one, other), rival.difference.delta_E_CIE2000(one, other), atol=1e-6
    )


def test_bands_agree_with_the_observers_tables(rival):
    """Sum CIE 1931 times D65 over the bands anew, to linear sRGB, white made one."""
    observer = rival.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
    light = rival.SDS_ILLUMINANTS["D65"]
    nm = np.arange(380, 731)
    seen = np.array([observer[int(w)] for w in nm]) * np.interp(
        nm, light.wavelengths, light.values
    ).reshape(-1, 1)
    edges = np.array([380, *(400 + 37.5 * np.arange(1, 8)), 731])
    bands = np.array([seen[(nm >= a) & (nm < b)].sum(axis=0) for a, b in pairwise(edges)])
    to_rgb = np.linalg.inv(
        np.array(
            [
                [0.41239080, 0.35758434, 0.18048079],
                [0.21263901, 0.71516868, 0.07219232],
                [0.01933082, 0.11919478, 0.95053215],
            ]
        )
    )
    rgb = to_rgb @ bands.T
    rgb = rgb / rgb.sum(axis=1, keepdims=True)
    assert np.abs(rgb - BANDS_TO_RGB).max() < 0.02
