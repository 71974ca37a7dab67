"""The pour order of a whole floor: its lanes in turn, each with its dry way out.

Rooms come in the order of their headings, the farthest first, so that all of a room
is laid before anybody who leaves it needs the next one wet. Where one day is not
enough the order is cut at a doorway or between two lanes, and that edge is taped.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np
import shapely
from shapely import LineString

from kit.errors import PlanError
from kit.plan.floor import FloorPlan, Threshold
from kit.plan.frame import Place, turned
from kit.plan.heading import Heading, headings
from kit.plan.lanes import Edge, Lane, PourOrder, Zone
from kit.plan.numbering import Left, numbered
from kit.plan.pace import Pace
from kit.plan.room_lanes import RoomLanes, lanes_of

LEAST_OF_A_DAY = 0.6
"""A day's pour ends at a doorway if it is at least so full by then."""
_NEAR_M = 0.03


def pour_order(
    plan: FloorPlan,
    pace: Pace,
    *,
    day_min: float = math.inf,
    zones: Sequence[Zone] = (),
    lane_m2: Mapping[str, float] | None = None,
) -> PourOrder:
    """Order a floor so that every lane is left dry and met wet.

    Parameters
    ----------
    plan : FloorPlan
    pace : Pace
    day_min : float
        Most minutes of one day's pour. [min]
    zones : sequence of Zone
        What is poured in one go, in turn, where that is given: rooms come in the order
        of their zones, and the order is cut at the edge nearest to each zone's area.
    lane_m2 : mapping of str to float, optional
        Largest lane of a room, where another coat asks for smaller ones. [m²]

    Raises
    ------
    PlanError
        If a room has no way out, its lanes cannot be closed within their wet edge, or
        it is to be left through a room of a zone before its own.
    """
    ways = _in_zones(headings(plan), zones)
    rooms = {room.name: room for room in plan.rooms}
    doors = _doors(plan, ways)
    smaller = {room: pace.in_lanes(most_m2) for room, most_m2 in (lane_m2 or {}).items()}
    laid = [
        lanes_of(rooms[room], way, doors[room].opening, smaller.get(room, pace))
        for way in ways
        for room in (way.room,)
    ]
    lanes = numbered(plan, ways, laid, doors)
    lanes = _in_days(lanes, day_min, [zone.area_m2 for zone in zones])
    edges = [*_edges_in_rooms(laid, lanes, pace), *_edges_in_doorways(plan, lanes, pace)]
    _check_partition(plan, lanes)
    asked = {way.room: room.most_m2 for way, room in zip(ways, laid, strict=True)}
    return PourOrder(ways, tuple(lanes), tuple(edges), pace, asked)


def _in_zones(ways: tuple[Heading, ...], zones: Sequence[Zone]) -> tuple[Heading, ...]:
    """Rooms in the order of their zones; of one zone, as they are headed."""
    if not zones:
        return ways
    first: dict[str, int] = {}
    for number, zone in enumerate(zones):
        for room in zone.rooms:
            first.setdefault(room, number)
    for way in ways:
        if way.through is not None and first[way.room] > first[way.through]:
            raise PlanError(
                f'room "{way.room}"',
                found=f'left through "{way.through}", which is poured before it',
                expected="zones from the far end to the way out",
            )
    return tuple(sorted(ways, key=lambda way: first[way.room]))


def _doors(plan: FloorPlan, ways: Sequence[Heading]) -> dict[str, Left]:
    """Opening by which each room is left, on its own wall, and the doorway it is in."""
    outside = {_middle(way.opening): way.opening for way in plan.ways_out}
    inside = {_middle(t.opening[0]): t for t in plan.thresholds}
    found: dict[str, Left] = {}
    for way in ways:
        threshold = inside.get(way.leaves_m) if way.through is not None else None
        if threshold is None:
            found[way.room] = Left(outside[way.leaves_m], None)
        else:
            own = threshold.opening[threshold.rooms.index(way.room)]
            found[way.room] = Left(own, threshold)
    return found


def _middle(opening: LineString) -> Place:
    middle = opening.interpolate(0.5, normalized=True)
    return middle.x, middle.y


def _in_days(lanes: list[Lane], day_min: float, zones_m2: Sequence[float]) -> list[Lane]:
    """Cut the order into days; each counts from its own first bucket."""
    starts = _by_zones(lanes, zones_m2) if zones_m2 else _by_time(lanes, day_min)
    cut = []
    for day, (first, after) in enumerate(pairwise([*starts, len(lanes)]), start=1):
        began = lanes[first].from_min
        if day == 1 and began == 0.0:
            cut += lanes[first:after]
            continue
        for lane in lanes[first:after]:
            from_min, to_min = lane.from_min - began, lane.to_min - began
            cut.append(replace(lane, day=day, from_min=from_min, to_min=to_min))
    return cut


def _by_time(lanes: list[Lane], day_min: float) -> list[int]:
    starts = [0]
    for place, lane in enumerate(lanes):
        if lane.to_min - lane.from_min > day_min:
            raise PlanError(
                f"lane {lane.number}",
                found=f"{lane.to_min - lane.from_min:.0f} min",
                expected=f"at most {day_min:.0f} min, which a day has for the pour",
            )
        began = lanes[starts[-1]].from_min
        if lane.to_min - began > day_min:
            ends = [
                n
                for n in range(starts[-1] + 1, place + 1)
                if lanes[n].room != lanes[n - 1].room
                and lanes[n - 1].to_min - began >= LEAST_OF_A_DAY * day_min
            ]
            starts.append(ends[-1] if ends else place)
    return starts


def _by_zones(lanes: list[Lane], zones_m2: Sequence[float]) -> list[int]:
    so_far = [0.0]
    for lane in lanes:
        so_far.append(so_far[-1] + lane.area_m2)
    starts, goal = [0], 0.0
    for zone_m2 in zones_m2[:-1]:
        goal += zone_m2 * so_far[-1] / sum(zones_m2)
        nearest = min(range(len(so_far)), key=lambda n: abs(so_far[n] - goal))
        if starts[-1] < nearest < len(lanes):
            starts.append(nearest)
    return starts


def _edges_in_rooms(laid: list[RoomLanes], lanes: list[Lane], pace: Pace) -> list[Edge]:
    met, ends, turns, first = [], [], [], 0
    for room in laid:
        for joint in room.joints:
            one, other = lanes[first + joint.first], lanes[first + joint.second]
            over = joint.over
            age = joint.age_min if one.day == other.day else math.inf
            met.append((one.number, other.number, age))
            if over.across == "x":
                ends.append(((over.at, over.low), (over.at, over.high)))
            else:
                ends.append(((over.low, over.at), (over.high, over.at)))
        turns += [room.turned] * len(room.joints)
        first += len(room.laid)
    lines = turned(shapely.linestrings(ends), np.array(turns)) if ends else []
    return [
        Edge(one, other, line, age, age > pace.edge_min, False)
        for (one, other, age), line in zip(met, lines, strict=True)
    ]


def _edges_in_doorways(plan: FloorPlan, lanes: list[Lane], pace: Pace) -> list[Edge]:
    """A doorway is met when the lane before it is laid, and taped if that is too late."""
    found = []
    for threshold, *sides in _lanes_in_doorways(plan, lanes):
        if not all(sides):
            continue
        one, other = sorted(sides, key=lambda side: side[0].number)
        first, second = one[-1], other[-1]
        night = first.day != second.day
        age = math.inf if night else second.to_min - first.from_min
        line = threshold.opening[threshold.rooms.index(second.room)]
        found.append(
            Edge(first.number, second.number, line, age, age > pace.calm_edge_min, True)
        )
    return found


def _lanes_in_doorways(
    plan: FloorPlan, lanes: list[Lane]
) -> Iterator[tuple[Threshold, list[Lane], list[Lane]]]:
    """Lanes of either room that end in the doorway between them."""
    by_room: dict[str, list[Lane]] = {room.name: [] for room in plan.rooms}
    for lane in lanes:
        by_room[lane.room].append(lane)
    asked = [
        (lane, opening)
        for threshold in plan.thresholds
        for name, opening in zip(threshold.rooms, threshold.opening, strict=True)
        for lane in by_room[name]
    ]
    away_m = shapely.distance([lane.shape for lane, _ in asked], [at for _, at in asked])
    near = iter((away_m < _NEAR_M).tolist())
    for threshold in plan.thresholds:
        one, other = (
            [lane for lane in by_room[name] if next(near)] for name in threshold.rooms
        )
        yield threshold, one, other


def _check_partition(plan: FloorPlan, lanes: list[Lane]) -> None:
    whole = plan.surface.area
    parts = float(shapely.area([lane.shape for lane in lanes]).sum())
    if abs(whole - parts) > 1e-3 * whole:
        raise PlanError(
            "lanes",
            found=f"{parts:.2f} m² of lanes",
            expected=f"the whole floor, {whole:.2f} m²",
        )
