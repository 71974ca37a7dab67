"""Buckets: enough, in time, none too old, each color in its own volume."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString, box

from kit.coats.system import Coat
from kit.errors import MeasureError, PlanError, ShelfError
from kit.plan.floor import FloorPlan, PlannedRoom, WayOut
from kit.stock import read_shelf
from kit.work.batches import mixing_plan
from kit.work.mixers import Mixers
from kit.work.mixing import CARRY_MIN, MIX_MIN
from kit.work.sets import LEAST_L

SHELF = read_shelf()
FLOOD = SHELF.product("flood_epoxy")


def floor(wide: float, deep: float) -> FloorPlan:
    shape = box(0, 0, wide, deep)
    room = PlannedRoom("room", shape, shape)
    out = WayOut("room", LineString([(wide, 0.5), (wide, 1.5)]), 1.0)
    return FloorPlan((room,), (), out, shape)


def mixers(people=2, colours=3, slab_c=21.0, product=FLOOD, **more) -> Mixers:
    given = {"rate_m2_h": 17.0, "batch_l": 11.36, **more}
    return Mixers(product, SHELF.cure(product), slab_c, people, colours=colours, **given)


def of_shares(shares):
    def parts(order):
        whole = sum(lane.area_m2 for lane in order.lanes)
        return [[lane.area_m2 / whole * share for share in shares] for lane in order.lanes]

    return parts


@pytest.fixture(scope="module")
def flood(demo_workup) -> Coat:
    return demo_workup.system.coat("flood")


def coat_on(flood: Coat, plan: FloorPlan, shares) -> Coat:
    """The demo's flood coat on another floor, in so many colors."""
    by = plan.surface.area / flood.area_m2
    needs = [replace(flood.pigments[0], share=share, name=f"c{n}") for n, share in
             enumerate(shares)]  # fmt: skip
    return replace(
        flood,
        area_m2=plan.surface.area,
        volume_l=flood.volume_l * by,
        pigments=tuple(needs),
    )


def check_laws(plan, coat) -> None:
    assert plan.volume_l == pytest.approx(coat.volume_l, abs=0.001 * len(coat.pigments))
    for place, need in enumerate(coat.pigments):
        letter = chr(ord("A") + place)
        own = sum(b.volume_l for b in plan.batches if b.letter == letter)
        assert own == pytest.approx(need.share * coat.volume_l, abs=1e-3)
    for one in plan.sets:
        assert one.closed_age_min <= plan.working_min
        for batch in one.batches:
            assert batch.age_min <= batch.pot_life_min
            assert batch.mix_at_min + MIX_MIN + CARRY_MIN <= batch.pour_at_min + 1e-6
            assert batch.volume_l <= 11.37
            assert batch.parts.a_l + batch.parts.b_l == pytest.approx(batch.volume_l)
    busy: dict[tuple[int, int], list[float]] = {}
    for one in plan.sets:
        for batch in one.batches:
            busy.setdefault((one.day, batch.mixer), []).append(batch.mix_at_min)
    for starts in busy.values():
        for sooner, later in pairwise(sorted(starts)):
            assert later - sooner >= MIX_MIN - 1e-6, "a mixer at two buckets at once"


def test_the_demo_floor_is_mixed_in_time(demo_workup, flood):
    shares = [need.share for need in flood.pigments]
    plan = mixing_plan(flood, demo_workup.plan, mixers(), of_shares(shares))
    check_laws(plan, flood)
    assert [b.name for b in plan.sets[0].batches] == ["1C", "1B", "1A"]


@given(
    st.floats(3.0, 16.0), st.floats(3.0, 9.0), st.integers(1, 6), st.integers(2, 4),
    st.floats(12.0, 31.5), st.randoms(use_true_random=False),
)  # fmt: skip
@settings(max_examples=40)
def test_no_batch_is_too_old_and_all_sum_up_or_no_plan_is_made(
    flood, wide, deep, people, colours, slab_c, chance
):
    weights = [chance.uniform(0.1, 1.0) for _ in range(colours)]
    shares = [weight / sum(weights) for weight in weights]
    where = floor(wide, deep)
    coat = coat_on(flood, where, shares)
    try:
        plan = mixing_plan(coat, where, mixers(people, colours, slab_c), of_shares(shares))
    except PlanError:
        return
    check_laws(plan, coat)


# 2:1 by volume and 1.15 and 1.00 kg/l, by hand: 3 l are 2 l of A, 2.300 kg, and 1 l of B.
def test_parts_by_volume_and_by_weight(flood):
    where = floor(4.0, 4.0)
    plan = mixing_plan(coat_on(flood, where, [1.0]), where, mixers(colours=1))
    batch = plan.batches[0]
    assert batch.parts.a_l == pytest.approx(2 * batch.parts.b_l)
    assert batch.parts.a_kg == pytest.approx(batch.parts.a_l * 1.15)
    assert batch.parts.b_kg == pytest.approx(batch.parts.b_l * 1.00, rel=1e-3)
    # the dose is by weight of the mix
    dose = SHELF.pigment(flood.pigments[0].key).dose
    need = replace(flood.pigments[0], share=1.0)
    assert need.mass_kg > 0
    assert sum(b.pigment_kg for b in plan.batches) == pytest.approx(need.mass_kg, rel=1e-3)
    assert dose < 0.1


def test_without_densities_parts_are_told_by_volume_only(flood):
    bare = FLOOD.changed(density_a_kg_per_l=None)
    where = floor(4.0, 4.0)
    coat = replace(coat_on(flood, where, [1.0]), product=bare)
    plan = mixing_plan(coat, where, mixers(colours=1, product=bare))
    assert plan.batches[0].parts.a_kg is None


def test_a_warmer_slab_never_leaves_a_bucket_more_time(flood):
    where = floor(6.0, 5.0)
    coat = coat_on(flood, where, [0.5, 0.5])
    cool, warm = (
        mixing_plan(coat, where, mixers(2, 2, c), of_shares([0.5, 0.5]))
        for c in (18.0, 25.0)
    )
    assert max(b.pot_life_min for b in warm.batches) < max(
        b.pot_life_min for b in cool.batches
    )


def test_a_stop_of_ten_minutes_is_told_for_what_it_breaks(flood):
    """At 31 °C three colors have little to spare; two at 18 °C bear it."""
    where = floor(8.0, 6.0)
    coat = coat_on(flood, where, [0.6, 0.4])
    cool = mixing_plan(coat, where, mixers(2, 2, 18.0), of_shares([0.6, 0.4]))
    assert cool.bears_a_stall
    coat = coat_on(flood, where, [0.4, 0.3, 0.3])
    warm = mixing_plan(coat, where, mixers(2, 3, 31.0), of_shares([0.4, 0.3, 0.3]))
    assert not warm.bears_a_stall
    late = [words for one in warm.sets for words in one.late]
    assert any("past its" in words for words in late)


def test_what_is_too_little_to_mix_is_poured_from_the_lane_beside(flood):
    where = floor(6.0, 5.0)
    coat = coat_on(flood, where, [0.96, 0.04])

    def parts(order):
        rows = of_shares([0.96, 0.04])(order)
        moved = rows[0][1] * 0.9
        rows[0][1] -= moved
        rows[1][1] += moved
        return rows

    plan = mixing_plan(coat, where, mixers(2, 2), parts)
    check_laws(plan, coat)
    assert min(b.volume_l for b in plan.batches) > LEAST_L / 3


@pytest.mark.parametrize(
    ("given", "says"),
    [
        ({"people": 0}, r"crew: found 0"),
        ({"colours": 6, "slab_c": 30.0}, r"more people at it"),
        ({"rate_m2_h": 0.0}, r"rate of laying"),
    ],
)
def test_what_cannot_be_mixed_in_time_is_refused(flood, given, says):
    where = floor(6.0, 5.0)
    shares = [1 / given.get("colours", 3)] * given.get("colours", 3)
    with pytest.raises(PlanError, match=says):
        mixing_plan(
            coat_on(flood, where, shares), where, mixers(**given), of_shares(shares)
        )


def test_a_slab_too_cold_or_a_product_that_nobody_knows_to_last_is_refused(flood):
    where = floor(6.0, 5.0)
    with pytest.raises(MeasureError, match="slab temperature"):
        mixing_plan(coat_on(flood, where, [1.0]), where, mixers(colours=1, slab_c=2.0))
    fields = {**dict(FLOOD), "source": "none"}
    del fields["pot_life_min"]
    from kit.record import filled

    with pytest.raises(ShelfError, match="pot_life_min"):
        filled(type(FLOOD), fields, family=ShelfError)


def test_a_bucket_that_would_outlive_its_pot_life_is_refused(flood):
    where = floor(16.0, 4.0)
    with pytest.raises(PlanError, match=r"batch 1 at 88 °F: found \d+ min old at its last"):
        mixing_plan(coat_on(flood, where, [1.0]), where, mixers(2, 1, 31.0))


def test_a_lane_closed_after_its_working_time_is_refused(flood):
    """A resin whose film lasts hardly longer than its bucket."""
    where = floor(8.0, 6.0)
    usual = mixers(3, 1, 28.0)
    hasty = replace(usual, cure=usual.cure.changed(film_times=1.1))
    with pytest.raises(PlanError, match=r"film 30 min old when it is closed"):
        mixing_plan(coat_on(flood, where, [1.0]), where, hasty)
