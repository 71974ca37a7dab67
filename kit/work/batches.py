"""Buckets for a coat: mixed in time, poured in time, closed in time, or not planned.

Colors that are poured side by side are mixed as a set, each as much as the lanes of
the set need, so that all buckets are empty together: a color of a tenth in a bucket as
large as one of a half would stand five times as long. A set has as few lanes as give
the mixers time for the next, for age grows with every lane.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise
from math import ceil, inf

from kit.coats.mixing import split_of
from kit.coats.system import Coat
from kit.errors import PlanError
from kit.plan.floor import FloorPlan
from kit.plan.order import Lane, PourOrder, pour_order
from kit.plan.pace import STALL_MIN
from kit.stock.records import Product
from kit.work.mixers import HELP, LEAST_SET_MIN, Mixers
from kit.work.mixing import (
    CARRY_MIN,
    MEETS_MIN,
    MIX_MIN,
    POURED_BY,
    Batch,
    BatchSet,
    MixingPlan,
)
from kit.work.windows import shown_c

ML_PER_L = 1000
SLOWER = (1.0, 1.25, 1.6, 2.0)
"""Paces that are tried, by the share of all hands' time that is kept for mixing."""
MOST_SHARE = 0.9
LEAST_L = 0.15
"""Least of a color that is mixed for a lane, about 5 fl oz. [l]"""

PartsIn = Callable[[PourOrder], Sequence[Sequence[float]]]


def mixing_plan(
    coat: Coat,
    plan: FloorPlan,
    mixers: Mixers,
    parts_in: PartsIn | None = None,
    *,
    name: str = "",
    day_min: float = inf,
    zones_m2: Sequence[float] = (),
) -> MixingPlan:
    """Plan lanes and buckets of one pass of a coat.

    Parameters
    ----------
    coat : Coat
    plan : FloorPlan
    mixers : Mixers
    parts_in : callable, optional
        For an order, the part of the whole coat that each color has in each of its
        lanes, (L, P), together 1; by area where left out.
    name : str
        What the pass is called; the coat's own name by default.
    day_min, zones_m2
        As `pour_order` takes them.

    Raises
    ------
    PlanError
        If no lanes can be laid safely; or if at any pace a bucket would be older than
        its pot life, a lane older than its working time when it is closed, or the
        mixers behind. It says what would help.
    """
    pace = mixers.pace
    refused: PlanError | None = None
    for slower in SLOWER:
        share = min(slower * pace.buckets_share, MOST_SHARE)
        order = pour_order(
            plan, replace(pace, buckets_share=share), day_min=day_min, zones_m2=zones_m2
        )
        try:
            sets = _sets(coat, order, mixers, parts_in or _by_area)
        except PlanError as error:
            # hurried past its buckets: the same crew at a calmer pace
            refused = refused or error
            continue
        full_l = max(batch.volume_l for one in sets for batch in one.batches)
        return MixingPlan(
            coat=coat, name=name or coat.name, kind=coat.kind, order=order,
            colours=tuple(need.name for need in coat.pigments), sets=tuple(sets),
            slab_c=mixers.slab_c, pot_life_min=mixers.pot_life_min(full_l),
            working_min=mixers.working_min,
        )  # fmt: skip
    assert refused is not None, "every pace was refused"
    raise refused


def _by_area(order: PourOrder) -> Sequence[Sequence[float]]:
    whole_m2 = sum(lane.area_m2 for lane in order.lanes)
    return [[lane.area_m2 / whole_m2] for lane in order.lanes]


def _sets(
    coat: Coat, order: PourOrder, mixers: Mixers, parts_in: PartsIn
) -> list[BatchSet]:
    per_pass_l = coat.volume_l / coat.passes
    litres = {
        lane.number: [float(part) * per_pass_l for part in row]
        for lane, row in zip(order.lanes, parts_in(order), strict=True)
    }
    for day in range(1, order.days + 1):
        _fold([litres[lane.number] for lane in order.of_day(day)])
    groups = [
        group
        for day in range(1, order.days + 1)
        for group in _grouped(order.of_day(day), litres, mixers)
    ]
    sets = [
        _set(number, group, litres, coat, order, mixers)
        for number, group in enumerate(groups, start=1)
    ]
    _check_supply(sets)
    return _in_whole_ml(sets, mixers.product)


def _fold(rows: list[list[float]]) -> None:
    """Too little to mix is poured over the edge, from the bucket of the lane beside."""
    for place in range(len(rows[0])):
        for n, row in enumerate(rows):
            beside = [rows[m] for m in (n - 1, n + 1) if 0 <= m < len(rows)]
            if 0.0 < row[place] < LEAST_L and beside:
                most = max(beside, key=lambda other: other[place])
                if most[place] > row[place]:
                    most[place] += row[place]
                    row[place] = 0.0


def _grouped(
    lanes: Sequence[Lane], litres: Mapping[int, Sequence[float]], mixers: Mixers
) -> list[list[Lane]]:
    """Lanes in sets, from the last: each lasts while the one after it is mixed."""
    groups: list[list[Lane]] = [[]]
    for lane in reversed(lanes):
        following = groups[1] if len(groups) > 1 else []
        if groups[0] and _lasts(groups[0], following, litres, mixers):
            groups.insert(0, [])
        groups[0].insert(0, lane)
    if len(groups) > 1 and not _lasts(groups[0], groups[1], litres, mixers):
        both = [*groups[0], *groups[1]]
        if _is_young(both, litres, mixers):
            groups[:2] = [both]
    return groups


def _lasts(
    group: Sequence[Lane],
    following: Sequence[Lane],
    litres: Mapping[int, Sequence[float]],
    mixers: Mixers,
) -> bool:
    """Whether a set is laid no sooner than the next is mixed, and pays for its own."""
    next_min = mixers.waves(_buckets(following, litres, mixers)) * MIX_MIN
    labor_min = _buckets(group, litres, mixers) * MIX_MIN
    own_min = min(labor_min / (mixers.buckets_share * mixers.people), LEAST_SET_MIN)
    return group[-1].to_min - group[0].from_min >= max(next_min, own_min) - 1e-9


def _is_young(
    group: Sequence[Lane], litres: Mapping[int, Sequence[float]], mixers: Mixers
) -> bool:
    buckets = _buckets(group, litres, mixers)
    poured = group[-1].from_min + POURED_BY * (group[-1].to_min - group[-1].from_min)
    age_min = poured - group[0].from_min + mixers.waves(buckets) * MIX_MIN + CARRY_MIN
    largest_l = max(_needed(group, litres))
    return age_min < mixers.pot_life_min(min(largest_l, mixers.batch_l)) - STALL_MIN / 2


def _needed(
    group: Sequence[Lane], litres: Mapping[int, Sequence[float]]
) -> tuple[float, ...]:
    return tuple(map(sum, zip(*(litres[lane.number] for lane in group), strict=True)))


def _buckets(
    group: Sequence[Lane], litres: Mapping[int, Sequence[float]], mixers: Mixers
) -> int:
    if not group:
        return 0
    return sum(_counted(litre, mixers.batch_l) for litre in _needed(group, litres))


def _counted(volume_l: float, batch_l: float) -> int:
    return ceil(volume_l / batch_l - 1e-9) if volume_l * ML_PER_L >= 0.5 else 0


def _set(
    number: int,
    group: Sequence[Lane],
    litres: Mapping[int, Sequence[float]],
    coat: Coat,
    order: PourOrder,
    mixers: Mixers,
) -> BatchSet:
    """One set: who mixes which bucket when, and how old each becomes."""
    wanted: list[tuple[float, int, str]] = []
    for place, volume_l in enumerate(_needed(group, litres)):
        count = _counted(volume_l, mixers.batch_l)
        for again in range(count):
            letter = chr(ord("A") + place) if len(coat.pigments) > 1 else ""
            name = f"{number}{letter}" + (f"-{again + 1}" if count > 1 else "")
            wanted.append((volume_l / count, place, name))
    wanted.sort()
    start, waves = group[0].from_min, mixers.waves(len(wanted))
    batches = []
    for turn, (volume_l, place, name) in enumerate(wanted):
        wave, hand = divmod(turn, mixers.hands)
        in_lanes = [
            lane for lane in group if litres[lane.number][place] * ML_PER_L >= 0.5
        ] or list(group)
        last = in_lanes[-1]
        mix_at = start - CARRY_MIN - (waves - wave) * MIX_MIN
        empty_by = last.from_min + POURED_BY * (last.to_min - last.from_min)
        batches.append(
            _batch(
                name, place, volume_l, coat, mixers,
                lanes=tuple(lane.number for lane in in_lanes), mixer=hand + 1,
                mix_at_min=mix_at, pour_at_min=in_lanes[0].from_min, empty_by_min=empty_by,
            )
        )  # fmt: skip
    return _judged(number, group, tuple(batches), order, mixers)


def _batch(
    name: str, place: int, volume_l: float, coat: Coat, mixers: Mixers, *,
    lanes: tuple[int, ...], mixer: int, mix_at_min: float, pour_at_min: float,
    empty_by_min: float,
) -> Batch:  # fmt: skip
    need = coat.pigments[place] if coat.pigments else None
    share = volume_l / coat.volume_l
    age_min = empty_by_min - mix_at_min - MEETS_MIN
    pot_min = mixers.pot_life_min(volume_l)
    if age_min > pot_min:
        raise PlanError(
            f"{coat.name}, batch {name} at {shown_c(mixers.slab_c)}",
            found=f"{age_min:.0f} min old at its last drop",
            expected=f"at most its pot life of {pot_min:.0f} min: {HELP}",
        )
    return Batch(
        name=name,
        letter=chr(ord("A") + place) if len(coat.pigments) > 1 else "",
        colour=need.name if need else "", lanes=lanes, volume_l=volume_l,
        parts=split_of(mixers.product, volume_l),
        pigment_kg=need.mass_kg * volume_l / (coat.volume_l * need.share) if need else 0.0,
        grain_kg=coat.aggregate.mass_kg * share if coat.aggregate else 0.0, mixer=mixer,
        mix_at_min=mix_at_min, pour_at_min=pour_at_min, empty_by_min=empty_by_min,
        pot_life_min=pot_min, age_min=age_min,
    )  # fmt: skip


def _judged(
    number: int, group: Sequence[Lane], batches: tuple[Batch, ...], order: PourOrder,
    mixers: Mixers,
) -> BatchSet:  # fmt: skip
    """A set with what a stop would break; refused if it is too old without one."""
    first_mixed = min(batch.mix_at_min for batch in batches)
    closed_min = group[-1].to_min - first_mixed - MEETS_MIN
    working_min = mixers.working_min
    lane = group[-1].number
    if closed_min > working_min:
        raise PlanError(
            f"lane {lane}",
            found=f"film {closed_min:.0f} min old when it is closed",
            expected=f"at most its working time of {working_min:.0f} min: {HELP}",
        )
    edge_min = max(order.oldest_edge_min(lane.number) for lane in group)
    late = [
        f"bucket {batch.name} is {STALL_MIN - batch.spare_min:.0f} min past its pot life: "
        "leave the rest of it in the bucket"
        for batch in batches
        if batch.spare_min < STALL_MIN
    ]
    if edge_min + STALL_MIN > working_min:
        over = edge_min + STALL_MIN - working_min
        late.append(f"an edge is {over:.0f} min past its working time: tape it straight")
    if closed_min + STALL_MIN > working_min:
        over = closed_min + STALL_MIN - working_min
        late.append(f"lane {lane} is {over:.0f} min past its working time: stop working it")
    return BatchSet(
        number=number, day=group[0].day, lanes=tuple(lane.number for lane in group),
        batches=batches, from_min=group[0].from_min, to_min=group[-1].to_min,
        closed_age_min=closed_min, edge_min=edge_min, late=tuple(late),
    )  # fmt: skip


def _in_whole_ml(sets: list[BatchSet], product: Product) -> list[BatchSet]:
    """Volumes in whole millilitres, so that each color's buckets sum to its own."""
    every = [batch for one in sets for batch in one.batches]
    rounded: dict[str, float] = {}
    for letter in {batch.letter for batch in every}:
        own = [batch for batch in every if batch.letter == letter]
        exact = [batch.volume_l * ML_PER_L for batch in own]
        down = [int(one) for one in exact]
        rest = round(sum(exact)) - sum(down)
        by_rest = sorted(range(len(own)), key=lambda n: down[n] - exact[n])
        for n in by_rest[:rest]:
            down[n] += 1
        rounded |= {b.name: ml / ML_PER_L for b, ml in zip(own, down, strict=True)}
    return [
        replace(
            one, batches=tuple(_resized(b, rounded[b.name], product) for b in one.batches)
        )
        for one in sets
    ]


def _resized(batch: Batch, volume_l: float, product: Product) -> Batch:
    by = volume_l / batch.volume_l
    return replace(
        batch,
        volume_l=volume_l,
        pigment_kg=batch.pigment_kg * by,
        grain_kg=batch.grain_kg * by,
        parts=split_of(product, volume_l),
    )


def _check_supply(sets: Sequence[BatchSet]) -> None:
    """See that the mixers are done with one set before the next is due to be begun."""
    for one, following in pairwise(sets):
        if one.day != following.day:
            continue
        begun = min(batch.mix_at_min for batch in following.batches)
        late = one.from_min - CARRY_MIN - begun
        if late > 1e-6:
            raise PlanError(
                f"batch set {following.number}",
                found=f"mixers {late:.0f} min behind",
                expected=f"buckets at hand when lane {following.lanes[0]} begins: {HELP}",
            )
