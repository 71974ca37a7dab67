"""The lanes of one room: across the way it is poured, in turn, each edge met wet."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise
from typing import NamedTuple

from shapely import LineString, Polygon, get_coordinates

from kit.plan.cells import Contact, floor_of
from kit.plan.cutting import cells_of
from kit.plan.floor import PlannedRoom
from kit.plan.frame import Door, Place
from kit.plan.heading import Heading
from kit.plan.pace import BODY_M, PASSES_M, REACH_M, SHOES_LANE_M, TURN_MIN, Pace
from kit.plan.refusing import check_passable, too_slow
from kit.plan.sequence import Step, in_shoes, in_turn

SMALLER = (1.0, 0.7, 0.5, 0.35)
"""Shares of the largest lane that are tried until every edge is met wet."""
_OUT = -1
_EVEN_M = 1e-6
_OBLIQUE = math.radians(5.0)


class Laid(NamedTuple):
    """One lane and when it is laid, from the first bucket in its room on.

    Parameters
    ----------
    step : Step
    from_min, to_min : float
        [min]
    ends : tuple of float
        Places along the lane where laying begins; two where two crews begin. [m]
    meets : float
        Where along the lane it ends, or they meet. [m]
    crossed : tuple of int
        Places of the lanes that lie on its way out in spiked shoes, the wet ones among
        them; nothing where it is left dry.
    is_stood_in : bool
        It is narrower than who lays it, in spiked shoes.
    """

    step: Step
    from_min: float
    to_min: float
    ends: tuple[float, ...]
    meets: float
    crossed: tuple[int, ...] = ()
    is_stood_in: bool = False

    def at_min(self, along_m: float) -> float:
        """When the lane is laid at a place along it. [min]"""
        share = 1.0
        for end in self.ends:
            # beyond where they meet, at more than 1, a place is the other crew's
            share = min(share, (along_m - end) / (self.meets - end))
        return self.from_min + max(share, 0.0) * (self.to_min - self.from_min)


class Joint(NamedTuple):
    """Where two lanes touch, and how old the first one's edge is by then. [min]"""

    first: int
    second: int
    over: Contact
    age_min: float


@dataclass(frozen=True)
class RoomLanes:
    """All lanes of a room in turn.

    Parameters
    ----------
    turned : float
        The frame's x axis, anticlockwise from east: the way the lanes advance. [rad]
    laid : tuple of Laid
    joints : tuple of Joint
    most_m2 : float
        Largest lane that was asked for. [m²]
    """

    turned: float
    laid: tuple[Laid, ...]
    joints: tuple[Joint, ...]
    most_m2: float

    @cached_property
    def place_m(self) -> Callable[[float, float], Place]:
        """From the frame of the room back to where it is in the plan. [m]"""
        cos, sin = math.cos(self.turned), math.sin(self.turned)
        return lambda x, y: (x * cos - y * sin, x * sin + y * cos)


def lanes_of(
    room: PlannedRoom, heading: Heading, door: LineString, pace: Pace
) -> RoomLanes:
    """Cut a room into lanes and order them.

    Lanes run along a wall, across the way the room is poured as nearly as its walls
    allow; another wall is taken only where that one gives no safe order.

    Raises
    ------
    PlanError
        If part of the room has no way out, or a lane cannot be closed while its
        edge is wet; with what would free it.
    """
    check_passable(room, door, heading)
    best: RoomLanes | None = None
    for angle in _ways(room.poured, heading.angle):
        floor, way = floor_of(room.poured, angle), Door(door, angle)
        for smaller in SMALLER:
            most_m2 = smaller * pace.most_m2
            steps = in_turn(cells_of(floor, way, most_m2=most_m2), way)
            if steps is None:
                continue
            found = _timed(steps, angle, way, pace, most_m2)
            if _oldest(found) <= pace.edge_min:
                return found
            if best is None or _oldest(found) < _oldest(best):
                best = found
    if pace.shoes_min > 0.0:
        found_in_shoes = _in_shoes(room, heading, door, pace)
        if found_in_shoes is not None:
            return found_in_shoes
    raise too_slow(room, pace, None if best is None else _oldest(best))


def _in_shoes(
    room: PlannedRoom, heading: Heading, door: LineString, pace: Pace
) -> RoomLanes | None:
    """Lanes for spiked shoes: their wearer stands in a narrow one, or crosses a wet one."""
    for angle in _ways(room.poured, heading.angle):
        floor, way = floor_of(room.poured, angle), Door(door, angle)
        for smaller in SMALLER:
            most_m2 = smaller * pace.most_m2
            cells = cells_of(floor, way, most_m2=most_m2, least_m=SHOES_LANE_M)
            steps = in_turn(cells, way, passes_m=SHOES_LANE_M)
            if steps is not None:
                found = _timed(steps, angle, way, pace, most_m2)
                if _oldest(found) <= pace.edge_min:
                    laid = (_stood_in(one) for one in found.laid)
                    return replace(found, laid=tuple(laid))
            steps, beside = in_shoes(cells, way)
            found = _timed(steps, angle, way, pace, most_m2)
            paths = [way_in_shoes(n, found.laid, beside, pace) for n in range(len(steps))]
            if not steps or _oldest(found) > pace.edge_min or None in paths:
                continue
            laid = (
                _stood_in(one)._replace(crossed=path or ())
                for one, path in zip(found.laid, paths, strict=True)
            )
            return replace(found, laid=tuple(laid))
    return None


def _stood_in(one: Laid) -> Laid:
    """Whoever lays a lane that is narrower than they are stands in it."""
    x0, _, x1, _ = one.step.cell.bounds
    return one._replace(is_stood_in=x1 - x0 < PASSES_M)


def way_in_shoes(
    n: int, laid: Sequence[Laid], beside: Sequence[dict[int, Contact]], pace: Pace
) -> tuple[int, ...] | None:
    """The shortest way out when a lane is closed, over lanes not too old to cross.

    Parameters
    ----------
    n : int
        Place of the lane.
    laid, beside
        Of all lanes of the room, as `in_shoes` has them.
    pace : Pace

    Returns
    -------
    tuple of int or None
        Places of the lanes on that way; None where there is none.
    """
    now = laid[n].to_min + TURN_MIN

    def may(m: int) -> bool:
        return m > n or now - laid[m].from_min <= pace.shoes_min

    def leaves(here: int, over: Contact) -> bool:
        """Whether a lane is stepped off there: its own film is walked back on to there."""
        if here != n or over.across == "y":
            return True
        place = min(max(laid[n].meets, over.low), over.high)
        return now - laid[n].at_min(place) <= pace.shoes_min

    came: dict[int, int] = {n: n}
    waiting = [n]
    for here in waiting:
        over = beside[here].get(_OUT)
        if over is not None and leaves(here, over):
            path = [here]
            while path[-1] != n:
                path.append(came[path[-1]])
            return tuple(reversed(path[:-1]))
        for there, over in sorted(beside[here].items(), key=lambda one: one[0]):
            if there not in came and there != _OUT and may(there) and leaves(here, over):
                came[there] = here
                waiting.append(there)
    return None


def _ways(room: Polygon, heading: float) -> Iterator[float]:
    """Ways the lanes may advance: square to a wall, the nearest to the heading first."""
    corners = get_coordinates(room.exterior).tolist()
    runs = [(x1 - x0, y1 - y0) for (x0, y0), (x1, y1) in pairwise(corners)]
    walls = [(math.hypot(*run), math.atan2(run[1], run[0])) for run in runs]
    found: list[tuple[float, float]] = []
    bases: list[float] = []
    quarter = math.pi / 2
    for long, base in sorted(walls, reverse=True)[:8]:
        if long < PASSES_M or any(
            abs(math.remainder(base - other, quarter)) <= _OBLIQUE for other in bases
        ):
            continue
        bases.append(base)
        for way in (base + turn * quarter for turn in range(4)):
            off = abs(math.remainder(way - heading, 2 * math.pi))
            found.append((round(off, 6), way))
    yield from (way for _, way in sorted(found))
    yield heading


def _timed(
    steps: list[Step], angle: float, door: Door, pace: Pace, most_m2: float
) -> RoomLanes:
    """Lay lane after lane and see how old each edge is when the next one meets it."""
    _, y0, _, y1 = door.bounds
    laid: list[Laid] = []
    clock = 0.0
    for step in steps:
        takes = pace.takes_min(step.cell.area_m2)
        ends, meets = _direction(step, (y0 + y1) / 2, two=pace.at_lane > 1)
        laid.append(Laid(step, clock, clock + takes, ends, meets))
        clock += takes + TURN_MIN
    joints = tuple(
        Joint(m, n, over, _age(laid[m], later, over))
        for n, later in enumerate(laid)
        for m, over in later.step.met
    )
    return RoomLanes(angle, tuple(laid), joints, most_m2)


def _direction(step: Step, door_m: float, *, two: bool) -> tuple[tuple[float, ...], float]:
    """Where laying begins along a lane and where it ends.

    All lanes of a room are laid the same way, so that the edge between two is of one
    age all along; two crews begin at both walls and meet where the lane is left.
    """
    _, y0, _, y1 = step.cell.bounds
    low, high = step.over.low, step.over.high
    if step.over.across == "y":
        at = step.over.at
        return ((y0,), y1) if at > (y0 + y1) / 2 else ((y1,), y0)
    if two and y1 - y0 > 2 * REACH_M:
        meets = min(max((y0 + y1) / 2, low), high)
        if min(meets - y0, y1 - meets) > PASSES_M:
            return (y0, y1), meets
    # a door in the middle is no reason either way; rounding must not be one
    upwards = door_m > (y0 + y1) / 2 + _EVEN_M
    if upwards and y1 - high > low - y0 + BODY_M:
        upwards = False
    elif not upwards and low - y0 > y1 - high + BODY_M:
        upwards = True
    return ((y0,), y1) if upwards else ((y1,), y0)


def _age(sooner: Laid, later: Laid, over: Contact) -> float:
    places = [over.at] if over.across == "y" else [over.low, over.high]
    if over.across == "x":
        places += [one.meets for one in (sooner, later) if over.low < one.meets < over.high]
    return max(later.at_min(y) - sooner.at_min(y) for y in places)


def _oldest(lanes: RoomLanes) -> float:
    return max((joint.age_min for joint in lanes.joints), default=0.0)
