"""Film, spread and volume against definitions and a handbook."""

import pytest

from kit.coats.film import (
    dry_film_um,
    film_for_spread_um,
    spread_m2_per_l,
    volume_l,
    wet_film_um,
)
from kit.errors import MeasureError
from kit.units import FT2_MIL_PER_GAL, L_PER_GAL, M2_PER_FT2, UM_PER_MIL, gallons

FT2_PER_GAL = M2_PER_FT2 / L_PER_GAL
"""One ft²/gal in m²/l."""

# 231 in³ over 144 in² and 0.001 in times the film: exact, by hand.
SPREAD_FT2_PER_GAL = {
    1: 1604.1666666666667,
    3: 534.7222222222223,
    5: 320.83333333333337,
    8: 200.52083333333334,
    10: 160.41666666666669,
    12: 133.68055555555557,
    16: 100.26041666666667,
    20: 80.20833333333334,
    30: 53.47222222222222,
    40: 40.10416666666667,
    60: 26.73611111111111,
    125: 12.833333333333334,
}
# The same the other way round: ft² a gallon to mils.
FILM_MIL = {
    50: 32.083333333333336,
    60: 26.73611111111111,
    80: 20.052083333333336,
    100: 16.041666666666668,
    160: 10.026041666666668,
    200: 8.020833333333334,
    250: 6.416666666666667,
    300: 5.347222222222222,
    400: 4.010416666666667,
    500: 3.2083333333333335,
}


@pytest.mark.parametrize(("film_mil", "spread"), SPREAD_FT2_PER_GAL.items())
def test_a_gallon_covers_1604_square_feet_at_a_mil_and_less_when_thicker(film_mil, spread):
    found = spread_m2_per_l(film_mil * UM_PER_MIL) / FT2_PER_GAL

    assert found == pytest.approx(spread, rel=1e-12)
    assert found == pytest.approx(FT2_MIL_PER_GAL / film_mil, rel=1e-12)


@pytest.mark.parametrize(("spread", "film_mil"), FILM_MIL.items())
def test_film_follows_from_the_spread(spread, film_mil):
    found = film_for_spread_um(spread * FT2_PER_GAL) / UM_PER_MIL

    assert found == pytest.approx(film_mil, abs=1e-9)


def test_metric_and_us_spread_are_one():
    """100 ft²/gal is 2.454238675 m²/l; 20 mil is 0.508 l/m² (NIST SP 811 app. B)."""
    assert pytest.approx(2.454238674711116, rel=1e-12) == 100 * FT2_PER_GAL
    assert 1 / spread_m2_per_l(20 * UM_PER_MIL) == pytest.approx(0.508, abs=1e-12)


@pytest.mark.parametrize(
    ("dry_mil", "solids", "thinned", "wet_mil"),
    [
        # MIL-HDBK-1110 section 2.1.5: dry film = wet film × volume solids; thinned, by
        # the same balance of solids.
        (5.0, 0.50, 0.0, 10.0),
        (5.0, 0.50, 0.1, 11.0),
        (2.8, 0.35, 0.0, 8.0),
        (35.0, 1.0, 0.0, 35.0),
    ],
)
def test_dry_and_wet_film_are_those_of_the_handbook(dry_mil, solids, thinned, wet_mil):
    dry_um, wet_um = dry_mil * UM_PER_MIL, wet_mil * UM_PER_MIL

    assert wet_film_um(dry_um, solids, thinned=thinned) == pytest.approx(wet_um, abs=1e-9)
    assert dry_film_um(wet_um, solids, thinned=thinned) == pytest.approx(dry_um, abs=1e-9)


@pytest.mark.parametrize(
    ("dry_mil", "spread"),
    [(1, 800.0), (2, 400.0), (4, 200.0)],
)
def test_half_solids_cover_800_square_feet_at_a_mil_and_not_600(dry_mil, spread):
    """MIL-HDBK-1110 section 2.1.5 b prints 600 for 1 mil; its relation and its next lines
    give 800, 400 and 200 with the rounded 1600 a gallon."""
    wet_um = wet_film_um(dry_mil * UM_PER_MIL, 0.5)

    assert spread_m2_per_l(wet_um) / FT2_PER_GAL * 1600 / FT2_MIL_PER_GAL == pytest.approx(
        spread
    )


@pytest.mark.parametrize(
    ("dry_um", "spread_m2_l"),
    [(125.0, 5.2), (127.0, 5.118110236220472)],
)
def test_metric_spread_at_65_percent_solids(dry_um, spread_m2_l):
    """1000 × 0.65 / 125 µm, by hand; 127 µm is 5 mil."""
    spread = spread_m2_per_l(wet_film_um(dry_um, 0.65))

    assert spread == pytest.approx(spread_m2_l, abs=1e-9)


def test_metric_spread_agrees_with_the_1604_rule():
    """1604.1667 × 0.65 / 5 mil = 208.5417 ft²/gal."""
    spread = spread_m2_per_l(wet_film_um(5 * UM_PER_MIL, 0.65))

    assert spread / FT2_PER_GAL == pytest.approx(208.54166666666669, abs=1e-9)


@pytest.mark.parametrize(
    ("waste", "needed_gal"), [(0.0, 5.984415584415585), (0.1, 6.582857142857144)]
)
def test_480_square_feet_at_20_mil(waste, needed_gal):
    """480 × 20 / 1604.1667, times one plus the waste."""
    litres = volume_l(480 * M2_PER_FT2, 20 * UM_PER_MIL, waste=waste)

    assert gallons(litres) == pytest.approx(needed_gal, abs=1e-9)


def test_waste_is_an_extra_and_not_a_loss():
    """Ten percent lost on the way would need 6.649351 gal; ten percent extra is less."""
    extra = gallons(volume_l(480 * M2_PER_FT2, 20 * UM_PER_MIL, waste=0.1))
    none = gallons(volume_l(480 * M2_PER_FT2, 20 * UM_PER_MIL, waste=0.0))

    assert none / (1 - 0.1) == pytest.approx(6.64935064935065, abs=1e-9)
    assert extra < none / (1 - 0.1)


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: volume_l(0.0, 500.0, waste=0.1),
        lambda: volume_l(50.0, 0.0, waste=0.1),
        lambda: volume_l(50.0, 500.0, waste=1.0),
        lambda: volume_l(50.0, 500.0, waste=-0.01),
        lambda: volume_l(50.0, 500.0, waste=8),
        lambda: spread_m2_per_l(-1.0),
        lambda: film_for_spread_um(0.0),
        lambda: dry_film_um(100.0, 0.0),
        lambda: dry_film_um(100.0, 62),
        lambda: wet_film_um(100.0, 0.6, thinned=-0.1),
    ],
)
def test_impossible_sizes_are_refused_with_what_is_expected(wrong):
    with pytest.raises(MeasureError, match=r"found .*expected"):
        wrong()
