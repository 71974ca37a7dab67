"""From a floor, a crew and a climate to what the solver is asked, and to the starts."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, time, timedelta
from math import ceil

from kit.errors import MeasureError, PlanError
from kit.plan.heading import rooms_in_turn
from kit.plan.refusing import NoOrderError
from kit.stock.cures import RECOAT_AT_C
from kit.work.asking import Floor, Takes, Terms
from kit.work.dayplan import Zone
from kit.work.expected import AHEAD_DAYS, NEVER, PER_H
from kit.work.layers import zones_of
from kit.work.posing import Limits, limits_of
from kit.work.puzzle import Block, Solved, WorkDay
from kit.work.solving import solve

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
    """The slab, and what every film is held to on the days that are left."""

    pieces: tuple[Piece, ...]
    limits: Limits


def _in_zones(
    floor: Floor, terms: Terms, zones: tuple[Zone, ...], readied: _Readied
) -> LaidOut | None:
    limits = readied.limits
    times = times_of(floor, terms.people, zones)
    blocks = _blocks(floor, times)
    tight = len(zones) + len(floor.layers) + 2
    for ahead in (tight, len(zones) * len(floor.layers) + 7):
        solved = solve(limits.puzzle(blocks, ahead))
        if solved is not None:
            return LaidOut(
                terms, zones, readied.pieces, limits.not_before, blocks, times, solved,
                limits.days[:ahead],
            )  # fmt: skip
    return None


def _days(floor: Floor, terms: Terms) -> tuple[WorkDay, ...]:
    """Hours of each working day between setting up and cleaning up."""
    set_up = ceil(floor.set_up_h * PER_H - 1e-9)
    before, after = set_up // 2, set_up - set_up // 2 + terms.spare_day
    found = []
    for day in _working_days(terms):
        if "work hours" in terms.dropped:
            opens = terms.quarter(day, time())
            closes = opens + 24 * PER_H
        else:
            opens = terms.quarter(day, terms.start) + before
            closes = terms.quarter(day, terms.until) - after
        if closes > opens:
            found.append(WorkDay(opens, closes))
    return tuple(found)


def _working_days(terms: Terms) -> Iterator[date]:
    for number in range(AHEAD_DAYS // 2):
        day = terms.begin + timedelta(days=number)
        if terms.works_on(day):
            yield day


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
    left_over = tuple(day for day in days if day.closes > ready)
    if ready >= NEVER or not left_over:
        return None
    return _Readied(tuple(pieces), limits_of(floor, terms, left_over, ready))


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
