"""Rooms at the table, each a pure step from one Job to the next: begin, name, move.

An outline whose last wall meets the first is a room; any other is a draft. `put` turns
one into the other, and nothing that was measured is lost by it.
"""

from __future__ import annotations

from kit.bench.standing import anchored, ground_under, shifted_room
from kit.errors import SheetError
from kit.job import Job
from kit.record import filled
from kit.site import Draft, Room, Site
from kit.site.outline import Outline
from kit.site.records import MOST_ROOMS
from kit.site.walls import Corner
from kit.units import M_PER_FT

SIDES = ("east", "west", "north", "south")
WALL_M = 0.1524
"""A wall between two rooms, where nobody measured it: six inches."""
FARTHEST_FT = 5000.0
STANDS_AT_M = {"us": 100 * M_PER_FT, "metric": 30.5}
"""Where the first corner of a blank table stands: room to draw on every side of it."""


def begun(job: Job, name: str = "") -> Job:
    """Begin another room, beside those that are there, unless one waits for its walls."""
    if not name and any(not draft.walls for draft in job.site.drafts):
        return job
    if len(job.site.rooms) + len(job.site.drafts) >= MOST_ROOMS:
        raise SheetError(
            "rooms", found=f"{MOST_ROOMS} of them", expected="no more than these"
        )
    start_m = _free_place(job)
    return begun_at(job, name or free_name(job.site), start_m, ())


def named(job: Job, room: str, name: str) -> Job:
    """Call a room otherwise; doorways and the way out keep to it."""
    site = job.site
    before = found(job, room)
    fresh = filled(type(before), {**dict(before), "name": name}, where="room").name
    rooms = [r.changed(name=fresh) if r.name == room else r for r in site.rooms]
    drafts = [d.changed(name=fresh) if d.name == room else d for d in site.drafts]
    doorways = [
        d.changed(between=tuple(fresh if n == room else n for n in d.between))
        for d in site.doorways
    ]
    leaving = site.way_out
    if leaving and leaving.room == room:
        leaving = leaving.changed(room=fresh)
    return at_site(job, rooms=rooms, drafts=drafts, doorways=doorways, way_out=leaving)


def moved(job: Job, room: str, east_ft: float, north_ft: float) -> Job:
    """Move a whole room by so much, with what stands in it and its way out."""
    return _moved_m(job, room, *place_in_m(east_ft, north_ft))


def beside(job: Job, room: str, other: str, side: str) -> Job:
    """Put a room beside another, a wall's thickness away, their first edges in line."""
    if side not in SIDES:
        raise SheetError("side", found=side, expected="east, west, north or south")
    west, south, east, north = _bounds(outline_of(job, room))
    to_west, to_south, to_east, to_north = _bounds(outline_of(job, other))
    by = {
        "east": (to_east + WALL_M - west, to_north - north),
        "west": (to_west - WALL_M - east, to_north - north),
        "north": (to_west - west, to_north + WALL_M - south),
        "south": (to_west - west, to_south - WALL_M - north),
    }[side]
    return _moved_m(job, room, *by)


def without_room(job: Job, room: str) -> Job:
    """Take a room away, with its doorways and the way out if it is there."""
    found(job, room)
    site = job.site
    leaving = site.way_out
    return at_site(
        job,
        rooms=[r for r in site.rooms if r.name != room],
        drafts=[d for d in site.drafts if d.name != room],
        doorways=[d for d in site.doorways if room not in d.between],
        way_out=None if leaving and leaving.room == room else leaving,
    )


def in_order(site: Site) -> tuple[Room | Draft, ...]:
    """Rooms and drafts as they were begun."""
    listed: list[Room | Draft] = list(site.rooms)
    for draft in site.drafts:
        listed.insert(min(draft.place, len(listed)), draft)
    return tuple(listed)


def free_name(site: Site) -> str:
    """A name that no room has yet, numbered on from those that are there."""
    taken = {room.name for room in in_order(site)}
    number = len(taken) + 1
    while (name := f"Room {number}") in taken:
        number += 1
    return name


def begun_at(job: Job, name: str, start_m: Corner, walls: tuple[str, ...]) -> Job:
    """Begin a room at a place, with walls or none."""
    job, start_m = ground_under(job, start_m, [start_m])
    draft = filled(Draft, {"name": name, "place": len(in_order(job.site))}, where="room")
    job = at_site(job, drafts=[*job.site.drafts, draft])
    return put(job, draft.name, Outline(start_m, walls, f'room "{draft.name}"'))


def put(job: Job, name: str, outline: Outline) -> Job:
    """Lay an outline in the place of a room's own, as a room if it closes."""
    before = found(job, name)
    job = anchored(job, name, Outline.of(before), outline)
    job, start_m = ground_under(job, outline.start_m, outline.corners_m)
    before = found(job, name)
    outline = Outline(start_m, outline.walls, outline.about)
    given = {
        "name": name,
        "start": outline.place,
        "walls": outline.walls,
        "columns": before.columns,
        "islands": before.islands,
        "closets": before.closets,
    }
    site = job.site
    rooms = [room for room in site.rooms if room.name != name]
    drafts = [draft for draft in site.drafts if draft.name != name]
    place = [room.name for room in in_order(site)].index(name)
    if outline.is_closed:
        among = sum(1 for room in in_order(site)[:place] if isinstance(room, Room))
        rooms.insert(among, filled(Room, given, where=outline.about))
    else:
        drafts.append(filled(Draft, {**given, "place": place}, where=outline.about))
        drafts.sort(key=lambda draft: draft.place)
    return at_site(job, rooms=rooms, drafts=drafts)


def _moved_m(job: Job, room: str, east_m: float, north_m: float) -> Job:
    outline = outline_of(job, room).moved(east_m, north_m)
    job, start_m = ground_under(job, outline.start_m, outline.corners_m)
    here = found(job, room)
    east, north = Outline.of(here).start_m
    return shifted_room(job, here, start_m[0] - east, start_m[1] - north)


def found(job: Job, name: str) -> Room | Draft:
    """The room or draft of that name."""
    for room in in_order(job.site):
        if room.name == name:
            return room
    there = ", ".join(room.name for room in in_order(job.site)) or "a room to be begun"
    raise SheetError("room", found=name or "nothing", expected=there)


def outline_of(job: Job, name: str) -> Outline:
    """The walls of a room or draft."""
    return Outline.of(found(job, name))


def _bounds(outline: Outline) -> tuple[float, float, float, float]:
    easts, norths = zip(*outline.corners_m, strict=True)
    return min(easts), min(norths), max(easts), max(norths)


def _free_place(job: Job) -> Corner:
    """Beside the easternmost room, its northern edge in line."""
    measured = (Outline.of(room) for room in in_order(job.site))
    outlines = [outline for outline in measured if outline.walls]
    if not outlines:
        on_the_grid_m = STANDS_AT_M[job.paper.units]
        return on_the_grid_m, on_the_grid_m
    _, _, east, north = max((_bounds(outline) for outline in outlines), key=lambda b: b[2])
    return east + WALL_M, north


def place_in_m(east_ft: float, north_ft: float) -> Corner:
    """A place of the board, or a step on it. [m]"""
    for about, value in (("east", east_ft), ("north", north_ft)):
        if not abs(value) <= FARTHEST_FT:
            raise SheetError(
                about, found=f"{value:g} ft", expected=f"up to {FARTHEST_FT:,.0f} ft"
            )
    return east_ft * M_PER_FT, north_ft * M_PER_FT


def at_site(job: Job, **fields: object) -> Job:
    """The same job with other things at its site."""
    return job.changed(site=job.site.changed(**fields))
