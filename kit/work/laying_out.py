"""From a floor, a crew and a climate to what the solver is asked, and to the starts."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta, tzinfo
from functools import cached_property
from math import ceil

from kit.errors import MeasureError
from kit.plan import FloorPlan
from kit.site.crew import Crew
from kit.stock.cures import AT_C, RECOAT_AT_C, Cure
from kit.stock.records import Product
from kit.work.dayplan import Layer, Zone
from kit.work.expected import AHEAD_DAYS, PER_H, Clock, Expectation
from kit.work.layers import zones_of
from kit.work.solving import Block, Puzzle, Solved, WorkDay, solve

MOST_ZONES = 10
"""A floor in more parts than this is told to bring more people."""


@dataclass(frozen=True)
class Floor:
    """What is laid, whoever lays it and when.

    Parameters
    ----------
    layers : tuple of Layer
    products : tuple of (Product, Cure)
        One a layer.
    prepare_h, set_up_h : float
        Labor on the bare slab, of all; and of one person a day for setting up. [h]
    """

    plan: FloorPlan
    area_m2: float
    layers: tuple[Layer, ...]
    products: tuple[tuple[Product, Cure], ...]
    prepare_h: float
    set_up_h: float


@dataclass(frozen=True)
class Terms:
    """Who works when and on what slab: all that could be otherwise.

    Parameters
    ----------
    spare_from, spare_until, spare_day : int
        Kept free after a window opens, before it closes, of each day. [quarters]
    dropped : frozenset of str
        Constraints that are left out, to see which of them stand in the way.
    """

    people: int
    start: time
    until: time
    crew: Crew
    begin: date
    zone: tzinfo
    expected: Expectation
    spare_from: int = 0
    spare_until: int = 0
    spare_day: int = 0
    dropped: frozenset[str] = frozenset()

    @cached_property
    def clock(self) -> Clock:
        """Counts from the midnight before the first day."""
        return Clock(datetime.combine(self.begin, time(), tzinfo=self.zone))

    def works_on(self, day: date) -> bool:
        """Whether coats can be laid that day."""
        return "days off" in self.dropped or self.crew.works_on(day)


@dataclass(frozen=True)
class Piece:
    """A stretch of readying the slab. [quarters]"""

    start: int
    end: int


@dataclass(frozen=True)
class LaidOut:
    """A plan in quarters.

    Parameters
    ----------
    pieces : tuple of Piece
        Readying the slab, day by day.
    blocks : tuple of Block
    solved : Solved
    days : tuple of WorkDay
        Days that coats could be laid on.
    """

    terms: Terms
    zones: tuple[Zone, ...]
    pieces: tuple[Piece, ...]
    blocks: tuple[Block, ...]
    solved: Solved
    days: tuple[WorkDay, ...]


def lay_out_days(
    floor: Floor, terms: Terms, *, most_zones: int = MOST_ZONES
) -> LaidOut | None:
    """Find the soonest plan with the fewest zones that has any.

    Raises
    ------
    MeasureError
        If the solver could not tell within its time.
    """
    asked: set[tuple[Zone, ...]] = set()
    unknown = False
    for count in range(1, most_zones + 1):
        zones = zones_of(floor.plan, floor.area_m2, count)
        if zones in asked or len(zones) > most_zones:
            continue
        asked.add(zones)
        try:
            found = _in_zones(floor, terms, zones)
        except TimeoutError:
            unknown = True
            continue
        if found is not None:
            return found
    if unknown:
        raise MeasureError(
            "plan of the days", found="no answer in time", expected="a floor in fewer parts"
        )
    return None


def lengths(floor: Floor, people: int, zones: tuple[Zone, ...]) -> tuple[Block, ...]:
    """Every film on every zone, in quarters rounded up."""
    return tuple(
        Block(
            z,
            number,
            _quarters(layer.labor_h * zone.area_m2 / floor.area_m2 / people),
        )
        for z, zone in enumerate(zones)
        for number, layer in enumerate(floor.layers)
    )


def _in_zones(floor: Floor, terms: Terms, zones: tuple[Zone, ...]) -> LaidOut | None:
    blocks = lengths(floor, terms.people, zones)
    for tight in (True, False):
        ahead = len(zones) + len(floor.layers) + 2
        if not tight:
            ahead = len(zones) * len(floor.layers) + 7
        days = _days(floor, terms)
        pieces, ready = _prepared(floor, terms, days)
        if ready is None:
            return None
        wanted = tuple(day for day in days if day.closes > ready)[:ahead]
        puzzle = _puzzle(floor, terms, blocks, wanted, ready)
        if not wanted or not _is_possible(puzzle):
            return None
        solved = solve(puzzle)
        if solved is not None:
            return LaidOut(terms, zones, pieces, blocks, solved, wanted)
    return None


def _days(floor: Floor, terms: Terms) -> tuple[WorkDay, ...]:
    """Hours of each working day between setting up and cleaning up."""
    set_up = ceil(floor.set_up_h * PER_H - 1e-9)
    before, after = set_up // 2, set_up - set_up // 2 + terms.spare_day
    found = []
    for day in _working_days(terms):
        if "work hours" in terms.dropped:
            opens = _quarter(terms, day, time())
            closes = opens + 24 * PER_H
        else:
            opens = _quarter(terms, day, terms.start) + before
            closes = _quarter(terms, day, terms.until) - after
        if closes > opens:
            found.append(WorkDay(opens, closes))
    return tuple(found)


def _working_days(terms: Terms) -> Iterator[date]:
    for number in range(AHEAD_DAYS // 2):
        day = terms.begin + timedelta(days=number)
        if terms.works_on(day):
            yield day


def _quarter(terms: Terms, day: date, at: time) -> int:
    # whole quarters only: a door that opens at 7:40 is worked from 7:45
    return ceil(terms.clock.quarter(datetime.combine(day, at)) - 1e-9)


def _quarters(hours: float) -> int:
    return max(1, ceil(hours * PER_H - 1e-9))


def _prepared(
    floor: Floor, terms: Terms, days: tuple[WorkDay, ...]
) -> tuple[tuple[Piece, ...], int | None]:
    """Ready the slab as soon as can be: no film is laid while anybody still grinds."""
    left = _quarters(floor.prepare_h / terms.people) if floor.prepare_h else 0
    pieces = []
    for day in days:
        if left <= 0:
            break
        end = min(day.closes, day.opens + left)
        pieces.append(Piece(day.opens, end))
        left -= end - day.opens
    if left > 0 or not days:
        return (), None
    return tuple(pieces), pieces[-1].end if pieces else days[0].opens


def _puzzle(
    floor: Floor,
    terms: Terms,
    blocks: tuple[Block, ...],
    days: tuple[WorkDay, ...],
    ready: int,
) -> Puzzle:
    span = days[-1].closes - ready if days else 0
    expected, dropped = terms.expected, terms.dropped
    least, most, usable = [], [], []
    for product, cure in floor.products:
        dries, shuts, may = [], [], []
        for day in days:
            at = [*range(day.opens, day.closes, PER_H), day.closes]
            wait = max(
                expected.hardens(cure, q, product.recoat_from_h, told_c=RECOAT_AT_C)
                for q in at
            )
            ends = min(expected.closes(cure, q, product.recoat_until_h) for q in at)
            dries.append(
                0 if "earliest recoat" in dropped else min(wait + terms.spare_from, span)
            )
            shuts.append(
                span if "latest recoat" in dropped else max(0, ends - terms.spare_until)
            )
            may.append(
                "slab temperature" in dropped
                or expected.may_be_laid(cure, day.opens, day.closes)
            )
        least.append(tuple(dries))
        most.append(tuple(shuts))
        usable.append(tuple(may))
    return Puzzle(
        blocks=blocks,
        days=days,
        least=tuple(least),
        most=tuple(most),
        usable=tuple(usable),
        not_before=ready,
        not_after=_not_after(floor, terms, days),
        one_crew="crew" not in dropped,
    )


def _not_after(floor: Floor, terms: Terms, days: tuple[WorkDay, ...]) -> int:
    """Last quarter at which the top film can be down and still be walked on in time."""
    last = days[-1].closes if days else 0
    needed = terms.crew.done_by
    if needed is None or "day it is needed" in terms.dropped:
        return last
    shut = _quarter(terms, needed, terms.until)
    _, cure = floor.products[-1]
    for end in range(min(last, shut), 0, -1):
        walked = end + terms.expected.hardens(cure, end, cure.walk_on_h, told_c=AT_C)
        if walked <= shut:
            return end
    return 0


def _is_possible(puzzle: Puzzle) -> bool:
    """Whether no film outlasts its day, and no window is too short for two films."""
    longest = max((day.closes - day.opens for day in puzzle.days), default=0)
    by_zone = {(block.zone, block.layer): block.length for block in puzzle.blocks}
    for (zone, layer), length in by_zone.items():
        if length > longest:
            return False
        over = by_zone.get((zone, layer + 1))
        if over is None:
            continue
        slack = (
            most - least
            for most, least in zip(puzzle.most[layer], puzzle.least[layer], strict=True)
        )
        if length + over > max(slack, default=0):
            return False
    return True


def eased(terms: Terms, **others: object) -> Terms:
    """The terms with some of them otherwise."""
    return replace(terms, **others)  # type: ignore[arg-type]
