"""From starts in quarters to a plan that people read: days, windows, waits, return."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime, time
from itertools import groupby
from typing import Literal

from kit.errors import Concern
from kit.stock.cures import AT_C, RECOAT_AT_C
from kit.work.dayplan import CoatWindow, Day, Return, Schedule, Slot, Zone
from kit.work.expected import AHEAD_DAYS, NEVER, PER_H
from kit.work.laying_out import Floor, LaidOut

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


def _preparing(laid: LaidOut) -> Iterable[Slot]:
    clock, many = laid.terms.clock, len(laid.pieces) > 1
    for number, piece in enumerate(laid.pieces, start=1):
        part = f", day {number} of {len(laid.pieces)}" if many else ""
        yield Slot(
            key=f"prepare-{number}",
            name=f"Protect, grind, fill, vacuum{part}",
            activity="prepare",
            zone=None,
            layer=None,
            start=clock.at(piece.start),
            end=clock.at(piece.end),
            people=laid.terms.people,
        )


def _coats(floor: Floor, laid: LaidOut) -> Iterable[Slot]:
    clock = laid.terms.clock
    begun = {
        (block.zone, block.layer): (start, start + block.length)
        for block, start in zip(laid.blocks, laid.solved.starts, strict=True)
    }
    for (number, n), (start, end) in begun.items():
        layer, zone = floor.layers[n], laid.zones[number]
        below = begun.get((number, n - 1))
        yield Slot(
            key=f"{layer.key}-z{zone.number}",
            name=f"{layer.name}{_of(zone, len(laid.zones))}",
            activity="coat",
            zone=zone,
            layer=layer,
            start=clock.at(start),
            end=clock.at(end),
            people=laid.terms.people,
            window=None if below is None else _window(floor, laid, n - 1, below),
        )


def _of(zone: Zone, count: int) -> str:
    return f", zone {zone.number} of {count}" if count > 1 else ""


def _window(floor: Floor, laid: LaidOut, layer: int, spent: tuple[int, int]) -> CoatWindow:
    """When the next film may follow one that was laid from and to these quarters."""
    product, cure = floor.products[layer]
    start, end = spent
    expected, clock = laid.terms.expected, laid.terms.clock
    opens = end + expected.hardens(cure, end, product.recoat_from_h, told_c=RECOAT_AT_C)
    shuts = start + expected.closes(cure, start, product.recoat_until_h)
    return CoatWindow(floor.layers[layer].name, clock.at(opens), clock.at(shuts))


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
