"""From a floor, a crew and a climate to what the solver is asked, and to the starts."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from math import ceil

from kit.errors import MeasureError, PlanError
from kit.plan.heading import rooms_in_turn
from kit.plan.refusing import NoOrderError
from kit.stock.cures import AT_C, RECOAT_AT_C
from kit.work.asking import Floor, Takes, Terms
from kit.work.dayplan import Zone
from kit.work.expected import AHEAD_DAYS, NEVER, PER_H
from kit.work.layers import zones_of
from kit.work.solving import Block, Puzzle, Solved, WorkDay, solve

MOST_ZONES = 10
"""A floor in more parts than this is told to bring more people."""


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
    ready : int
        When the slab may be coated: it is vacuumed, and what was filled is hard.
    blocks : tuple of Block
    times : tuple of Takes
        What each block takes by the clock; its length is that in whole quarters.
    solved : Solved
    days : tuple of WorkDay
        Days that coats could be laid on.
    """

    terms: Terms
    zones: tuple[Zone, ...]
    pieces: tuple[Piece, ...]
    ready: int
    blocks: tuple[Block, ...]
    times: tuple[Takes, ...]
    solved: Solved
    days: tuple[WorkDay, ...]

    @property
    def days_on_site(self) -> int:
        """Days on which anything is done before the floor can be walked on."""
        starts = (*(piece.start for piece in self.pieces), *self.solved.starts)
        return len({self.terms.clock.at(start).date() for start in starts})


def lay_out_days(
    floor: Floor, terms: Terms, *, most_zones: int = MOST_ZONES
) -> LaidOut | None:
    """Find the soonest plan with the fewest zones that has any.

    Raises
    ------
    MeasureError
        If the solver could not tell within its time.
    PlanError
        If the floor can be poured in none of the zones that were tried.
    """
    asked: set[tuple[Zone, ...]] = set()
    refused: list[PlanError] = []
    unknown = False
    readied = _prepared(floor, terms, _days(floor, terms))
    if readied is None:
        return None
    rooms = rooms_in_turn(floor.plan)
    for count in range(1, most_zones + 1):
        zones = zones_of(floor.plan, floor.area_m2, count, rooms)
        if zones in asked or len(zones) > most_zones:
            continue
        asked.add(zones)
        try:
            found = _in_zones(floor, terms, zones, readied)
        except TimeoutError:
            unknown = True
            continue
        except NoOrderError:
            # lanes of a room are the same in any zones
            raise
        except PlanError as error:
            refused.append(error)
            continue
        if found is not None:
            return found
    if unknown:
        raise MeasureError(
            "plan of the days", found="no answer in time", expected="a floor in fewer parts"
        )
    if refused and len(refused) == len(asked):
        raise refused[0]
    return None


def times_of(floor: Floor, people: int, zones: tuple[Zone, ...]) -> tuple[Takes, ...]:
    """What every film on every zone takes by the clock, zone by zone.

    Raises
    ------
    PlanError
        If the floor cannot be poured in those zones.
    """
    if floor.pours is not None:
        return tuple(takes for zone in floor.pours(zones, people) for takes in zone)
    hours = (
        layer.labor_h * zone.area_m2 / floor.area_m2 / people
        for zone in zones
        for layer in floor.layers
    )
    # a bid tells no more than whole quarters
    whole = (_quarters(each) / PER_H for each in hours)
    return tuple(Takes(each, each) for each in whole)


def _blocks(floor: Floor, times: tuple[Takes, ...]) -> tuple[Block, ...]:
    """Every film on every zone, in quarters rounded up."""
    films = len(floor.layers)
    return tuple(
        Block(n // films, n % films, _quarters(one.hours), _quarters(one.behind_h))
        for n, one in enumerate(times)
    )


@dataclass(frozen=True)
class _Readied:
    """The slab, and the days that are left of those that coats could be laid on."""

    pieces: tuple[Piece, ...]
    ready: int
    days: tuple[WorkDay, ...]


def _in_zones(
    floor: Floor, terms: Terms, zones: tuple[Zone, ...], readied: _Readied
) -> LaidOut | None:
    pieces, ready = readied.pieces, readied.ready
    times = times_of(floor, terms.people, zones)
    blocks = _blocks(floor, times)
    tight = len(zones) + len(floor.layers) + 2
    for ahead in (tight, len(zones) * len(floor.layers) + 7):
        wanted = readied.days[:ahead]
        puzzle = _puzzle(floor, terms, blocks, wanted, ready)
        if not wanted or not may_be_planned(puzzle):
            continue
        solved = solve(puzzle)
        if solved is not None:
            return LaidOut(terms, zones, pieces, ready, blocks, times, solved, wanted)
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


def _prepared(floor: Floor, terms: Terms, days: tuple[WorkDay, ...]) -> _Readied | None:
    """Ready the slab as soon as can be: no film is laid while anybody still grinds."""
    left = _quarters(floor.prepare_h / terms.people) if floor.prepare_h else 0
    pieces: list[Piece] = []
    for day in days:
        if left <= 0:
            break
        end = min(day.closes, day.opens + left)
        pieces.append(Piece(day.opens, end))
        left -= end - day.opens
    if left > 0 or not days:
        return None
    done = pieces[-1].end if pieces else days[0].opens
    ready = max(done, _hard(floor, terms, pieces)) if pieces else done
    if ready >= NEVER:
        return None
    return _Readied(tuple(pieces), ready, tuple(d for d in days if d.closes > ready))


def _hard(floor: Floor, terms: Terms, pieces: list[Piece]) -> int:
    """When nothing that was filled is soft: it is filled before the floor is ground."""
    if "earliest recoat" in terms.dropped or not floor.fillers:
        return 0
    left = _quarters(floor.filled_h / terms.people)
    filled = pieces[0].start
    for piece in pieces:
        filled = min(piece.end, piece.start + left)
        left -= filled - piece.start
        if left <= 0:
            break
    return filled + max(
        terms.expected.hardens(cure, filled, product.recoat_from_h, told_c=RECOAT_AT_C)
        for product, cure in floor.fillers
    )


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
                expected.harden_from(cure, at, product.recoat_from_h, told_c=RECOAT_AT_C)
            )
            ends = min(
                expected.closes(cure, q, product.recoat_until_h)
                for q in (at if expected.is_changing else at[:1])
            )
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


def may_be_planned(puzzle: Puzzle) -> bool:
    """Whether the films of each zone, were it alone, find days within their windows.

    The solver is asked only then. Starts of a film that the films below allow are a
    few intervals of each day, and are handed up film by film.
    """
    films: dict[int, list[Block]] = {}
    for block in puzzle.blocks:
        films.setdefault(block.zone, []).append(block)
    return all(_has_days(puzzle, chain) for chain in films.values())


def _has_days(puzzle: Puzzle, chain: list[Block]) -> bool:
    starts: list[tuple[int, int, int]] = []
    for place, block in enumerate(chain):
        is_last = place == len(chain) - 1
        free = []
        for number, day in enumerate(puzzle.days):
            shuts = min(day.closes, puzzle.not_after) if is_last else day.closes
            first, last = max(day.opens, puzzle.not_before), shuts - block.length
            if not puzzle.usable[block.layer][number] or first > last:
                continue
            if not place:
                free.append((number, first, last))
                continue
            below = chain[place - 1]
            for before, soonest, latest in starts:
                low = soonest + below.length + puzzle.least[below.layer][before]
                high = latest + puzzle.most[below.layer][before] - block.behind_quarters
                if max(first, low) <= min(last, high):
                    free.append((number, max(first, low), min(last, high)))
        starts = free
    return bool(starts)
