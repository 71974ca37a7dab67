"""What the board and its lists show: rooms as far as they are measured, in feet."""

from __future__ import annotations

import math
from typing import Any

from kit.bench.columns import from_the_corner_m
from kit.bench.lacking import lacks_of_rooms
from kit.bench.openings import shared, wall_under
from kit.bench.outside import outer_figures
from kit.bench.rooms import in_order
from kit.bench.sizes import Sizes
from kit.errors import KitError
from kit.job import Job
from kit.plan import FloorPlan
from kit.plan.closing import Repair, closed, repairs
from kit.plan.rooms import planned
from kit.site import Doorway, Draft, Exit, Room, Site
from kit.site.outline import Outline, length_of
from kit.site.places import place_m
from kit.site.walls import Corner, bow_of, read_wall
from kit.units import M_PER_FT, M_PER_IN, read_length

Figures = dict[str, Any]
NEARLY = 0.1
"""An outline open by less than this share of its walls is meant to be closed."""
NEARLY_WIDE = 0.7
"""A middle with this much of the widest clear space around it will do for a name."""
_EIGHT = ("north", "north-east", "east", "south-east", "south", "south-west", "west",
          "north-west")  # fmt: skip


def measure_figures(job: Job, plan: FloorPlan | None, lacks: str) -> Figures:
    """Everything measured, ready to be drawn and listed."""
    site = job.site
    sizes = Sizes.of(job)
    rooms = [_room(room, sizes) for room in in_order(site)]
    outlines = {room.name: Outline.of(room) for room in in_order(site)}
    return {
        "rooms": rooms,
        "is_blank": not any(room["walls"] for room in rooms),
        "doorways": [_doorway(doorway, outlines, sizes) for doorway in site.doorways],
        "way_out": _way_out(site, plan, outlines, sizes),
        "outer": outer_figures(job, rooms, plan.way_out.room if plan else ""),
        "joinable": [list(pair) for pair in shared(job)],
        "lacks": lacks_of_rooms(site, lacks),
    }


def _room(room: Room | Draft, sizes: Sizes) -> Figures:
    outline = Outline.of(room)
    around = sum(_along(wall, outline.about) for wall in outline.walls)
    is_open = isinstance(room, Draft)
    return {
        "name": room.name,
        "open": is_open,
        "walls": [
            {**_wall(wall, sizes), "side": side}
            for wall, side in zip(outline.walls, sides(outline), strict=True)
        ],
        "corners": [_feet(corner) for corner in outline.corners_m],
        "drawn": _drawn(room),
        "columns": [_column(room, number, sizes) for number in range(len(room.columns))],
        "islands": [
            [_feet(place_m(corner, about="island")) for corner in island.corners]
            for island in room.islands
        ],
        "label": None if is_open else _middle(room),
        "area": "" if is_open else sizes.area(_area_m2(room)),
        "around": sizes.length(around),
        "gap": _gap(outline, sizes) if is_open else None,
    }


def _along(wall: str, about: str) -> float:
    """Length of a wall, of a curved one along its arc. [m]"""
    bow = bow_of(wall, about=about)
    return bow.length_m if bow else read_wall(wall, about=about)[1]


def _drawn(room: Room | Draft) -> list[list[float]] | None:
    """The outline as it is, where curved walls or closets leave the corners behind."""
    if isinstance(room, Draft):
        return None
    plan = planned(room)
    if not plan.curves and not plan.closets:
        return None
    return [_feet((east, north)) for east, north in plan.outline.exterior.coords[:-1]]


def _middle(room: Room | Draft) -> list[float] | None:
    """Where the name of a room is written: its middle, if its floor is wide there."""
    from shapely.ops import polylabel

    if isinstance(room, Draft):
        return None
    floor = planned(room).poured
    spot, wide = floor.centroid, polylabel(floor, tolerance=0.05)
    if not floor.contains(spot) or spot.distance(floor.boundary) < NEARLY_WIDE * (
        wide.distance(floor.boundary)
    ):
        spot = wide
    return _feet((spot.x, spot.y))


def _area_m2(room: Room | Draft) -> float:
    return planned(room).poured.area if isinstance(room, Room) else 0.0


def _wall(wall: str, sizes: Sizes) -> Figures:
    bearing, _ = read_wall(wall, about="wall")
    return {
        "bearing": bearing,
        "length": sizes.kept(length_of(wall)),
        "towards": towards(bearing),
    }


def sides(outline: Outline) -> list[str]:
    """The side of its room that each wall lies on, to the nearest of eight."""
    corners = outline.corners_m
    ring = zip(corners, [*corners[1:], corners[0]], strict=True)
    clockwise = sum(a * d - b * c for (a, b), (c, d) in ring) <= 0.0
    outward = -90.0 if clockwise else 90.0
    bearings = [read_wall(wall, about=outline.about)[0] for wall in outline.walls]
    return [_EIGHT[round((bearing + outward) / 45.0) % 8] for bearing in bearings]


def towards(bearing: float) -> str:
    """Say a direction: one of eight words, else degrees from north.

    >>> towards(90.0), towards(37.0)
    ('east', '37° from north')
    """
    point, rest = divmod(bearing, 45.0)
    return f"{bearing:g}° from north" if rest else _EIGHT[int(point)]


def _gap(outline: Outline, sizes: Sizes) -> Figures | None:
    """How far an open outline is from closing, and what would close it."""
    count = len(outline.walls)
    if count < 2:
        return None
    east, north = outline.gap_m
    gap_m = math.hypot(east, north)
    around_m = sum(read_wall(wall, about=outline.about)[1] for wall in outline.walls)
    offered = repairs(outline)
    return {
        "says": f"The outline is open by {sizes.gap(gap_m)}.",
        "where": _where(outline, sizes),
        "is_fault": bool(offered) and gap_m < NEARLY * around_m,
        "repairs": [_repair(repair, count, sizes) for repair in offered],
        "closing": _closing(outline, sizes),
    }


def _where(outline: Outline, sizes: Sizes) -> str:
    """Say where the last wall ends against where the first began."""
    count = len(outline.walls)
    east, north = outline.gap_m
    for repair in repairs(outline):
        if repair.walls == (count - 1,):
            _, length_m = read_wall(outline.walls[-1], about=outline.about)
            is_short = read_length(repair.lengths[0]) > length_m
            ends = "stops short of" if is_short else "runs past"
            return f"Wall {count} {ends} where wall 1 began."
    steps = [(-east, "east", "west"), (-north, "north", "south")]
    off = [
        f"{sizes.gap(abs(by))} {more if by > 0 else less}"
        for by, more, less in steps
        if abs(by) > M_PER_IN / 4
    ]
    return f"Wall {count} ends {' and '.join(off)} of where wall 1 began."


def _repair(repair: Repair, count: int, sizes: Sizes) -> Figures:
    lengths = [sizes.kept(length) for length in repair.lengths]
    if repair.walls == (count - 1,):
        return {"walls": list(repair.walls), "says": f"Make it {lengths[0]}"}
    both = [
        f"wall {wall + 1} {size}" for wall, size in zip(repair.walls, lengths, strict=True)
    ]
    return {"walls": list(repair.walls), "says": f"Make {' and '.join(both)}"}


def _closing(outline: Outline, sizes: Sizes) -> str:
    """The walls that closing would add, or nothing if it cannot."""
    try:
        whole = closed(outline)
    except KitError:
        return ""
    fresh = whole.walls[len(outline.walls) :] or whole.walls[-1:]
    return ", ".join(
        f"{sizes.kept(length_of(wall))} {_wall(wall, sizes)['towards']}" for wall in fresh
    )


def _column(room: Room | Draft, number: int, sizes: Sizes) -> Figures:
    column = room.columns[number]
    outline = Outline.of(room)
    east_m, north_m = from_the_corner_m(room, column)
    sides = [side for side in (column.round, *(column.square or ())) if side]
    sides_ft = [read_length(side) / M_PER_FT for side in sides]
    return {
        "at": _feet(place_m(column.at, about="column")),
        "round": bool(column.round),
        "sizes": [sizes.kept(side) for side in sides],
        "size_ft": [round(side, 4) for side in (sides_ft * 2)[:2]],
        "from": _outermost(outline),
        "east": sizes.position(east_m, outline),
        "north": sizes.position(north_m, outline),
    }


def _outermost(outline: Outline) -> list[str]:
    """Name what a column is measured from: as a rule the west wall and the south wall.

    Where several walls lie on that side it is the outermost of them; a room that has none
    there is measured from its outermost corner.
    """
    lying = sides(outline)

    def named(side: str) -> str:
        count = lying.count(side)
        return (
            f"{side} wall" if count == 1 else f"{side}most {'wall' if count else 'corner'}"
        )

    return [named("west"), named("south")]


def _doorway(doorway: Doorway, outlines: dict[str, Outline], sizes: Sizes) -> Figures:
    first, second = doorway.between
    here, there = outlines.get(first), outlines.get(second)
    shown = _opening(doorway, here, sizes)
    walls = [wall_under(o, doorway.at) for o in (here, there) if o]
    if len(walls) == 2 and walls[0] and walls[1]:
        at = place_m(doorway.at, about="doorway")
        (e, n), (east, north) = [wall.at(wall.along(at)) for wall in walls if wall]
        shown["through"] = _feet((east - e, north - n))
    return {"between": [first, second], **shown}


def _way_out(
    site: Site, plan: FloorPlan | None, outlines: dict[str, Outline], sizes: Sizes
) -> Figures | None:
    leaving = site.way_out
    if leaving is not None:
        here = outlines.get(leaving.room)
        return {"room": leaving.room, **_opening(leaving, here, sizes)}
    if plan is None:
        return None
    likely = f"the middle of the longest outer wall of {plan.way_out.room}"
    return {"room": "", "says": f"Not marked. The pour is headed for {likely}."}


def _opening(opening: Doorway | Exit, outline: Outline | None, sizes: Sizes) -> Figures:
    wall = wall_under(outline, opening.at) if outline else None
    at = place_m(opening.at, about="opening")
    along = wall.along(at) if wall else 0.0
    ahead = wall.ahead if wall else (1.0, 0.0)
    end = "west" if abs(ahead[0]) > abs(ahead[1]) else "north"
    return {
        "at": _feet(wall.at(along) if wall else at),
        "through": [0.0, 0.0],
        "ahead": [round(part, 6) for part in ahead],
        "width_ft": round(read_length(opening.width) / M_PER_FT, 4),
        "width": sizes.kept(opening.width),
        "along": sizes.position(along, outline) if outline else "",
        "end": end,
    }


def _feet(corner: Corner) -> list[float]:
    return [round(corner[0] / M_PER_FT, 4), round(corner[1] / M_PER_FT, 4)]
