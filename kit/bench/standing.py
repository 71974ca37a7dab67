"""What stands on a plan keeps to it: doorways to their walls, columns to their rooms.

A sheet counts every place east and north from zero, so a plan that grows west or south
of it is moved as a whole.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import TypeVar

from kit.job import Job
from kit.plan.openings import REACH_M
from kit.site import Column, Doorway, Draft, Exit, Island, Room
from kit.site.outline import Outline, placed
from kit.site.places import Place, place_m
from kit.site.walls import Corner
from kit.units import M_PER_FT

_Opening = TypeVar("_Opening", Doorway, Exit)
_Measured = TypeVar("_Measured", Room, Draft)


def anchored(job: Job, name: str, before: Outline, after: Outline) -> Job:
    """Keep the openings of a room in their walls as the walls move.

    Where a wall was added or taken out there is no telling which is which; openings
    stay where they are then.
    """
    if len(before.walls) != len(after.walls) or before == after:
        return job
    site = job.site
    doorways = [_along(d, before, after) if name in d.between else d for d in site.doorways]
    leaving = site.way_out
    if leaving and leaving.room == name:
        leaving = _along(leaving, before, after)
    return job.changed(site=site.changed(doorways=doorways, way_out=leaving))


def ground_under(
    job: Job, start_m: Corner, corners_m: Iterable[Corner]
) -> tuple[Job, Corner]:
    """Move everything by whole feet if corners lie west or south of zero; the start too."""
    easts, norths = zip(*corners_m, strict=True)
    by = [math.ceil(max(-min(axis), 0.0) / M_PER_FT - 1e-9) * M_PER_FT
          for axis in (easts, norths)]  # fmt: skip
    if not any(by):
        return job, start_m
    site = job.site
    leaving = site.way_out
    moved = site.changed(
        rooms=[_room(room, *by) for room in site.rooms],
        drafts=[_room(draft, *by) for draft in site.drafts],
        doorways=[d.changed(at=_by(d.at, *by)) for d in site.doorways],
        way_out=leaving and leaving.changed(at=_by(leaving.at, *by)),
    )
    return job.changed(site=moved), (start_m[0] + by[0], start_m[1] + by[1])


def shifted_room(job: Job, room: Room | Draft, east_m: float, north_m: float) -> Job:
    """Move one room with its columns, islands and way out."""
    site = job.site
    leaving = site.way_out
    if leaving and leaving.room == room.name:
        leaving = leaving.changed(at=_by(leaving.at, east_m, north_m))
    return job.changed(
        site=site.changed(
            rooms=[_room(r, east_m, north_m) if r is room else r for r in site.rooms],
            drafts=[_room(d, east_m, north_m) if d is room else d for d in site.drafts],
            way_out=leaving,
        )
    )


def _along(opening: _Opening, before: Outline, after: Outline) -> _Opening:
    here = place_m(opening.at, about="opening")
    walls = list(zip(before.corners_m, before.corners_m[1:], strict=False))
    spans = [_nearest(here, *wall) for wall in walls]
    wall = min(range(len(walls)), key=lambda k: spans[k][1], default=None)
    if wall is None or spans[wall][1] > REACH_M:
        return opening
    foot = _between(*walls[wall], spans[wall][0])
    moved = after.corners_m[wall], after.corners_m[wall + 1]
    there = _between(*moved, _nearest(foot, *moved)[0])
    return opening.changed(at=_by(opening.at, there[0] - foot[0], there[1] - foot[1]))


def _nearest(place: Corner, a: Corner, b: Corner) -> tuple[float, float]:
    """Share of the way from `a` to `b` that is nearest to a place, and how far off. [m]"""
    along = b[0] - a[0], b[1] - a[1]
    long2 = along[0] ** 2 + along[1] ** 2
    part = (
        (place[0] - a[0]) * along[0] + (place[1] - a[1]) * along[1]
    ) / long2 if long2 else 0.0  # fmt: skip
    part = min(max(part, 0.0), 1.0)
    return part, math.dist(place, _between(a, b, part))


def _between(a: Corner, b: Corner, part: float) -> Corner:
    return a[0] + part * (b[0] - a[0]), a[1] + part * (b[1] - a[1])


def _room(room: _Measured, east_m: float, north_m: float) -> _Measured:
    fields: dict[str, object] = {"start": _by(room.start, east_m, north_m)}
    if isinstance(room, Room) and room.corners:
        fields = {"corners": [_by(corner, east_m, north_m) for corner in room.corners]}
    return room.changed(
        **fields,
        columns=[_column(column, east_m, north_m) for column in room.columns],
        islands=[_island(island, east_m, north_m) for island in room.islands],
        closets=[c.changed(at=_by(c.at, east_m, north_m)) for c in room.closets],
    )


def _column(column: Column, east_m: float, north_m: float) -> Column:
    return column.changed(at=_by(column.at, east_m, north_m))


def _island(island: Island, east_m: float, north_m: float) -> Island:
    return island.changed(corners=[_by(c, east_m, north_m) for c in island.corners])


def _by(place: Place, east_m: float, north_m: float) -> Place:
    """A place moved; a coordinate that stays keeps its words."""
    east, north = place_m(place, about="place")
    fresh = placed(east + east_m, north + north_m)
    return fresh[0] if east_m else place[0], fresh[1] if north_m else place[1]
