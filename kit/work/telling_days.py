"""From starts in quarters to a plan that people read: days, windows, waits, return."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, time
from itertools import groupby
from typing import Literal

from kit.errors import Concern
from kit.stock.cures import AT_C, RECOAT_AT_C
from kit.work.asking import Floor, Takes
from kit.work.dayplan import CoatWindow, Day, Return, Schedule, Slot, Zone
from kit.work.expected import AHEAD_DAYS, NEVER, PER_H, QUARTER
from kit.work.laying_out import LaidOut

_FAR = AHEAD_DAYS * 24 * PER_H


def told(
    floor: Floor,
    laid: LaidOut,
    *,
    kind: Literal["shortest", "comfortable"],
    timezone: str,
    walk_through_h: float,
) -> Schedule:
    """Say a plan in days.

    Parameters
    ----------
    walk_through_h : float
        Labor of taking the masking down and walking through at the end. [h]
    """
    terms = laid.terms
    slots = [*_preparing(laid), *_coats(floor, laid)]
    back, concerns = _return(floor, laid)
    slots += _walking_through(laid, back, walk_through_h)
    slots.sort(key=lambda slot: (slot.start, slot.key))
    return Schedule(
        kind=kind,
        zones=laid.zones,
        layers=floor.layers,
        days=_days(laid, slots),
        back=back,
        crew=terms.people,
        timezone=timezone,
        concerns=(*terms.expected.concerns, *concerns),
        spare_h=terms.spare_until / PER_H,
    )


@dataclass(frozen=True)
class _Spent:
    """A film from and to these quarters, and what it takes by the clock within them."""

    start: int
    end: int
    takes: Takes

    @property
    def closed(self) -> float:
        """When its last lane is closed. [quarters]"""
        return self.start + self.takes.hours * PER_H


def _preparing(laid: LaidOut) -> Iterable[Slot]:
    clock, many = laid.terms.clock, len(laid.pieces) > 1
    for number, piece in enumerate(laid.pieces, start=1):
        part = f", day {number} of {len(laid.pieces)}" if many else ""
        is_soft = number == len(laid.pieces) and laid.ready > piece.end
        yield Slot(
            key=f"prepare-{number}",
            name=f"Protect, fill, grind, vacuum{part}",
            activity="prepare",
            zone=None,
            layer=None,
            start=clock.at(piece.start),
            end=clock.at(piece.end),
            people=laid.terms.people,
            hard=clock.at(laid.ready) if is_soft else None,
        )


def _coats(floor: Floor, laid: LaidOut) -> Iterable[Slot]:
    clock = laid.terms.clock
    spent = {
        (block.zone, block.layer): _Spent(start, start + block.length, takes)
        for block, start, takes in zip(
            laid.blocks, laid.solved.starts, laid.times, strict=True
        )
    }
    for (number, n), one in spent.items():
        layer, zone = floor.layers[n], laid.zones[number]
        below = spent.get((number, n - 1))
        yield Slot(
            key=f"{layer.key}-z{zone.number}",
            name=f"{layer.name}{_of(zone, len(laid.zones))}",
            activity="coat",
            zone=zone,
            layer=layer,
            start=clock.at(one.start),
            end=clock.at(one.closed),
            people=laid.terms.people,
            window=None if below is None else _window(floor, laid, n - 1, below, one.takes),
        )


def _of(zone: Zone, count: int) -> str:
    return f", zone {zone.number} of {count}" if count > 1 else ""


def _window(
    floor: Floor, laid: LaidOut, layer: int, below: _Spent, takes: Takes
) -> CoatWindow:
    """When the next film may follow one below, counted by the clock from its own ends."""
    product, cure = floor.products[layer]
    expected, clock = laid.terms.expected, laid.terms.clock
    wait = expected.hardens(cure, below.end, product.recoat_from_h, told_c=RECOAT_AT_C)
    until = expected.closes(cure, below.start, product.recoat_until_h)
    latest = below.start + until + (takes.hours - takes.behind_h) * PER_H
    return CoatWindow(
        floor.layers[layer].name,
        earliest=clock.at(below.closed + wait),
        latest=clock.at(latest),
        wait=wait * QUARTER,
        until=until * QUARTER,
    )


def _return(floor: Floor, laid: LaidOut) -> tuple[Return, tuple[Concern, ...]]:
    """When each use is safe, from the last spot of the top film."""
    _, cure = floor.products[-1]
    end = max(
        start + block.length
        for block, start in zip(laid.blocks, laid.solved.starts, strict=True)
    )
    waits = [
        laid.terms.expected.hardens(cure, end, hours, told_c=AT_C)
        for hours in (cure.walk_on_h, cure.furniture_h, cure.wheels_h, cure.full_h)
    ]
    clock = laid.terms.clock
    times = [clock.at(min(end + wait, _FAR)) for wait in waits]
    cold: tuple[Concern, ...] = ()
    if NEVER in waits:
        cold = (
            Concern(
                "cure",
                "The slab is expected to stay so cold that the floor does not harden "
                "within as far as the plan looks.",
                "Heat the rooms until it is hard.",
            ),
        )
    return Return(*times), cold


def _walking_through(laid: LaidOut, back: Return, labor_h: float) -> Iterable[Slot]:
    """The first working hour at which shoes may walk on it."""
    terms = laid.terms
    quarters = max(1, round(labor_h / terms.people * PER_H + 0.49))
    ready = terms.clock.quarter(back.shoes)
    for number in range(AHEAD_DAYS):
        day = date.fromordinal(back.shoes.date().toordinal() + number)
        if not terms.crew.works_on(day):
            continue
        opens = terms.clock.quarter(datetime.combine(day, terms.start))
        shuts = terms.clock.quarter(datetime.combine(day, terms.until))
        start = int(max(ready, opens) + 0.999)
        if start + quarters <= shuts:
            yield Slot(
                key="walk-through",
                name="Take down masking, walk through",
                activity="walk_through",
                zone=None,
                layer=None,
                start=terms.clock.at(start),
                end=terms.clock.at(start + quarters),
                people=terms.people,
            )
            return


def _days(laid: LaidOut, slots: list[Slot]) -> tuple[Day, ...]:
    terms = laid.terms
    days = []
    grouped = groupby(slots, key=lambda slot: slot.start.date())
    for number, (day, on_it) in enumerate(grouped, start=1):
        done = tuple(on_it)
        opens, shuts = (
            datetime.combine(day, at, tzinfo=terms.zone)
            for at in (terms.start, terms.until)
        )
        if done[-1].activity == "walk_through" and len(done) == 1:
            opens, shuts = done[0].start, done[0].end
        days.append(Day(number, day, opens, shuts, done, _wait(done, slots)))
    return tuple(days)


def _wait(done: tuple[Slot, ...], slots: list[Slot]) -> str:
    """What hardens overnight, and inside which window it is coated."""
    said = []
    for slot in done:
        if slot.hard is not None:
            said.append(f"What was filled hardens: first coat from {clocked(slot.hard)}.")
        if slot.layer is None:
            continue
        over = next(
            (
                other
                for other in slots
                if other.zone == slot.zone
                and other.window is not None
                and other.window.below == slot.layer.name
            ),
            None,
        )
        if over is None or over.window is None:
            said.append(f"{slot.name} hardens.")
            continue
        said.append(
            f"{slot.name} hardens: next coat from {clocked(over.window.earliest)}, "
            f"down by {clocked(over.window.latest)}."
        )
    return " ".join(said)


def clocked(at: datetime) -> str:
    """A time as a crew says it.

    >>> clocked(datetime(2026, 12, 3, 7, 45))
    'Thu 7:45 am'
    """
    return f"{at:%a} {hour(at.time())}"


def hour(at: time) -> str:
    """A time of the day.

    >>> hour(time(17, 0)), hour(time(0, 15))
    ('5:00 pm', '12:15 am')
    """
    return f"{at.hour % 12 or 12}:{at.minute:02d} {'am' if at.hour < 12 else 'pm'}"
