"""The outer walls of all rooms: those by which a crew may leave."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from kit.bench.rooms import in_order
from kit.bench.sizes import Sizes
from kit.bench.stretches import LEAST_M, Stretch, facing, walls_of
from kit.job import Job
from kit.site import Room
from kit.site.outline import Outline


@dataclass(frozen=True)
class OuterWall:
    """A wall that leads outside, or the longest piece of one that does.

    Parameters
    ----------
    room : str
    number : int
        Of the wall in its room, the first is 0.
    stretch : Stretch
        The piece of it that no other room lies behind.
    is_whole : bool
        Whether that is all of the wall.
    """

    room: str
    number: int
    stretch: Stretch
    is_whole: bool


def outer_walls(job: Job) -> tuple[OuterWall, ...]:
    """Every wall of the rooms that close, less what other rooms lie behind."""
    rooms = [room for room in in_order(job.site) if isinstance(room, Room)]
    walls = {room.name: walls_of(Outline.of(room)) for room in rooms}
    found = []
    for room in rooms:
        others = [wall for name in walls if name != room.name for wall in walls[name]]
        for number, wall in enumerate(walls[room.name]):
            free = _free(wall, others)
            if free.length_m >= LEAST_M:
                is_whole = free.length_m > wall.length_m - LEAST_M
                found.append(OuterWall(room.name, number, free, is_whole))
    return tuple(found)


def outer_figures(job: Job, rooms: list[dict[str, Any]], likely: str) -> dict[str, Any]:
    """The outer walls as the page lists them, and which of them is the likeliest way out.

    Parameters
    ----------
    job : Job
    rooms : list of dict
        As `kit.bench.measured` tells them.
    likely : str
        The room that the pour is headed out of; "" where there is no plan.
    """
    sides = {room["name"]: room["walls"] for room in rooms}
    walls = outer_walls(job)
    one_room = len({one.room for one in walls}) == 1
    told = [
        _told(one, sides[one.room], Sizes.of(job), "" if one_room else f"{one.room}, ")
        for one in walls
    ]
    here = [n for n, one in enumerate(walls) if one.room == likely] or range(len(walls))
    best = max(here, key=lambda n: walls[n].stretch.length_m, default=-1)
    return {"walls": told, "likely": best}


def _told(
    one: OuterWall, walls: list[dict[str, Any]], sizes: Sizes, room: str
) -> dict[str, Any]:
    wall = walls[one.number]
    alike = sum(w["side"] == wall["side"] for w in walls) > 1
    side = f"{wall['side']} wall" + (f" {one.number + 1}" if alike else "")
    open_m = sizes.length(one.stretch.length_m)
    size = wall["length"] if one.is_whole else f"{open_m} of {wall['length']}"
    return {"room": one.room, "wall": one.number, "says": f"{room}{side}, {size}"}


def _free(wall: Stretch, others: list[Stretch]) -> Stretch:
    """The longest piece of a wall that none of the others faces."""
    taken = [shared for other in others if (shared := facing(wall, other))]
    spans = sorted((at := wall.along(one.begins_m), at + one.length_m) for one in taken)
    begins_m, longest = 0.0, (0.0, 0.0)
    for low, high in [*spans, (wall.length_m, wall.length_m)]:
        longest = max(longest, (low - begins_m, begins_m))
        begins_m = max(begins_m, high)
    return Stretch(wall.at(longest[1]), wall.ahead, longest[0])
