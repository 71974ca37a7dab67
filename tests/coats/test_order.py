"""Kits: the solver against hand-proven orders and against trying every order."""

from dataclasses import replace
from decimal import Decimal
from itertools import product as combinations
from math import ceil

import pytest
from floors import PALETTE, rectangle
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.coats import system_for
from kit.coats.order import NEGLIGIBLE_L, cheapest_kits, searched, solved
from kit.errors import MeasureError
from kit.stock import Pack, read_shelf
from kit.units import L_PER_GAL

# Three sizes at $110, $100 and $90 a unit of volume; two of them at $90 and $82.
THREE = ((1.5, 165), (3, 300), (15, 1350))
TWO = ((3, 270), (5, 410))


def packs_of(kits):
    return tuple(Pack(volume_l=size, price=Decimal(price)) for size, price in kits)


def counts_of(order, packs):
    taken = dict(order.packs)
    return [taken.get(pack, 0) for pack in packs]


def every_order(packs, needed_l):
    """Cheapest order by trying all; complete, for one more of a size only adds cost."""
    ranges = [range(ceil(needed_l / pack.volume_l) + 1) for pack in packs]
    bought = (
        (
            sum(
                (pack.price * n for pack, n in zip(packs, counts, strict=True)), Decimal(0)
            ),
            sum(pack.volume_l * n for pack, n in zip(packs, counts, strict=True)),
        )
        for counts in combinations(*ranges)
    )
    return min(order for order in bought if order[1] >= needed_l - NEGLIGIBLE_L)


@pytest.mark.parametrize(
    ("kits", "needed", "cost", "counts"),
    [
        # Proven by enumerating all orders of up to ⌈need/size⌉ + 1 of each size.
        (THREE, 6.583, 765, [1, 2, 0]),
        (THREE, 7.24, 765, [1, 2, 0]),
        (THREE, 13.2, 1350, [0, 0, 1]),
        (THREE, 14.0, 1350, [0, 0, 1]),
        (THREE, 16, 1515, [1, 0, 1]),
        # By hand: one kit is too few, 3 + 3 too little, three kits cost 810 or more.
        (TWO, 7, 680, [1, 1]),
        (TWO, 8, 680, [1, 1]),
        (TWO, 11, 950, [2, 1]),
        (TWO, 12, 1080, [4, 0]),
    ],
)
def test_orders_proven_by_hand(kits, needed, cost, counts):
    packs = packs_of(kits)

    order = cheapest_kits(packs, needed)

    assert (order.cost, counts_of(order, packs)) == (cost, counts)
    assert order.bought_l >= needed


def test_cheapest_is_not_least_to_spare():
    """13.5 would do for 13.2, at $1365; 15 cost $1350."""
    assert cheapest_kits(packs_of(THREE), 13.2).bought_l == 15


def test_cheapest_is_not_largest_first():
    """Largest first takes 5 + 5 + 3 for 12, at $1090; four of 3 cost $1080."""
    assert cheapest_kits(packs_of(TWO), 12).cost == 1080


def test_no_order_beats_the_best_price_by_volume():
    """7.24 at $90, the lowest price of a unit: no order can cost less than $651.60."""
    assert pytest.approx(651.6, abs=1e-9) == 7.24 * 90
    assert cheapest_kits(packs_of(THREE), 7.24).cost >= Decimal("651.60")


SIZES = st.integers(5, 200).map(lambda tenths: tenths / 10)
CENTS = st.integers(500, 90_000).map(lambda cents: Decimal(cents) / 100)
SHELVES = st.lists(
    st.builds(Pack, volume_l=SIZES, price=CENTS),
    min_size=1,
    max_size=3,
    unique_by=lambda pack: pack.volume_l,
).map(tuple)


@given(SHELVES, st.floats(0.1, 45))
def test_solver_agrees_with_trying_every_order(packs, needed_l):
    order = cheapest_kits(packs, needed_l)

    cost, bought_l = every_order(packs, needed_l)

    assert order.cost == cost
    assert order.bought_l == pytest.approx(bought_l)


@settings(max_examples=30)
@given(
    st.lists(
        st.builds(Pack, volume_l=SIZES, price=CENTS),
        min_size=1,
        max_size=5,
        unique_by=lambda pack: pack.volume_l,
    ).map(tuple),
    st.floats(0.1, 400),
)
def test_the_search_and_the_solver_agree_where_trying_every_order_would_take_too_long(
    packs, needed_l
):
    """HiGHS through `scipy.optimize.milp` is the rival; it may fall 1e-6 l short."""

    def worth(counts):
        pairs = list(zip(packs, counts, strict=True))
        return sum(p.price * n for p, n in pairs), sum(p.volume_l * n for p, n in pairs)

    found, rival = searched(packs, needed_l), solved(packs, needed_l)
    if found is None or worth(rival)[1] < needed_l - NEGLIGIBLE_L:
        return

    assert worth(found)[0] == worth(rival)[0]
    assert worth(found)[1] == pytest.approx(worth(rival)[1])


def test_sizes_priced_all_alike_are_left_to_the_solver():
    """At one price by volume no order is ruled out by price: there are too many."""
    packs = packs_of(((1.7, 17), (2.3, 23), (3.1, 31), (4.3, 43), (5.9, 59)))

    assert searched(packs, 900.05) is None
    order = cheapest_kits(packs, 900.05)
    assert order.cost == Decimal(9001)
    assert order.bought_l == pytest.approx(900.1)


@given(SHELVES, st.floats(0.1, 45), st.floats(0.0, 10))
def test_needing_more_never_costs_less_and_never_buys_less(packs, needed_l, more_l):
    less, more = cheapest_kits(packs, needed_l), cheapest_kits(packs, needed_l + more_l)

    assert less.bought_l >= needed_l - NEGLIGIBLE_L
    assert more.cost >= less.cost
    assert more.bought_l >= less.bought_l - 1e-9


@settings(max_examples=50)
@given(SHELVES, st.floats(0.1, 45), st.sampled_from([L_PER_GAL, 1 / L_PER_GAL]))
def test_gallons_and_litres_buy_the_same_kits(packs, needed_l, per_unit):
    other = tuple(p.changed(volume_l=round(p.volume_l * per_unit, 9)) for p in packs)
    # sizes are whole tenths, so that no need just meets an order in one of the two
    needed_l = float(f"{needed_l:.2f}") + 0.005
    ours, theirs = cheapest_kits(packs, needed_l), cheapest_kits(other, needed_l * per_unit)

    assert theirs.cost == ours.cost
    assert theirs.bought_l == pytest.approx(ours.bought_l * per_unit)


@settings(max_examples=25)
@given(st.floats(3.0, 18.0), st.floats(1.0, 1.5), st.floats(1.0, 1.6))
def test_more_floor_or_more_film_never_costs_less(width_m, wider, thicker):
    shelf = read_shelf()
    finish = shelf.finish("satin")
    thick = replace(
        shelf,
        coats=tuple(coat.changed(film_um=coat.film_um * thicker) for coat in shelf.coats),
    )
    floor, larger = rectangle(width_m, 7.0), rectangle(width_m * wider, 7.0)

    def cost(takeoff, stock):
        system = system_for(takeoff, PALETTE, finish, stock)
        pigments = [need.cost for coat in system.coats for need in coat.pigments]
        return sum(one.cost for one in system.purchases) + sum(pigments)

    assert cost(larger, shelf) >= cost(floor, shelf)
    assert cost(floor, thick) >= cost(floor, shelf)


@pytest.mark.parametrize("short_l", [1e-8, 1e-7, 5e-7, 1e-6, 1e-5])
def test_a_can_that_is_short_by_less_than_the_solver_sees_is_short(short_l):
    packs = packs_of(((8, 100), (12, 140)))

    assert cheapest_kits(packs, 8 + short_l).bought_l == 12


def test_float_noise_does_not_buy_a_kit():
    assert cheapest_kits(packs_of(TWO), 0.1 * 3 * 10 + 4e-16).cost == 270


def test_equal_prices_take_the_order_with_least_to_spare():
    order = cheapest_kits(packs_of(((5, 100), (6, 100), (9, 100))), 5.5)

    assert order.bought_l == 6


@pytest.mark.parametrize("needed_l", [0.0, -3.0])
def test_nothing_needed_is_refused(needed_l):
    with pytest.raises(MeasureError, match="volume"):
        cheapest_kits(packs_of(TWO), needed_l)
