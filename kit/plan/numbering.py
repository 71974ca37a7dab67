"""All lanes of a floor in turn: their shapes, their clock, the dry way out of each."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import LineString, Polygon, union_all
from shapely.geometry.base import BaseGeometry

from kit.plan.cells import shapes_of
from kit.plan.floor import FloorPlan, Threshold
from kit.plan.frame import Place, turned
from kit.plan.heading import Heading
from kit.plan.lanes import Lane
from kit.plan.pace import TURN_MIN
from kit.plan.room_lanes import RoomLanes


@dataclass(frozen=True)
class Left:
    """How a room is left.

    Parameters
    ----------
    opening : LineString
        On its own wall. [m]
    threshold : Threshold or None
        The doorway that it is in; None where it leads out.
    """

    opening: LineString
    threshold: Threshold | None


def numbered(
    plan: FloorPlan,
    ways: Sequence[Heading],
    laid: Sequence[RoomLanes],
    left: Mapping[str, Left],
) -> list[Lane]:
    """Number the lanes of all rooms, with the dry way out of each and one clock.

    Parameters
    ----------
    plan : FloorPlan
    ways : sequence of Heading
        Rooms in turn.
    laid : sequence of RoomLanes
        Of those rooms.
    left : mapping of str to Left
        By room.
    """
    shapes = _shapes(plan, ways, laid, left)
    middles = shapely.get_coordinates(shapely.centroid(shapes)).tolist()
    onward = {way.room: way for way in ways}
    lanes: list[Lane] = []
    clock = 0.0
    for way, room in zip(ways, laid, strict=True):
        own = slice(len(lanes), len(lanes) + len(room.laid))
        lanes += _of_room(
            way, room, shapes[own], middles[own], _words_out(way, onward),
            before=len(lanes), clock=clock,
        )  # fmt: skip
        clock = lanes[-1].to_min + 2 * TURN_MIN
    return lanes


def _of_room(
    way: Heading,
    room: RoomLanes,
    shapes: Sequence[BaseGeometry],
    middles: Sequence[Place],
    out: tuple[str, ...],
    *,
    before: int,
    clock: float,
) -> list[Lane]:
    """Follow the lanes stepped back onto, all of them laid later, and then the doorways."""
    place_m = room.place_m
    lanes: dict[int, Lane] = {}
    for place in reversed(range(len(room.laid))):
        one = room.laid[place]
        onto = lanes.get(one.step.onto)
        wet = [n for n in one.crossed if n <= place]
        is_crossing = bool(wet) or (onto is None and one.step.onto >= 0)
        if onto is not None and not is_crossing:
            words = (f"lane {onto.number}", *onto.way_out)
            walk_m = math.dist(middles[place], middles[one.step.onto]) + onto.walk_m
        else:
            over = one.crossed if is_crossing else ()
            words = (
                *(f"lane {before + n + 1}{' in shoes' * (n in wet)}" for n in over),
                *out,
            )
            walk_m = math.dist(middles[place], way.leaves_m) + way.walk_m
        x0, y0, x1, y1 = one.step.cell.bounds
        middle = (x0 + x1) / 2
        lanes[place] = Lane(
            number=before + place + 1, room=way.room, day=1, shape=shapes[place],
            length_m=y1 - y0, width_m=x1 - x0,
            from_m=tuple(place_m(middle, end) for end in one.ends),
            to_m=place_m(middle, one.meets),
            onto=None if onto is None or is_crossing else onto.number,
            way_out=words, walk_m=walk_m,
            from_min=clock + one.from_min, to_min=clock + one.to_min,
            in_shoes=is_crossing or one.is_stood_in,
        )  # fmt: skip
    return [lanes[place] for place in range(len(room.laid))]


def _words_out(way: Heading, onward: Mapping[str, Heading]) -> tuple[str, ...]:
    """Rooms that are gone through from one, and the way out."""
    words = []
    while way.through is not None:
        words.append(way.through)
        way = onward[way.through]
    return (*words, "out")


def _shapes(
    plan: FloorPlan,
    ways: Sequence[Heading],
    laid: Sequence[RoomLanes],
    left: Mapping[str, Left],
) -> list[BaseGeometry]:
    """Of all lanes in turn; floor in a doorway goes with the last lane of its room."""
    cells = shapes_of([one.step.cell for room in laid for one in room.laid])
    angles = np.repeat([room.turned for room in laid], [len(room.laid) for room in laid])
    shapes: list[BaseGeometry] = turned(cells, angles)
    gaps = _gaps(plan, ways, left)
    last = -1
    for way, room in zip(ways, laid, strict=True):
        last += len(room.laid)
        if way.room in gaps:
            shapes[last] = union_all([shapes[last], *gaps[way.room]], grid_size=1e-6)
    return shapes


def _gaps(
    plan: FloorPlan, ways: Sequence[Heading], left: Mapping[str, Left]
) -> dict[str, list[Polygon]]:
    """Floor in doorways by the room it is laid with, the first that nobody leaves to."""
    turn = {way.room: n for n, way in enumerate(ways)}
    found: dict[str, list[Polygon]] = {}
    for threshold in plan.thresholds:
        both = zip(threshold.rooms, reversed(threshold.rooms), strict=True)
        own = [name for name, other in both if left[other].threshold is not threshold]
        if own and threshold.poured is not None:
            found.setdefault(min(own, key=turn.__getitem__), []).append(threshold.poured)
    return found
