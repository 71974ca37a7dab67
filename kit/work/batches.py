"""Buckets for a coat: mixed in time, poured in time, closed in time, or not planned.

Colors that are poured side by side are mixed as a set, each as much as the lanes of
the set need, so that all buckets are empty together: a color of a tenth in a bucket as
large as one of a half would stand five times as long. A set has as few lanes as give
the mixers time for the next, for age grows with every lane.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from math import inf

from kit.coats.mixing import split_of
from kit.coats.system import Coat
from kit.errors import PlanError
from kit.plan.floor import FloorPlan
from kit.plan.lanes import Lane, PourOrder, Zone
from kit.plan.order import pour_order
from kit.plan.pace import STALL_MIN
from kit.stock.records import Product
from kit.work.mixers import HELP, Mixers
from kit.work.mixing import (
    CARRY_MIN,
    MEETS_MIN,
    MIX_MIN,
    POURED_BY,
    Batch,
    BatchSet,
    MixingPlan,
)
from kit.work.sets import LEAST_ML, ML_PER_L, counted, fold, grouped, needed
from kit.work.windows import shown_c

SLOWER = (1.0, 1.25, 1.6, 2.0)
"""Paces that are tried, by the share of all hands' time that is kept for mixing."""
MOST_SHARE = 0.9

PartsIn = Callable[[PourOrder], Sequence[Sequence[float]]]


def mixing_plan(
    coat: Coat,
    plan: FloorPlan,
    mixers: Mixers,
    parts_in: PartsIn | None = None,
    *,
    name: str = "",
    day_min: float = inf,
    zones: Sequence[Zone] = (),
    lane_m2: Mapping[str, float] | None = None,
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
    day_min, zones, lane_m2
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
        calmer = replace(pace, buckets_share=share)
        order = pour_order(plan, calmer, day_min=day_min, zones=zones, lane_m2=lane_m2)
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
        fold([litres[lane.number] for lane in order.of_day(day)])
    groups = [
        group
        for day in range(1, order.days + 1)
        for group in grouped(order.of_day(day), litres, mixers)
    ]
    wanted = _wanted(groups, litres, coat, mixers)
    begun: dict[str, tuple[float, int]] = {}
    for day in range(1, order.days + 1):
        of_day = [one for one in wanted if one.lanes[0].day == day]
        begun |= _in_time(of_day, mixers.hands)
    batches: list[list[Batch]] = [[] for _ in groups]
    for one in sorted(wanted, key=lambda one: begun[one.name]):
        batches[one.set_number - 1].append(_batch(one, *begun[one.name], coat, mixers))
    sets = [
        _judged(number, group, tuple(own), order, mixers)
        for number, (group, own) in enumerate(zip(groups, batches, strict=True), start=1)
    ]
    return _in_whole_ml(sets, mixers.product)


@dataclass(frozen=True)
class _Wanted:
    """A bucket before anybody has time for it."""

    set_number: int
    name: str
    place: int
    volume_l: float
    lanes: tuple[Lane, ...]
    into_l: tuple[float, ...]

    @property
    def due_min(self) -> float:
        """When it leaves the station."""
        return self.lanes[0].from_min - CARRY_MIN


def _wanted(
    groups: Sequence[Sequence[Lane]],
    litres: Mapping[int, Sequence[float]],
    coat: Coat,
    mixers: Mixers,
) -> list[_Wanted]:
    """Every bucket of every set, with the lanes that it is poured in."""
    found = []
    for number, group in enumerate(groups, start=1):
        for place, volume_l in enumerate(needed(group, litres)):
            count = counted(volume_l, mixers.batch_l)
            letter = chr(ord("A") + place) if len(coat.pigments) > 1 else ""
            lanes = tuple(
                lane for lane in group if litres[lane.number][place] * ML_PER_L >= LEAST_ML
            )
            parts_l = [litres[lane.number][place] for lane in lanes]
            into = [part * volume_l / count / sum(parts_l) for part in parts_l]
            for again in range(count):
                name = f"{number}{letter}" + (f"-{again + 1}" if count > 1 else "")
                found.append(
                    _Wanted(number, name, place, volume_l / count, lanes, tuple(into))
                )
    return found


def _in_time(wanted: Sequence[_Wanted], hands: int) -> dict[str, tuple[float, int]]:
    """When each bucket of a day is begun, and by which mixer: as late as all allow.

    Backwards from the last that is due, so that none waits longer than it must; of
    buckets that are due together the smallest is mixed first, for it lasts longest.
    """
    free = [inf] * hands
    begun = {}
    for one in sorted(wanted, key=lambda one: (one.due_min, one.volume_l), reverse=True):
        hand = max(range(hands), key=lambda n: free[n])
        free[hand] = min(one.due_min, free[hand]) - MIX_MIN
        begun[one.name] = (free[hand], hand + 1)
    return begun


def _batch(
    one: _Wanted, mix_at_min: float, mixer: int, coat: Coat, mixers: Mixers
) -> Batch:
    name, place, volume_l, last = one.name, one.place, one.volume_l, one.lanes[-1]
    need = coat.pigments[place] if coat.pigments else None
    share = volume_l / coat.volume_l
    empty_by_min = last.from_min + POURED_BY * (last.to_min - last.from_min)
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
        colour=need.name if need else "", volume_l=volume_l,
        lanes=tuple(lane.number for lane in one.lanes), into_l=one.into_l,
        parts=split_of(mixers.product, volume_l),
        pigment_kg=need.mass_kg * volume_l / (coat.volume_l * need.share) if need else 0.0,
        grain_kg=coat.aggregate.mass_kg * share if coat.aggregate else 0.0, mixer=mixer,
        mix_at_min=mix_at_min, pour_at_min=one.lanes[0].from_min,
        empty_by_min=empty_by_min,
        pot_life_min=pot_min, age_min=age_min,
    )  # fmt: skip


def _judged(
    number: int, group: Sequence[Lane], batches: tuple[Batch, ...], order: PourOrder,
    mixers: Mixers,
) -> BatchSet:  # fmt: skip
    """A set with what a stop would break; refused if it is too old without one."""
    closed = {lane.number: lane.to_min for lane in group}
    closed_min = max(
        closed[batch.lanes[-1]] - batch.mix_at_min - MEETS_MIN for batch in batches
    )
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
        into_l=tuple(part * by for part in batch.into_l),
        pigment_kg=batch.pigment_kg * by,
        grain_kg=batch.grain_kg * by,
        parts=split_of(product, volume_l),
    )
