"""Joining the rooms of a site into the one surface that is poured."""

from __future__ import annotations

from itertools import combinations

from shapely import Polygon, union_all

from kit.errors import SheetError
from kit.plan.floor import FloorPlan, PlannedRoom, Threshold
from kit.plan.openings import likely_way_out, threshold, way_out
from kit.plan.rooms import planned
from kit.site import Site
from kit.units import square_feet

_OVERLAP_M2 = 1e-4


class UnfinishedError(SheetError):
    """A site that makes sense as far as it goes, but is not measured to its end."""


def lay_out(site: Site) -> FloorPlan:
    """Lay out what is poured: every room, joined through its doorways.

    Raises
    ------
    UnfinishedError
        If there is no room yet, one that a doorway names is open, or one has no
        doorway yet that leads to the way out.
    SheetError
        If a room, column, doorway or the way out makes no sense where it is,
        or two rooms lie over each other.
    """
    rooms = {room.name: planned(room) for room in site.rooms}
    for first, second in combinations(rooms.values(), 2):
        _check_apart(first, second)
    _check_closed(site)
    thresholds = tuple(threshold(doorway, rooms) for doorway in site.doorways)
    leaving = way_out(site.way_out, rooms) if site.way_out else likely_way_out(rooms)
    _check_reached(leaving.room, rooms, thresholds)
    gaps = [t.poured for t in thresholds if t.poured is not None]
    surface = union_all([*(room.poured for room in rooms.values()), *gaps], grid_size=1e-6)
    if not isinstance(surface, Polygon):
        raise SheetError(
            "doorways",
            found="rooms that do not touch where they join",
            expected="one surface",
        )
    return FloorPlan(
        tuple(rooms.values()), thresholds, leaving, surface, site.slab.below_grade
    )


def _check_apart(first: PlannedRoom, second: PlannedRoom) -> None:
    shared_m2 = first.outline.intersection(second.outline).area
    if shared_m2 > _OVERLAP_M2:
        raise SheetError(
            f'rooms "{first.name}" and "{second.name}"',
            found=f"{square_feet(shared_m2):.2f} sq ft that belong to both",
            expected="rooms that do not lie over each other",
        )


def _check_closed(site: Site) -> None:
    if not site.rooms:
        raise UnfinishedError(
            "rooms", found="none whose walls close", expected="one at least"
        )
    needed = {name for doorway in site.doorways for name in doorway.between}
    if site.way_out:
        needed.add(site.way_out.room)
    for draft in site.drafts:
        if draft.name in needed:
            raise UnfinishedError(
                f'room "{draft.name}"', found="an open outline", expected="walls that close"
            )


def _check_reached(
    start: str, rooms: dict[str, PlannedRoom], thresholds: tuple[Threshold, ...]
) -> None:
    reached, waiting = {start}, [start]
    while waiting:
        here = waiting.pop()
        for doorway in thresholds:
            if here in doorway.rooms:
                fresh = set(doorway.rooms) - reached
                reached |= fresh
                waiting += fresh
    for name in rooms:
        if name not in reached:
            raise UnfinishedError(
                f'room "{name}"',
                found="no doorway that leads to the way out",
                expected="a [[doorway]] to a room that has one",
            )
