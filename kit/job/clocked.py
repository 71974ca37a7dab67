"""Every pour by the clock of the site, and whether each lane meets its own window."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from math import ceil

import numpy as np
import shapely

from kit.errors import PlanError
from kit.job.pouring import SAME_M2, Pouring
from kit.plan.lanes import Lane
from kit.work.asking import Takes
from kit.work.dayplan import Layer, Schedule, Slot, Zone
from kit.work.mixing import MixingPlan


@dataclass(frozen=True)
class LaneWindow:
    """When one lane may be laid over the coat below it, and when it is.

    Parameters
    ----------
    lane : int
    opens, closes : datetime
    begun, closed : datetime
    """

    lane: int
    opens: datetime
    closes: datetime
    begun: datetime
    closed: datetime

    @property
    def is_kept(self) -> bool:
        """Whether the lane is laid inside its window."""
        return self.opens <= self.begun and self.closed <= self.closes


@dataclass(frozen=True)
class Clocked:
    """One pour by the clock of the site.

    Parameters
    ----------
    slot : Slot
        In the plan of the days, from `start` to `closed`.
    start, mixing, zero, closed : datetime
        Readying the film below begins, the first bucket is begun, its first drop
        falls, the last lane is closed.
    lanes : tuple of Lane
        In turn.
    windows : tuple of LaneWindow
        Over the coat below, lane by lane; over all lanes that it lies on where the coat
        below has others; none on the bare slab.
    """

    slot: Slot
    start: datetime
    mixing: datetime
    zero: datetime
    closed: datetime
    lanes: tuple[Lane, ...]
    windows: tuple[LaneWindow, ...]

    def at(self, minutes: float) -> datetime:
        """The clock of the cards by that of the site."""
        return self.zero + timedelta(minutes=minutes)


@dataclass(frozen=True)
class PourTime:
    """How long one pour takes, in whole minutes, for a crew lives by its watch.

    Parameters
    ----------
    ready_min : int
        Readying the film below. [min]
    lead_min : int
        From the first bucket to its first drop. [min]
    lay_min : int
        From there until the last lane is closed. [min]
    """

    ready_min: int
    lead_min: int
    lay_min: int

    @property
    def zero_min(self) -> int:
        """From the start until the first drop. [min]"""
        return self.ready_min + self.lead_min

    @property
    def whole_min(self) -> int:
        """All of it. [min]"""
        return self.zero_min + self.lay_min


def zone_times(
    layers: Sequence[Layer], pouring: Pouring, zone: Zone, floor_m2: float
) -> list[Takes]:
    """What every film takes on one zone, by its own lanes and buckets.

    Raises
    ------
    PlanError
        If no lane falls into the zone.
    """
    found: list[Takes] = []
    below: tuple[PourTime, tuple[Lane, ...]] | None = None
    for layer, plan in zip(layers, pouring.mixings, strict=True):
        takes = pour_time(layer, plan, zone, floor_m2, pouring.people)
        lanes = plan.order.of_day(zone.number)
        behind_min = float(takes.whole_min)
        if below is not None:
            later_min = takes.zero_min - below[0].zero_min
            behind_min = later_min + max(
                lane.to_min - under[0]
                for lane, under in zip(lanes, _under(lanes, below[1]), strict=True)
            )
        found.append(Takes(takes.whole_min / 60.0, max(behind_min, 0.0) / 60.0))
        below = takes, lanes
    return found


def pour_time(
    layer: Layer, plan: MixingPlan, zone: Zone, floor_m2: float, people: int
) -> PourTime:
    """Take one film's time on one zone from its own lanes and buckets.

    Raises
    ------
    PlanError
        If no lane falls into the zone.
    """
    lanes = plan.order.of_day(zone.number)
    buckets = [b for one in plan.sets if one.day == zone.number for b in one.batches]
    if not lanes or not buckets:
        raise PlanError(
            f"zone {zone.number}", found="no whole lane", expected="a floor in fewer zones"
        )
    ready_h = layer.ready_h * zone.area_m2 / floor_m2 / people
    first_min = min(bucket.mix_at_min for bucket in buckets)
    return PourTime(_minutes(60.0 * ready_h), _minutes(-first_min),
                    _minutes(lanes[-1].to_min))  # fmt: skip


def _minutes(exact: float) -> int:
    return ceil(exact - 1e-6)


def clocked(schedule: Schedule, pouring: Pouring) -> tuple[Clocked, ...]:
    """Every pour of a schedule by the clock.

    What lies below is readied first, then the first bucket is begun.

    Parameters
    ----------
    schedule : Schedule
        Planned with the hours of that pouring, see `kit.job.packing`.
    pouring : Pouring
    """
    floor_m2 = sum(zone.area_m2 for zone in schedule.zones)
    plans = {
        layer.key: plan
        for layer, plan in zip(schedule.layers, pouring.mixings, strict=True)
    }
    keys = [layer.key for layer in schedule.layers]
    found: dict[tuple[str, int], Clocked] = {}
    for slot in schedule.slots:
        if slot.layer is None or slot.zone is None:
            continue
        key, zone = slot.layer.key, slot.zone
        place, plan = keys.index(key), plans[key]
        takes = pour_time(slot.layer, plan, zone, floor_m2, slot.people)
        below = found.get((keys[place - 1], zone.number)) if place else None
        lanes = plan.order.of_day(zone.number)
        found[key, zone.number] = _poured(slot, takes, lanes, below)
    return tuple(found.values())


def _poured(
    slot: Slot, takes: PourTime, lanes: tuple[Lane, ...], below: Clocked | None
) -> Clocked:
    mixing = slot.start + timedelta(minutes=takes.ready_min)
    zero = mixing + timedelta(minutes=takes.lead_min)
    closed = zero + timedelta(minutes=takes.lay_min)
    bare = Clocked(slot, slot.start, mixing, zero, closed, lanes, ())
    if below is None or slot.window is None:
        return bare
    wait, until = slot.window.wait, slot.window.until
    windows = tuple(
        LaneWindow(
            lane.number,
            opens=below.at(under[1]) + wait,
            closes=below.at(under[0]) + until,
            begun=bare.at(lane.from_min),
            closed=bare.at(lane.to_min),
        )
        for lane, under in zip(lanes, _under(lanes, below.lanes), strict=True)
    )
    return replace(bare, windows=windows)


def _under(lanes: tuple[Lane, ...], below: tuple[Lane, ...]) -> list[tuple[float, float]]:
    """When the floor under each lane was begun and closed, in minutes of its own pour."""
    if same_lanes(lanes, below):
        return [(lane.from_min, lane.to_min) for lane in below]
    shapes = np.array([lane.shape for lane in below])
    found = []
    for lane in lanes:
        shared_m2 = shapely.area(shapely.intersection(shapes, lane.shape))
        under = [b for b, m2 in zip(below, shared_m2, strict=True) if m2 > SAME_M2] or below
        found.append((min(b.from_min for b in under), max(b.to_min for b in under)))
    return found


def same_lanes(lanes: tuple[Lane, ...], other: tuple[Lane, ...]) -> bool:
    """Whether two coats are laid in the same lanes in the same order."""
    return len(lanes) == len(other) and all(
        one.room == two.room and abs(one.area_m2 - two.area_m2) < SAME_M2
        for one, two in zip(lanes, other, strict=True)
    )
