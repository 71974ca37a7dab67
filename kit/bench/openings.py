"""Doorways and the way out at the table, each a pure step to the next Job."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import combinations

from kit.bench.outside import outer_walls
from kit.bench.positions import step_m
from kit.bench.rooms import at_site, found, in_order, outline_of, place_in_m
from kit.bench.sizes import Sizes
from kit.bench.stretches import LEAST_M, Stretch, facing, walls_of
from kit.errors import SheetError
from kit.job import Job
from kit.plan.openings import LIKELY_M, REACH_M
from kit.site import Doorway, Exit
from kit.site.lengths import written_length
from kit.site.outline import Outline, placed
from kit.site.places import Place, place_m
from kit.site.walls import checked_length
from kit.units import read_length


def doorway_at(job: Job, east_ft: float, north_ft: float) -> Job:
    """Put a doorway where a wall between two rooms was touched."""
    place = place_in_m(east_ft, north_ft)
    near = [
        (stretch.off(place), first, second, stretch)
        for first, second, stretch in _shared_walls(job)
        if stretch.off(place) <= REACH_M
    ]
    if not near:
        raise SheetError(
            "doorway",
            found="no wall here that two rooms share",
            expected="two rooms side by side; a door to the outside is a way out",
        )
    _, first, second, stretch = min(near, key=lambda n: n[0])
    return _with_doorway(job, first, second, stretch, stretch.along(place))


def doorway_between(job: Job, first: str, second: str) -> Job:
    """Put a doorway in the middle of the longest wall that two rooms share.

    Rooms that have one are left as they are: this was asked for by two that have none.
    """
    for name in (first, second):
        found(job, name)
    if any({first, second} == set(there.between) for there in job.site.doorways):
        return job
    shared = [
        (one, other, stretch)
        for one, other, stretch in _shared_walls(job)
        if {one, other} == {first, second}
    ]
    sizes = Sizes.of(job)
    if not shared:
        raise SheetError(
            f'doorway between "{first}" and "{second}"',
            found="no wall that they share",
            expected=f"two rooms side by side, at most {sizes.length(REACH_M)} apart",
        )
    one, other, stretch = max(shared, key=lambda s: s[2].length_m)
    return _with_doorway(job, one, other, stretch, stretch.length_m / 2)


def doorway_wide(job: Job, doorway: int, width: str) -> Job:
    """Measure the width of a doorway."""
    here = _doorway(job, doorway)
    return _with_changed(job, doorway, here.changed(width=_width(job, width, here.about)))


def doorway_along(job: Job, doorway: int, along: str) -> Job:
    """Measure where the middle of a doorway lies along the wall of its first room."""
    here = _doorway(job, doorway)
    at = _along(job, here.between[0], here.at, along, here.about)
    return _with_changed(job, doorway, here.changed(at=at))


def without_doorway(job: Job, doorway: int) -> Job:
    """Wall a doorway up."""
    _doorway(job, doorway)
    kept = [d for n, d in enumerate(job.site.doorways) if n != doorway]
    return at_site(job, doorways=kept)


def way_out_at(job: Job, east_ft: float, north_ft: float) -> Job:
    """Mark the way out where a wall was touched."""
    place = place_in_m(east_ft, north_ft)
    near = [
        (wall.off(place), room.name, wall)
        for room in in_order(job.site)
        for wall in walls_of(Outline.of(room))
        if wall.off(place) <= REACH_M
    ]
    if not near:
        raise SheetError(
            "way out", found="no wall here", expected="a place on an outer wall"
        )
    _, room, wall = min(near, key=lambda n: n[0])
    return _with_way_out(job, room, wall, wall.along(place))


def way_out_in(job: Job, room: str, wall: int) -> Job:
    """Mark the way out in the middle of a wall, of what leads outside of it."""
    walls = walls_of(outline_of(job, room))
    if not 0 <= wall < len(walls):
        raise SheetError("wall", found=wall + 1, expected=f"1 to {len(walls)}")
    outside = {(one.room, one.number): one.stretch for one in outer_walls(job)}
    stretch = outside.get((room, wall), walls[wall])
    return _with_way_out(job, room, stretch, stretch.length_m / 2)


def way_out_wide(job: Job, width: str) -> Job:
    """Measure the width of the way out."""
    leaving = _way_out(job)
    return at_site(job, way_out=leaving.changed(width=_width(job, width, "way out")))


def way_out_along(job: Job, along: str) -> Job:
    """Measure where the middle of the way out lies along its wall."""
    leaving = _way_out(job)
    at = _along(job, leaving.room, leaving.at, along, "way out")
    return at_site(job, way_out=leaving.changed(at=at))


def without_way_out(job: Job) -> Job:
    """Take the mark of the way out off."""
    return at_site(job, way_out=None)


def wall_under(outline: Outline, at: Place) -> Stretch | None:
    """The wall of a room that an opening is in, from its western or northern end."""
    place = place_m(at, about="opening")
    walls = walls_of(outline)
    wall = min(walls, key=lambda w: w.off(place), default=None)
    if wall is None or wall.off(place) > REACH_M:
        return None
    east, north = wall.ahead
    if (east if abs(east) > abs(north) else -north) > 0:
        return wall
    return Stretch(wall.at(wall.length_m), (-east, -north), wall.length_m)


def shared(job: Job) -> tuple[tuple[str, str], ...]:
    """Pairs of rooms that share a wall and have no doorway in it yet."""
    joined = {frozenset(doorway.between) for doorway in job.site.doorways}
    pairs = dict.fromkeys((first, second) for first, second, _ in _shared_walls(job))
    return tuple(pair for pair in pairs if frozenset(pair) not in joined)


def _shared_walls(job: Job) -> Iterator[tuple[str, str, Stretch]]:
    """Two rooms and the stretch of the first one's wall that faces the other."""
    for one, other in combinations(in_order(job.site), 2):
        for wall in walls_of(Outline.of(one)):
            for beyond in walls_of(Outline.of(other)):
                if stretch := facing(wall, beyond):
                    yield one.name, other.name, stretch


def _with_doorway(
    job: Job, first: str, second: str, stretch: Stretch, along_m: float
) -> Job:
    at, width = _cut(outline_of(job, first), stretch, along_m)
    doorway = Doorway(between=(first, second), at=at, width=width)
    return at_site(job, doorways=[*job.site.doorways, doorway])


def _with_way_out(job: Job, room: str, wall: Stretch, along_m: float) -> Job:
    at, width = _cut(outline_of(job, room), wall, along_m)
    if job.site.way_out:
        width = job.site.way_out.width
    return at_site(job, way_out=Exit(room=room, at=at, width=width))


def _cut(outline: Outline, wall: Stretch, along_m: float) -> tuple[Place, str]:
    """An opening of the usual width, wholly in a wall, as near a place as that allows.

    Its middle is whole steps of the tape from the end that it is measured from.
    """
    width_m = min(LIKELY_M, wall.length_m)
    least_m, most_m = width_m / 2, wall.length_m - width_m / 2
    middle = wall.at(min(max(along_m, least_m), most_m))
    if whole := wall_under(outline, placed(*middle)):
        steps = whole.along(middle) / step_m(outline)
        for count in (round(steps), math.floor(steps), math.ceil(steps)):
            tried = whole.at(count * step_m(outline))
            if least_m <= wall.along(tried) <= most_m:
                middle = tried
                break
    return placed(*middle), written_length(width_m)


def _width(job: Job, width: str, about: str) -> str:
    about = f"{about}, width"
    text = Sizes.of(job).typed(width, about=about)
    checked_length(text, about=about, least_m=LEAST_M, most_m=15.0)
    return text


def _along(job: Job, room: str, at: Place, along: str, about: str) -> Place:
    about = f"{about}, along the wall"
    wall = wall_under(outline_of(job, room), at)
    text = Sizes.of(job).typed(along, about=about)
    along_m = read_length(text)
    if wall is None or along_m > wall.length_m:
        most = Sizes.of(job).length(wall.length_m) if wall else "a wall"
        raise SheetError(about, found=along, expected=f"a length within {most}")
    return placed(*wall.at(along_m))


def _doorway(job: Job, doorway: int) -> Doorway:
    doorways = job.site.doorways
    if not 0 <= doorway < len(doorways):
        raise SheetError("doorway", found=doorway + 1, expected=f"1 to {len(doorways)}")
    return doorways[doorway]


def _way_out(job: Job) -> Exit:
    if job.site.way_out is None:
        raise SheetError("way out", found="none", expected="it to be marked first")
    return job.site.way_out


def _with_changed(job: Job, place: int, doorway: Doorway) -> Job:
    doorways = list(job.site.doorways)
    doorways[place] = doorway
    return at_site(job, doorways=doorways)
