"""Every pour by the clock of the site, and whether each lane meets its own window."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from kit.job.pouring import Pouring
from kit.plan.order import Lane
from kit.work.dayplan import Schedule, Slot
from kit.work.mixing import MixingPlan

SAME_M2 = 0.05
"""Lanes that differ by less are the same to whoever lays them. [m²]"""


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
        The hours that the plan of the days keeps for it.
    start, mixing, zero, closed : datetime
        Readying the film below begins, the first bucket is begun, its first drop
        falls, the last lane is closed.
    lanes : tuple of Lane
        In turn.
    windows : tuple of LaneWindow
        Over the coat below, lane by lane; of the first and the last for all where the
        coat below has other lanes; none on the bare slab.
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


def clocked(schedule: Schedule, pouring: Pouring) -> tuple[Clocked, ...]:
    """Every pour of a schedule by the clock.

    What lies below is readied first, then the first bucket is begun. A pour begins when
    its hours do, or when the one before it that day is closed.
    """
    floor_m2 = sum(zone.area_m2 for zone in schedule.zones)
    plans = {
        layer.key: plan
        for layer, plan in zip(schedule.layers, pouring.mixings, strict=True)
    }
    keys = [layer.key for layer in schedule.layers]
    found: dict[tuple[str, int], Clocked] = {}
    free = schedule.start
    for slot in schedule.slots:
        start = max(slot.start, free)
        if slot.layer is None:
            free = start + (slot.end - slot.start)
            continue
        number = slot.zone.number if slot.zone is not None else 1
        share = slot.zone.area_m2 / floor_m2 if slot.zone is not None else 1.0
        place = keys.index(slot.layer.key)
        below = found.get((keys[place - 1], number)) if place else None
        ready = timedelta(hours=slot.layer.ready_h * share / slot.people)
        one = _poured(slot, start, start + ready, plans[slot.layer.key], number, below)
        found[slot.layer.key, number] = one
        free = one.closed
    return tuple(found.values())


def _poured(
    slot: Slot,
    start: datetime,
    mixing: datetime,
    plan: MixingPlan,
    number: int,
    below: Clocked | None,
) -> Clocked:
    lanes = tuple(plan.order.of_day(number))
    buckets = [b for one in plan.sets if one.day == number for b in one.batches]
    zero = mixing - timedelta(minutes=min(bucket.mix_at_min for bucket in buckets))
    bare = Clocked(
        slot, start, mixing, zero, zero + timedelta(minutes=lanes[-1].to_min), lanes, ()
    )
    if below is None or slot.window is None:
        return bare
    wait = slot.window.earliest - below.slot.end
    until = slot.window.latest - below.slot.start
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
    return Clocked(slot, start, mixing, zero, bare.closed, lanes, windows)


def _under(lanes: tuple[Lane, ...], below: tuple[Lane, ...]) -> list[tuple[float, float]]:
    """When the floor under each lane was begun and closed, in minutes of its own pour."""
    if same_lanes(lanes, below):
        return [(lane.from_min, lane.to_min) for lane in below]
    return [(below[0].from_min, below[-1].to_min)] * len(lanes)


def same_lanes(lanes: tuple[Lane, ...], other: tuple[Lane, ...]) -> bool:
    """Whether two coats are laid in the same lanes in the same order."""
    return len(lanes) == len(other) and all(
        one.room == two.room and abs(one.area_m2 - two.area_m2) < SAME_M2
        for one, two in zip(lanes, other, strict=True)
    )


def behind(pours: tuple[Clocked, ...], schedule: Schedule) -> dict[str, float]:
    """Layers that miss a window or the end of their day, by how much longer they take.

    Returns
    -------
    dict of str to float
        Of the layer's key, time taken over the time that the plan keeps, above 1.
    """
    closes = {day.date: day.closes for day in schedule.days}
    late: dict[str, float] = {}
    for one in pours:
        kept = all(window.is_kept for window in one.windows)
        if one.slot.layer is None or (kept and one.closed <= closes[one.slot.start.date()]):
            continue
        by = (one.closed - one.slot.start) / (one.slot.end - one.slot.start)
        key = one.slot.layer.key
        late[key] = max(by, 1.05, late.get(key, 1.0))
    return late
