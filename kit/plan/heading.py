"""Which way each room is poured: from its far end towards the way out.

The crew backs out of the building over the floor it leaves behind, so a room is
poured from the end that lies farthest from its way out, and the rooms farthest
from the door come first (common practice, no source).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from heapq import heapify, heappop, heappush

import numpy as np
import shapely
from shapely import LineString

from kit.plan.floor import FloorPlan, PlannedRoom
from kit.plan.frame import Place, box_of
from kit.plan.pace import PASSES_M

_GRID = 32
_DETOUR_M = 1000.0


@dataclass(frozen=True)
class Heading:
    """How one room is poured.

    Parameters
    ----------
    room : str
    through : str or None
        The room its crew backs into; None where the way out itself is.
    far_m, leaves_m : (float, float)
        Its far end, where pouring begins, and the middle of the opening it is
        left by. [m]
    walk_m : float
        From that opening on to the way out. [m]
    """

    room: str
    through: str | None
    far_m: Place
    leaves_m: Place
    walk_m: float

    @property
    def angle(self) -> float:
        """Direction in which the pour moves, anticlockwise from east. [rad]"""
        (x0, y0), (x1, y1) = self.far_m, self.leaves_m
        return math.atan2(y1 - y0, x1 - x0)


@dataclass(frozen=True)
class _Left:
    """A room and the opening by which it is left."""

    room: PlannedRoom
    through: str | None
    leaves_m: Place
    walk_m: float


def headings(plan: FloorPlan) -> tuple[Heading, ...]:
    """Tell how every room is poured, in the order in which they are.

    The way out of a room is the opening from which the walk to the door is the
    shortest, measured from middle to middle of the openings.
    """
    left = _left(plan)
    return tuple(
        Heading(one.room.name, one.through, far_m, one.leaves_m, one.walk_m)
        for one, far_m in zip(left, _far_ends(left), strict=True)
    )


def rooms_in_turn(plan: FloorPlan) -> tuple[str, ...]:
    """Rooms in the order in which they are poured, the farthest from the door first."""
    return tuple(one.room.name for one in _left(plan))


def _left(plan: FloorPlan) -> list[_Left]:
    openings = [
        *(way.opening for way in plan.ways_out),
        *(t.opening[0] for t in plan.thresholds),
    ]
    middles = [_middle(opening) for opening in openings]
    joins = [
        *((way.room,) for way in plan.ways_out),
        *(t.rooms for t in plan.thresholds),
    ]
    squeezes = [_DETOUR_M * (opening.length < PASSES_M) for opening in openings]
    walks = _walks(middles, joins, squeezes, outside=len(plan.ways_out))
    by_room: dict[str, list[int]] = {room.name: [] for room in plan.rooms}
    for k, rooms in enumerate(joins):
        for name in rooms:
            by_room[name].append(k)
    found = []
    for room in plan.rooms:
        way = min(by_room[room.name], key=walks.__getitem__)
        through = next((name for name in joins[way] if name != room.name), None)
        found.append(_Left(room, through, middles[way], walks[way]))
    return sorted(found, key=lambda one: -one.walk_m)


def _walks(
    middles: list[Place],
    joins: list[tuple[str, ...]],
    squeezes: list[float],
    *,
    outside: int,
) -> list[float]:
    """Shortest walk from every opening out, room by room [Dijkstra1959]_.

    An opening too narrow to pass is gone through only where there is no other.
    """
    walks = [*squeezes[:outside], *(math.inf for _ in middles[outside:])]
    beside: dict[str, list[int]] = {}
    for k, rooms in enumerate(joins):
        for name in rooms:
            beside.setdefault(name, []).append(k)
    done: set[int] = set()
    waiting = [(walks[k], k) for k in range(outside)]
    heapify(waiting)
    while waiting:
        walk, here = heappop(waiting)
        if here in done:
            continue
        done.add(here)
        for there in (k for name in joins[here] for k in beside[name] if k not in done):
            walk_m = walk + math.dist(middles[here], middles[there]) + squeezes[there]
            if walk_m < walks[there]:
                walks[there] = walk_m
                heappush(waiting, (walk_m, there))
    return walks


def _far_ends(left: Sequence[_Left]) -> list[Place]:
    """Middle of each floor when far places count most: distance to the fourth power."""
    floors = [one.room.poured for one in left]
    west, south, east, north = shapely.bounds(floors).T
    # what lies on a wall does not count
    inner = np.arange(1, _GRID - 1)[:, None] / (_GRID - 1)
    x, y = (west + inner * (east - west)).T, (south + inner * (north - south)).T
    leaves_x, leaves_y = np.array([one.leaves_m for one in left]).T[:, :, None]
    squared = ((x - leaves_x) ** 2)[:, None, :] + ((y - leaves_y) ** 2)[:, :, None]
    weight = squared * squared
    for n, floor in enumerate(floors):
        if box_of(floor) is None:
            weight[n] *= shapely.contains_xy(floor, *np.meshgrid(x[n], y[n]))
    by_x, by_y = weight.sum(axis=1), weight.sum(axis=2)
    far_x = (by_x * x).sum(axis=1) / by_x.sum(axis=1)
    far_y = (by_y * y).sum(axis=1) / by_y.sum(axis=1)
    return list(zip(far_x.tolist(), far_y.tolist(), strict=True))


def _middle(opening: LineString) -> Place:
    middle = opening.interpolate(0.5, normalized=True)
    return middle.x, middle.y
