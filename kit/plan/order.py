"""The pour order of a whole floor: its lanes in turn, each with its dry way out.

Rooms come in the order of their headings, the farthest first, so that all of a room
is laid before anybody who leaves it needs the next one wet. Where one day is not
enough the order is cut at a doorway or between two lanes, and that edge is taped.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Protocol

from shapely import LineString, Polygon, union_all
from shapely.affinity import rotate
from shapely.geometry.base import BaseGeometry

from kit.errors import PlanError
from kit.plan.floor import FloorPlan, Threshold
from kit.plan.heading import Heading, headings
from kit.plan.pace import TURN_MIN, Pace
from kit.plan.room_lanes import RoomLanes, lanes_of

Place = tuple[float, float]
LEAST_OF_A_DAY = 0.6
"""A day's pour ends at a doorway if it is at least so full by then."""
_NEAR_M = 0.03


class Zone(Protocol):
    """A part of the floor that is poured in one go."""

    @property
    def rooms(self) -> tuple[str, ...]:
        """Rooms in it; a room that is cut stands in several zones."""

    @property
    def area_m2(self) -> float:
        """[m²]"""


@dataclass(frozen=True)
class Lane:
    """A strip of floor that is laid in one go, from its dry side.

    Parameters
    ----------
    number : int
        From 1, in the order of laying.
    room : str
    day : int
        From 1: the pour it belongs to.
    shape : shapely geometry
        What is laid, the floor in a doorway with the last lane of its room. [m]
    length_m, width_m : float
        Along the lane and across. [m]
    from_m : tuple of (float, float)
        Where laying begins; two places where two crews begin. [m]
    to_m : (float, float)
        Where it ends, and where two crews meet. [m]
    onto : int or None
        The lane that its crew steps back onto; None where through a doorway or out.
    way_out : tuple of str
        The dry way out at its time: lanes, doorways, in words.
    walk_m : float
        Length of that way, from middle to middle. [m]
    from_min, to_min : float
        From the first bucket of its day. [min]
    in_shoes : bool
        Its crew stands in it or leaves over wet film, in spiked shoes.
    """

    number: int
    room: str
    day: int
    shape: BaseGeometry
    length_m: float
    width_m: float
    from_m: tuple[Place, ...]
    to_m: Place
    onto: int | None
    way_out: tuple[str, ...]
    walk_m: float
    from_min: float
    to_min: float
    in_shoes: bool = False

    @property
    def area_m2(self) -> float:
        """[m²]"""
        return float(self.shape.area)


@dataclass(frozen=True)
class Edge:
    """Where two lanes meet.

    Parameters
    ----------
    first, second : int
        Numbers of the lanes, the one laid first first.
    line : LineString
        [m]
    age_min : float
        How old the first one's edge is when it is met; infinite over a night. [min]
    is_taped : bool
        It cannot be met wet: it ends in a straight taped line.
    in_doorway : bool
    """

    first: int
    second: int
    line: LineString
    age_min: float
    is_taped: bool
    in_doorway: bool


@dataclass(frozen=True)
class PourOrder:
    """How a floor is laid.

    Parameters
    ----------
    headings : tuple of Heading
        Which way each room is poured, in turn.
    lanes : tuple of Lane
        In turn.
    edges : tuple of Edge
    pace : Pace
    lane_m2 : mapping of str to float
        Largest lane that was asked for in each room. [m²]
    """

    headings: tuple[Heading, ...]
    lanes: tuple[Lane, ...]
    edges: tuple[Edge, ...]
    pace: Pace
    lane_m2: Mapping[str, float]

    @property
    def days(self) -> int:
        """Pours, one a day."""
        return self.lanes[-1].day

    def of_day(self, day: int) -> tuple[Lane, ...]:
        """Lanes of one pour."""
        return tuple(lane for lane in self.lanes if lane.day == day)

    @property
    def taped(self) -> tuple[Edge, ...]:
        """Edges that end at a taped line."""
        return tuple(edge for edge in self.edges if edge.is_taped)

    def oldest_edge_min(self, number: int) -> float:
        """Age of the oldest edge that a lane meets wet; 0 where it meets none. [min]"""
        return max(
            (e.age_min for e in self.edges if e.second == number and not e.is_taped),
            default=0.0,
        )


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
    doors = {way.room: _door(plan, way) for way in ways}
    most_m2 = lane_m2 or {}
    laid = [
        lanes_of(
            rooms[way.room], way, doors[way.room][0],
            pace.in_lanes(most_m2.get(way.room, math.inf)),
        )
        for way in ways
    ]  # fmt: skip
    lanes = _numbered(plan, ways, laid, doors)
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


def _door(plan: FloorPlan, way: Heading) -> tuple[LineString, Threshold | None]:
    """Opening by which a room is left, on its own wall, and the doorway it is in."""
    for threshold in plan.thresholds:
        if way.room in threshold.rooms and way.through in threshold.rooms:
            opening = threshold.opening[threshold.rooms.index(way.room)]
            middle = threshold.opening[0].interpolate(0.5, normalized=True)
            if math.dist((middle.x, middle.y), way.leaves_m) < 1e-6:
                return opening, threshold
    for way_out in plan.ways_out:
        middle = way_out.opening.interpolate(0.5, normalized=True)
        if math.dist((middle.x, middle.y), way.leaves_m) < 1e-6:
            return way_out.opening, None
    return plan.way_out.opening, None


def _numbered(
    plan: FloorPlan,
    ways: tuple[Heading, ...],
    laid: list[RoomLanes],
    doors: dict[str, tuple[LineString, Threshold | None]],
) -> list[Lane]:
    """All lanes in turn, with the dry way out of each: its own lanes, then doorways."""
    lanes: list[Lane] = []
    clock, left = 0.0, {id(t) for t in plan.thresholds}
    onward = {way.room: way for way in ways}
    for way, room in zip(ways, laid, strict=True):
        first = len(lanes)
        gaps = _gaps_of(plan, way, doors, left)
        for place, one in enumerate(room.laid):
            last = place == len(room.laid) - 1
            shape = _back(one.step.cell.shape, room.turned)
            if last and gaps:
                shape = union_all([shape, *gaps], grid_size=1e-6)
            onto = None if one.step.onto < 0 else first + one.step.onto + 1
            wet = [n for n in one.crossed if n <= place]
            is_crossing = bool(wet) or (onto is not None and onto <= first + place + 1)
            over = tuple(
                f"lane {first + n + 1}{' in shoes' * (n in wet)}" for n in one.crossed
            )
            x0, y0, x1, y1 = one.step.cell.bounds
            middle = (x0 + x1) / 2
            lanes.append(
                Lane(
                    number=first + place + 1, room=way.room, day=1, shape=shape,
                    length_m=y1 - y0, width_m=x1 - x0,
                    from_m=tuple(_place(middle, end, room.turned) for end in one.ends),
                    to_m=_place(middle, one.meets, room.turned),
                    onto=None if is_crossing else onto,
                    way_out=over if is_crossing else (), walk_m=0.0,
                    from_min=clock + one.from_min, to_min=clock + one.to_min,
                    in_shoes=is_crossing or one.is_stood_in,
                )
            )  # fmt: skip
        clock = lanes[-1].to_min + 2 * TURN_MIN
    for place in range(len(lanes) - 1, -1, -1):
        lanes[place] = _with_way_out(lanes[place], lanes, onward)
    return lanes


def _gaps_of(
    plan: FloorPlan,
    way: Heading,
    doors: dict[str, tuple[LineString, Threshold | None]],
    left: set[int],
) -> list[Polygon]:
    """Floor in the doorways of a room that nobody laid yet and that it is not left over."""
    found = []
    for threshold in plan.thresholds:
        others = [name for name in threshold.rooms if name != way.room]
        if way.room not in threshold.rooms or id(threshold) not in left:
            continue
        is_way_of_other = any(doors[name][1] is threshold for name in others)
        if not is_way_of_other:
            left.discard(id(threshold))
            if threshold.poured is not None:
                found.append(threshold.poured)
    return found


def _with_way_out(lane: Lane, lanes: list[Lane], onward: dict[str, Heading]) -> Lane:
    """Follow the lanes stepped back onto, all of them laid later, and then the doorways."""
    middle = lane.shape.centroid
    if lane.onto is not None:
        after = lanes[lane.onto - 1]
        there = after.shape.centroid
        walk_m = math.dist((middle.x, middle.y), (there.x, there.y)) + after.walk_m
        return replace(
            lane, way_out=(f"lane {after.number}", *after.way_out), walk_m=walk_m
        )
    words = list(lane.way_out)
    way = onward[lane.room]
    walk_m = math.dist((middle.x, middle.y), way.leaves_m) + way.walk_m
    while way.through is not None:
        words.append(way.through)
        way = onward[way.through]
    return replace(lane, way_out=(*words, "out"), walk_m=walk_m)


def _place(x: float, y: float, turned: float) -> Place:
    cos, sin = math.cos(turned), math.sin(turned)
    return x * cos - y * sin, x * sin + y * cos


def _back(shape: BaseGeometry, turned: float) -> BaseGeometry:
    return rotate(shape, turned, origin=(0, 0), use_radians=True)


def _in_days(lanes: list[Lane], day_min: float, zones_m2: Sequence[float]) -> list[Lane]:
    """Cut the order into days; each counts from its own first bucket."""
    starts = _by_zones(lanes, zones_m2) if zones_m2 else _by_time(lanes, day_min)
    cut = []
    for day, (first, after) in enumerate(pairwise([*starts, len(lanes)]), start=1):
        began = lanes[first].from_min
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
    found, first = [], 0
    for room in laid:
        for joint in room.joints:
            one, other = lanes[first + joint.first], lanes[first + joint.second]
            over, night = joint.over, one.day != other.day
            ends = [(over.at, over.low), (over.at, over.high)]
            if over.across == "y":
                ends = [(y, x) for x, y in ends]
            line = LineString([_place(x, y, room.turned) for x, y in ends])
            age = math.inf if night else joint.age_min
            found.append(
                Edge(one.number, other.number, line, age, age > pace.edge_min, False)
            )
        first += len(room.laid)
    return found


def _edges_in_doorways(plan: FloorPlan, lanes: list[Lane], pace: Pace) -> list[Edge]:
    """A doorway is met when the lane before it is laid, and taped if that is too late."""
    found = []
    for threshold in plan.thresholds:
        sides = [
            [lane for lane in lanes if lane.room == name
             and lane.shape.distance(opening) < _NEAR_M]
            for name, opening in zip(threshold.rooms, threshold.opening, strict=True)
        ]  # fmt: skip
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


def _check_partition(plan: FloorPlan, lanes: list[Lane]) -> None:
    whole, parts = plan.surface.area, sum(lane.area_m2 for lane in lanes)
    if abs(whole - parts) > 1e-3 * whole:
        raise PlanError(
            "lanes",
            found=f"{parts:.2f} m² of lanes",
            expected=f"the whole floor, {whole:.2f} m²",
        )
