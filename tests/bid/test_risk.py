"""The spread of a cost: curves, correlation and model against closed forms and rivals."""

from dataclasses import replace
from decimal import Decimal
from math import sqrt
from statistics import NormalDist

import numpy as np
import pytest
from floors import PALETTE, rectangle, shelf_with
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.bid import Pricing
from kit.bid.risk import class_of, factors_of, risk_of
from kit.bid.risk.costing import Costing
from kit.bid.risk.kits import kit_costs
from kit.bid.risk.shapes import (
    drawn,
    lognormal_of,
    lognormal_quantile,
    pert_quantile,
    pert_shape,
    quantile,
    triangular_quantile,
)
from kit.bid.risk.together import check_possible, correlations, reordered
from kit.coats import cheapest_kits
from kit.errors import MeasureError, ShelfError
from kit.record import filled
from kit.stock import Pack, Spread, Tie, read_shelf, taken_of

SHELF = read_shelf()
FLOOR = rectangle(9.0, 7.0)
DRAWS = 100_000
SIGMAS = 4.0
"""A fair sample strays further once in sixteen thousand; the seeds are fixed besides."""


def spread(shape, **figures):
    return filled(
        Spread,
        {
            "key": "it",
            "name": "It",
            "acts_on": "wage",
            "shape": shape,
            "source": "made up",
            **figures,
        },
    )


# Triangle (90, 100, 130): closed form, F(x) = (x − 90)² / 400 up to 100, then
# 1 − (130 − x)² / 1200; checked with scipy.stats.triang.
@pytest.mark.parametrize(
    ("share", "expected"),
    [
        (0.05, 94.47213595499957),
        (0.10, 96.32455532033676),
        (0.25, 100.0),
        (0.50, 105.50510257216823),
        (0.80, 114.50806661517034),
        (0.90, 119.04554884989668),
        (0.95, 122.25403330758516),
    ],
)
def test_quantiles_of_a_triangle_are_its_closed_form(share, expected):
    assert triangular_quantile(share, 90, 100, 130) == pytest.approx(expected, abs=1e-9)
    below = (
        (expected - 90) ** 2 / 400 if expected <= 100 else 1 - (130 - expected) ** 2 / 1200
    )
    assert below == pytest.approx(share, abs=1e-12)


# PERT (90, 100, 130) is a beta curve of exponents 2 and 4; scipy.stats.beta.
@pytest.mark.parametrize(
    ("share", "expected"),
    [(0.1, 94.4894), (0.5, 102.55240682), (0.8, 109.60769372), (0.9, 113.35561498)],
)
def test_quantiles_of_a_pert_curve_are_those_of_its_beta(share, expected):
    from scipy.stats import beta

    found = pert_quantile(share, 90, 100, 130)
    assert found == pytest.approx(expected, abs=5e-5)
    assert found == pytest.approx(90 + 40 * beta(2, 4).ppf(share), abs=1e-9)


def test_a_pert_curve_has_its_own_deviation_and_not_a_sixth_of_its_range():
    """Mean (a + 4m + b) / 6, deviation sqrt(αβ / ((α+β)² (α+β+1))) × 40 = 7.126966."""
    a, b = pert_shape(90, 100, 130)

    assert (a, b) == (2.0, 4.0)
    assert 90 + 40 * a / (a + b) == pytest.approx(103.333333, abs=1e-6)
    deviation = 40 * sqrt(a * b / ((a + b) ** 2 * (a + b + 1)))
    assert deviation == pytest.approx(7.126966, abs=1e-6)


@pytest.mark.parametrize(
    ("share", "expected"),
    [
        # Mean 100, coefficient of variation 0.10: closed form exp(µ + zσ).
        (0.5, 99.50371902099893),
        (0.8, 108.21801726294734),
        (0.9, 113.07276087718729),
    ],
)
def test_quantiles_of_a_lognormal_are_its_closed_form(share, expected):
    assert lognormal_quantile(share, 100, 0.10) == pytest.approx(expected, abs=1e-8)
    assert lognormal_of(100, 0.10)[1] == pytest.approx(0.0997513, abs=1e-7)


CURVES = [
    # mean and deviation by closed form
    (spread("triangular", low=0.9, likely=1.0, high=1.3), 1.06666667, 0.08498366),
    (spread("pert", low=0.9, likely=1.0, high=1.3), 1.03333333, 0.07126966),
    (spread("lognormal", mean=1.0, cv=0.1), 1.0, 0.1),
]


@pytest.mark.parametrize(("curve", "mean", "deviation"), CURVES, ids=lambda c: str(c)[:9])
def test_draws_have_the_moments_and_quantiles_of_their_curve(curve, mean, deviation):
    found = drawn(curve, np.random.default_rng(3), DRAWS)

    assert abs(found.mean() - mean) < SIGMAS * deviation / sqrt(DRAWS)
    # the variance of a sample's deviation, normal theory, half as wide again for the tails
    assert abs(found.std() - deviation) < 1.5 * SIGMAS * deviation / sqrt(2 * DRAWS)
    for share in (0.1, 0.5, 0.8, 0.9):
        below = np.mean(found <= quantile(curve, share))
        assert abs(below - share) < SIGMAS * sqrt(share * (1 - share) / DRAWS)


# Sum of N(2000, 100²) and N(1200, 200²): normal theory, z80 = 0.8416212. P80s do not add.
@pytest.mark.parametrize(
    ("rho", "p80"),
    [(0.0, 3388.1922289576264), (0.5, 3422.672048214534), (1.0, 3452.4863700718743)],
)
def test_correlated_sums_have_the_p80_of_normal_theory(rho, p80):
    chance = np.random.default_rng(11)
    rows = np.stack([chance.normal(2000, 100, DRAWS), chance.normal(1200, 200, DRAWS)])
    total = reordered(rows, np.array([[1.0, rho], [rho, 1.0]]), chance).sum(axis=0)

    deviation = sqrt(100**2 + 200**2 + 2 * rho * 100 * 200)
    normal = NormalDist(3200, deviation)
    assert normal.inv_cdf(0.8) == pytest.approx(p80, abs=1e-6)
    sigma = sqrt(0.8 * 0.2 / DRAWS) / normal.pdf(p80)
    assert abs(np.quantile(total, 0.8) - p80) < SIGMAS * sigma
    assert abs(np.mean(total <= p80) - 0.8) < SIGMAS * sqrt(0.8 * 0.2 / DRAWS)


def test_a_sum_of_two_triangles_is_their_convolution():
    """By numbers: densities convolved on a grid of 1e-4 and summed up."""
    one = spread("triangular", low=0.9, likely=1.0, high=1.3)
    other = spread("triangular", low=0.8, likely=1.0, high=1.1)
    chance = np.random.default_rng(5)
    total = drawn(one, chance, DRAWS) + drawn(other, chance, DRAWS)

    step = 1e-4

    def density(low, likely, high):
        x = np.arange(low, high, step) + 0.5 * step
        up, down = (x - low) / (likely - low), (high - x) / (high - likely)
        return np.minimum(up, down) * 2 / (high - low)

    both = np.convolve(density(0.9, 1.0, 1.3), density(0.8, 1.0, 1.1)) * step**2
    below = np.cumsum(both)
    for share in (0.1, 0.5, 0.8, 0.9):
        place = 0.9 + 0.8 + step * (np.searchsorted(below, share) + 1.5)
        assert abs(np.mean(total <= place) - share) < SIGMAS * sqrt(
            share * (1 - share) / DRAWS
        )


@pytest.mark.parametrize("seed", range(4))
def test_reordering_keeps_every_value_and_puts_in_the_correlation(seed):
    """Of normal scores, exactly but for ranks, as what chance left in is taken out."""
    from scipy.special import ndtri
    from scipy.stats import rankdata

    ties = (
        *SHELF.ties,
        tie("film", "pace_coats", -0.4, "thick"),
        tie("waste", "pace_coats", -0.2, "hasty"),
    )
    table = correlations(SHELF.spreads, ties)
    chance = np.random.default_rng(seed)
    rows = np.stack([drawn(one, chance, 500) for one in SHELF.spreads])
    ordered = reordered(rows, table, chance)

    assert np.array_equal(np.sort(ordered, axis=1), np.sort(rows, axis=1))
    scores = ndtri(rankdata(ordered, axis=1) / 501)
    tied = np.abs(table - np.eye(len(table))) > 0
    assert np.corrcoef(scores)[tied] == pytest.approx(table[tied], abs=0.01)


def tie(a, b, rho, key="t"):
    return filled(Tie, {"key": key, "of": (a, b), "correlation": rho, "source": "made up"})


def test_correlations_that_contradict_each_other_are_named():
    """Film with waste 0.9, waste with wage 0.9, film with wage −0.9: eigenvalue −0.8."""
    ties = (
        tie("film", "waste", 0.9, "a"),
        tie("waste", "wage", 0.9, "b"),
        tie("film", "wage", -0.9, "c"),
    )

    with pytest.raises(ShelfError) as caught:
        correlations(SHELF.spreads, ties)

    assert caught.value.line == (
        "correlations: found film with waste 0.9, film with wage -0.9, waste with wage "
        "0.9; least eigenvalue -0.8; expected ones that can be true together, no "
        "eigenvalue below 0"
    )


@settings(max_examples=30)
@given(st.integers(2, 6), st.integers(0, 10_000))
def test_a_table_that_numbers_have_is_never_refused(size, seed):
    rows = np.random.default_rng(seed).normal(size=(size, size - 1))
    rows /= np.linalg.norm(rows, axis=1)[:, np.newaxis]

    check_possible(rows @ rows.T, [f"n{k}" for k in range(size)])  # singular, but possible


PACKS = tuple(
    Pack(volume_l=volume, price=price)
    for volume, price in ((5.7, "128"), (11.4, "238"), (18.9, "390"), (56.8, "1140"))
)


@settings(max_examples=25, deadline=None)
@given(st.lists(st.floats(0.5, 300.0), min_size=1, max_size=40))
def test_the_staircase_of_kits_is_the_cheapest_order_of_every_need(needs_l):
    found = kit_costs(PACKS, np.array(needs_l))

    assert found.tolist() == [float(cheapest_kits(PACKS, need).cost) for need in needs_l]


def test_a_hall_has_more_stairs_than_are_told_apart_and_none_is_too_cheap():
    packs = (Pack(volume_l=1.0, price="10"), Pack(volume_l=3.0, price="28"))
    needs_l = np.linspace(5.0, 2000.0, 500)
    found = kit_costs(packs, needs_l)
    exact = np.array([float(cheapest_kits(packs, need).cost) for need in needs_l])

    assert np.all(found >= exact)
    assert found == pytest.approx(exact, rel=0.01, abs=120.0)


def floor_of(keys=(), shelf=SHELF, floor=FLOOR):
    extras = taken_of(keys, shelf.extras)
    return Pricing(floor, PALETTE, shelf).floor(shelf.finish("matte"), extras)


def came_out(shelf, factors):
    """The shelf as if all had come out by these factors: the full re-price as a rival."""
    by = {key: Decimal(str(factor)) for key, factor in factors.items()}
    house = shelf.house
    slower = {
        "prepare": factors["pace_prepare"] / factors["hours"],
        "flood": factors["pace_coats"] / factors["hours"],
        "wear": factors["pace_coats"] / factors["hours"],
    }

    def task(one):
        if one.driver in ("day", "person_day"):
            return one
        return one.changed(per_person_h=one.per_person_h * slower[one.stage])

    def sundry(one):
        return one.changed(price=one.price * by["other_price"])

    return replace(
        shelf,
        house=house.changed(
            waste_share=house.waste_share * factors["waste"],
            wage_per_h=house.wage_per_h * by["wage"],
            trip_price=house.trip_price * by["other_price"],
        ),
        coats=tuple(c.changed(film_um=c.film_um * factors["film"]) for c in shelf.coats),
        finishes=tuple(
            f.changed(
                film_um=f.film_um * factors["film"],
                rate_m2_h=f.rate_m2_h * slower["wear"],
                aggregate_price_per_kg=f.aggregate_price_per_kg * by["resin_price"],
            )
            for f in shelf.finishes
        ),
        tasks=tuple(map(task, shelf.tasks)),
        sundries=tuple(map(sundry, shelf.sundries)),
        equipment=tuple(
            e.changed(price_per_day=e.price_per_day * by["other_price"])
            for e in shelf.equipment
        ),
        products=tuple(
            p.changed(
                packs=tuple(
                    pack.changed(price=pack.price * by["resin_price"]) for pack in p.packs
                )
            )
            for p in shelf.products
        ),
        pigments=tuple(
            p.changed(price_per_kg=p.price_per_kg * by["resin_price"])
            for p in shelf.pigments
        ),
        tints=tuple(
            t.changed(price_per_kg=t.price_per_kg * by["resin_price"]) for t in shelf.tints
        ),
        extras=tuple(
            e.changed(
                tasks=tuple(map(task, e.tasks)),
                sundries=tuple(map(sundry, e.sundries)),
                coats=tuple(
                    c.changed(film_um=c.film_um * factors["film"]) for c in e.coats
                ),
            )
            for e in shelf.extras
        ),
    )


ROUNDING = 1.0
"""Lines to the cent and hours to a hundredth: a third of a unit each at the most."""


@pytest.mark.parametrize("keys", [(), ("cove", "crack_repair"), ("moisture_primer",)])
@pytest.mark.parametrize("tax_on", ["materials", "price"])
@pytest.mark.parametrize("floor", [FLOOR, replace(FLOOR, takeup_l=9.0, cracks_m=12.0)],
                         ids=["smooth", "rough"])  # fmt: skip
def test_a_floor_that_came_out_otherwise_costs_what_a_full_reprice_says(
    keys, tax_on, floor
):
    shelf = shelf_with(tax_on=tax_on, overtime_after_h=7.0, overhead_share="0")
    planned = floor_of(keys, shelf, floor)
    costing = Costing(planned.system, planned.work, planned.built, shelf)
    drawn_ = factors_of(shelf, draws=100, seed=4)
    costs, days = costing.outcomes(drawn_)

    for n in range(8):
        factors = {key: round(float(row[n]), 6) for key, row in drawn_.items()}
        other = floor_of(keys, came_out(shelf, factors), floor)
        without = other.built.cost - other.built.sum_of("contingency")
        assert days[n] == other.work.days
        assert costs[n] == pytest.approx(float(without), abs=ROUNDING)


def test_with_every_factor_at_one_the_cost_is_the_bid():
    for shelf in (SHELF, shelf_with(overhead_by="hour", overhead_per_h="21.50")):
        floor = floor_of(("cove", "crack_repair"), shelf)
        one = {spread.key: np.ones(3) for spread in shelf.spreads}
        costing = Costing(floor.system, floor.work, floor.built, shelf)
        costs, days = costing.outcomes(one)

        bid = floor.built.cost - floor.built.sum_of("contingency")
        assert costs == pytest.approx(float(bid), abs=1e-6)
        assert days.tolist() == [floor.work.days] * 3


def risk_on(shelf=SHELF, floor=FLOOR, **given_):
    planned = floor_of((), shelf, floor)
    given_ = {"slab_is_read": True, "draws": 5000, **given_}
    return risk_of(planned.system, planned.work, planned.built, shelf, **given_)


def test_the_same_seed_draws_the_same_floors_and_another_others():
    one, again, other = risk_on(seed=1), risk_on(seed=1), risk_on(seed=2)

    assert np.array_equal(one.costs, again.costs)
    assert not np.array_equal(one.costs, other.costs)


def test_quantiles_rise_and_the_chance_of_loss_falls_with_the_price():
    risk = risk_on()
    p10, p50, p80, p90 = (risk.quantiles[k] for k in (10, 50, 80, 90))

    assert p10 < p50 < p80 < p90
    cheap = risk_on(shelf_with(margin_share="0"))
    assert cheap.chance_of_loss > risk.chance_of_loss
    assert cheap.chance_of_loss == np.mean(cheap.costs > cheap.price)
    assert cheap.contingency_for_p80 == pytest.approx(cheap.quantiles[80] - cheap.planned)


def test_a_wage_alone_spreads_the_cost_as_its_own_curve():
    """Nothing else drawn: cost = rest + factor × wages, so its P80 is the curve's own."""
    wage = spread("triangular", low=0.9, likely=1.0, high=1.3)
    shelf = replace(SHELF, spreads=(wage,), ties=())
    risk = risk_on(shelf, draws=DRAWS)
    paid = {line.label: float(line.amount) for line in floor_of((), shelf).built.lines}
    house, days = shelf.house, floor_of((), shelf).work.days
    road = days * (paid["Travel and mobilization"] / days - float(house.trip_price))
    wages = paid["Labor"] + road

    exact = risk.planned + (quantile(wage, 0.8) - 1.0) * wages
    density = 2 * (1.3 - quantile(wage, 0.8)) / (0.4 * 0.3) / wages
    sigma = sqrt(0.8 * 0.2 / DRAWS) / density
    assert abs(risk.quantiles[80] - exact) < SIGMAS * sigma + 0.01


def test_the_tornado_is_sorted_and_each_bar_is_a_full_recost():
    risk = risk_on()
    swings = [driver.swing for driver in risk.drivers]

    assert swings == sorted(swings, reverse=True)
    assert {driver.key for driver in risk.drivers} == {s.key for s in SHELF.spreads}
    floor = floor_of()
    costing = Costing(floor.system, floor.work, floor.built, SHELF)
    first = risk.drivers[0]
    medians = {s.key: np.array([quantile(s, 0.5)]) for s in SHELF.spreads}
    medians[first.key] = np.array([quantile(next(
        s for s in SHELF.spreads if s.key == first.key), 0.9)])  # fmt: skip
    assert first.cost_high == pytest.approx(float(costing.outcomes(medians)[0][0]))


def test_dearer_spreads_never_make_a_floor_cheaper():
    slow = tuple(
        s.changed(low=0.5, likely=0.7, high=1.0) if s.key == "pace_prepare" else s
        for s in SHELF.spreads
    )
    assert risk_on(replace(SHELF, spreads=slow)).mean > risk_on().mean


def test_the_class_of_an_estimate_is_stated_with_its_range_and_how_it_is_known():
    assert class_of(slab_is_read=True).number == 2
    assert class_of(slab_is_read=False).number == 3
    said = class_of(slab_is_read=True).says
    # AACE 56R-08, from memory: class 2, −5 to −10 % and +5 to +15 %
    assert "5 to 10 % below and 5 to 15 % above" in said
    assert "from memory" in said


@pytest.mark.parametrize("draws", [0, 99, 2_000_001])
def test_absurd_numbers_of_draws_are_named(draws):
    with pytest.raises(
        MeasureError, match=rf"draws: found {draws}; expected 100 to 2,000,000"
    ):
        risk_on(draws=draws)


def test_nothing_to_draw_is_named():
    with pytest.raises(ShelfError, match=r"\[spread\]: found none; expected at least one"):
        risk_on(replace(SHELF, spreads=(), ties=()))


@pytest.mark.parametrize(
    ("shape", "figures", "told"),
    [
        ("triangular", {"low": 1.2, "likely": 1.0, "high": 1.3}, "found 1.2, 1, 1.3"),
        ("pert", {"low": 1.0, "likely": 1.0, "high": 1.0}, "found 1, 1, 1"),
        (
            "pert",
            {"low": 1.0, "likely": 1.0},
            "expected low, likely and high, and no others",
        ),
        ("lognormal", {"mean": 1.0}, "expected mean and cv, and no others"),
        ("lognormal", {"mean": 1.0, "cv": 0.1, "low": 1.0}, "expected mean and cv, and no"),
    ],
)
def test_a_spread_without_its_own_figures_is_named(shape, figures, told):
    with pytest.raises(ShelfError) as caught:
        spread(shape, **figures)

    assert caught.value.line.startswith(f"It, {shape}")
    assert told in caught.value.line


@pytest.mark.parametrize(
    ("body", "told"),
    [
        ('of = ["film", "moon"]', "[tie.odd], of: found moon; expected one of film"),
        ('of = ["film", "film"]', "[tie.odd], of: found film twice; expected two spreads"),
        ('of = ["waste", "film"]', "[tie.one_hand]"),
    ],
)
def test_a_tie_of_what_is_not_there_is_named(tmp_path, body, told):
    from importlib.resources import files

    for file in files("kit.stock.shelf").iterdir():
        if file.name.endswith(".toml"):
            (tmp_path / file.name).write_text(file.read_text("utf-8"), "utf-8")
    (tmp_path / "mine.toml").write_text(
        f'[tie.odd]\n{body}\ncorrelation = 0.2\nsource = "made up"\n', "utf-8"
    )

    with pytest.raises(ShelfError) as caught:
        read_shelf(tmp_path)

    assert told in caught.value.line
