"""Walls as they are drawn and typed at the table, each a pure step to the next Job."""

from __future__ import annotations

import math
from itertools import pairwise

from kit.bench.rooms import begun, begun_at, free_name, outline_of, place_in_m, put
from kit.bench.sizes import Sizes
from kit.errors import SheetError
from kit.job import Job
from kit.plan.closing import closed, repaired, repairs
from kit.site.lengths import written_length
from kit.site.outline import Outline, bow_words, length_of, wall_text, walls_through
from kit.site.walls import Corner, checked_length, read_wall

AT_THE_END = -1


def drawn(
    job: Job, room: str, from_east_ft: float, from_north_ft: float, east_ft: float,
    north_ft: float,
) -> Job:  # fmt: skip
    """Draw one wall: the next of a draft, or the first of a room that it begins."""
    begins, ends = place_in_m(from_east_ft, from_north_ft), place_in_m(east_ft, north_ft)
    draft = next((d for d in job.site.drafts if d.name == room), None)
    if draft is None:
        return begun_at(job, free_name(job.site), begins, walls_through([begins, ends]))
    outline = Outline.of(draft)
    if not draft.walls:
        return put(job, room, Outline(begins, walls_through([begins, ends]), outline.about))
    walls = walls_through([outline.corners_m[-1], ends])
    return put(job, room, _with_walls(outline, (*outline.walls, *walls)))


def with_wall(job: Job, room: str, after: int, bearing: float, length: str) -> Job:
    """Add a wall as it is typed, after so many others, or at the end where that is -1.

    Without a room it begins one.
    """
    job, room = _begun(job, room)
    outline = outline_of(job, room)
    after = len(outline.walls) if after == AT_THE_END else after
    if not 0 <= after <= len(outline.walls):
        raise SheetError("wall", found=after + 1, expected=f"1 to {len(outline.walls) + 1}")
    wall = _typed_wall(Sizes.of(job), outline.about, after, bearing, length)
    walls = (*outline.walls[:after], wall, *outline.walls[after:])
    return put(job, room, _with_walls(outline, walls))


def with_length(job: Job, room: str, wall: int, length: str) -> Job:
    """Measure one wall anew; the others stay as they were measured."""
    outline = outline_of(job, room)
    bearing, _ = _wall(outline, wall)
    return _with_wall_as(job, room, wall, bearing, length)


def with_bearing(job: Job, room: str, wall: int, bearing: float) -> Job:
    """Let one wall run in another direction."""
    outline = outline_of(job, room)
    _wall(outline, wall)
    return _with_wall_as(job, room, wall, bearing, length_of(outline.walls[wall]))


def without_wall(job: Job, room: str, wall: int) -> Job:
    """Take one wall out; the outline is open then, unless it still closes."""
    outline = outline_of(job, room)
    _wall(outline, wall)
    walls = (*outline.walls[:wall], *outline.walls[wall + 1 :])
    return put(job, room, _with_walls(outline, walls))


def closed_up(job: Job, room: str) -> Job:
    """Add the walls that are missing."""
    return put(job, room, closed(outline_of(job, room)))


def mended(job: Job, room: str, repair: int) -> Job:
    """Close an outline by one of the repairs that it offers."""
    outline = outline_of(job, room)
    offered = repairs(outline)
    if not 0 <= repair < len(offered):
        raise SheetError("repair", found=repair + 1, expected=f"1 to {len(offered)}")
    return put(job, room, repaired(outline, offered[repair]))


def rectangle(job: Job, room: str, wide: str, deep: str) -> Job:
    """Give a room without walls four of them; without a room it begins one."""
    job, room = _begun(job, room)
    outline = outline_of(job, room)
    if outline.walls:
        raise SheetError(outline.about, found="walls", expected="a room without any yet")
    sizes = Sizes.of(job)
    across = sizes.typed(wide, about="across")
    along = sizes.typed(deep, about="deep")
    for text, about in ((across, "across"), (along, "deep")):
        checked_length(text, about=about)
    sides = ((90.0, across), (180.0, along), (270.0, across), (0.0, along))
    walls = tuple(wall_text(bearing, length) for bearing, length in sides)
    return put(job, room, _with_walls(outline, walls))


def with_corner(job: Job, room: str, corner: int, east_ft: float, north_ft: float) -> Job:
    """Drag one corner; the two walls that meet there follow."""
    return _with_moved(job, room, (corner,), place_in_m(east_ft, north_ft))


def with_wall_shifted(job: Job, room: str, wall: int, by_ft: float) -> Job:
    """Drag a wall to its right, as one walks it; its neighbors follow."""
    outline = outline_of(job, room)
    bearing, _ = _wall(outline, wall)
    right = math.radians(bearing + 90.0)
    east_m, north_m = place_in_m(by_ft * math.sin(right), by_ft * math.cos(right))
    corner_m = outline.corners_m[wall]
    to_m = corner_m[0] + east_m, corner_m[1] + north_m
    return _with_moved(job, room, (wall, wall + 1), to_m)


def _begun(job: Job, room: str) -> tuple[Job, str]:
    """The room that is meant where none is named: the last one open, else a new one.

    Who types ahead of the screen cannot know yet what the room just begun is called.
    """
    if room or job.site.drafts:
        return job, room or job.site.drafts[-1].name
    name = free_name(job.site)
    return begun(job, name), name


def _with_wall_as(job: Job, room: str, wall: int, bearing: float, length: str) -> Job:
    outline = outline_of(job, room)
    walls = list(outline.walls)
    typed = _typed_wall(Sizes.of(job), outline.about, wall, bearing, length)
    walls[wall] = f"{typed} {bow_words(walls[wall])}".rstrip()
    return put(job, room, _with_walls(outline, tuple(walls)))


def _typed_wall(sizes: Sizes, about: str, wall: int, bearing: float, length: str) -> str:
    about = f"{about}, wall {wall + 1}"
    if not math.isfinite(bearing):
        raise SheetError(about, found=bearing, expected="a direction in degrees")
    text = sizes.typed(length, about=about)
    checked_length(text, about=about)
    return wall_text(bearing, text)


def _with_moved(job: Job, room: str, corners: tuple[int, ...], to_m: Corner) -> Job:
    """Move corners together, the first of them to a place."""
    outline = outline_of(job, room)
    count = len(outline.walls)
    places = list(outline.corners_m)
    if not all(0 <= corner <= count for corner in corners):
        raise SheetError("corner", found=corners[0] + 1, expected=f"1 to {count + 1}")
    by = to_m[0] - places[corners[0]][0], to_m[1] - places[corners[0]][1]
    if outline.is_closed:
        places[count] = places[0]
        together = {corner % count for corner in corners}
        together |= {count} if 0 in together else set()
    else:
        together = set(corners)
    for corner in together:
        east, north = places[corner]
        places[corner] = east + by[0], north + by[1]
    for wall, (a, b) in enumerate(pairwise(places), start=1):
        checked_length(
            written_length(math.dist(a, b)), about=f"{outline.about}, wall {wall}"
        )
    return put(job, room, outline.with_corners(places))


def _with_walls(outline: Outline, walls: tuple[str, ...]) -> Outline:
    return Outline(outline.start_m, walls, outline.about)


def _wall(outline: Outline, wall: int) -> tuple[float, float]:
    if not 0 <= wall < len(outline.walls):
        raise SheetError("wall", found=wall + 1, expected=f"1 to {len(outline.walls)}")
    return read_wall(outline.walls[wall], about=f"{outline.about}, wall {wall + 1}")
