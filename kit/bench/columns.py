"""Columns and what else is poured around, each a pure step to the next Job."""

from __future__ import annotations

from kit.bench.positions import stepped
from kit.bench.rooms import at_site, found, place_in_m
from kit.bench.sizes import Sizes
from kit.errors import SheetError
from kit.job import Job
from kit.site import Column, Draft, Room
from kit.site.outline import Outline, placed
from kit.site.places import place_m
from kit.site.walls import checked_length
from kit.units import read_length

USUAL = "12 in"
WIDEST_M = 30.0


def column_at(job: Job, room: str, east_ft: float, north_ft: float) -> Job:
    """Stand a round column of the usual size where the floor was touched."""
    return _with_column(job, room, *place_in_m(east_ft, north_ft))


def column_in(job: Job, room: str) -> Job:
    """Stand a round column of the usual size in the middle of a room."""
    west, south, east, north = bounds_m(found(job, room))
    return _with_column(job, room, (west + east) / 2, (south + north) / 2)


def column_sized(job: Job, room: str, column: int, across: str, deep: str) -> Job:
    """Measure a column: one length if it is round, two if it is square."""
    here = _column(job, room, column)
    about = f'room "{room}", column {column + 1}'
    sizes = []
    for name, text in (("across", across), ("deep", deep)):
        if name == "deep" and not text.strip():
            continue
        length = Sizes.of(job).typed(text, about=f"{about}, {name}")
        checked_length(length, about=f"{about}, {name}", most_m=WIDEST_M)
        sizes.append(length)
    shape: dict[str, object] = {"round": None, "square": None}
    shape["round" if len(sizes) == 1 else "square"] = sizes[0] if len(sizes) == 1 else sizes
    return _changed(job, room, column, here.changed(**shape))


def column_placed(job: Job, room: str, column: int, east: str, north: str) -> Job:
    """Measure where the middle of a column is, from the west and the south of its room."""
    here = _column(job, room, column)
    about = f'room "{room}", column {column + 1}'
    west_m, south_m, _, _ = bounds_m(found(job, room))
    east_m, north_m = (
        read_length(Sizes.of(job).typed(text, about=f"{about}, from the {side}"))
        for text, side in ((east, "west"), (north, "south"))
    )
    at = placed(west_m + east_m, south_m + north_m)
    return _changed(job, room, column, here.changed(at=at))


def without_column(job: Job, room: str, column: int) -> Job:
    """Take a column away."""
    _column(job, room, column)
    kept = [c for n, c in enumerate(found(job, room).columns) if n != column]
    return _with(job, room, kept)


def from_the_corner_m(room: Room | Draft, column: Column) -> tuple[float, float]:
    """How far a column stands from the west and the south of its room. [m]"""
    west, south, _, _ = bounds_m(room)
    east, north = place_m(column.at, about="column")
    return east - west, north - south


def bounds_m(room: Room | Draft) -> tuple[float, float, float, float]:
    """West, south, east, north of what is walked of a room. [m]"""
    easts, norths = zip(*Outline.of(room).corners_m, strict=True)
    return min(easts), min(norths), max(easts), max(norths)


def _with_column(job: Job, room: str, east_m: float, north_m: float) -> Job:
    """Stand one there, whole steps of the tape from the west and the south."""
    here = found(job, room)
    west, south, _, _ = bounds_m(here)
    outline = Outline.of(here)
    at = placed(
        west + stepped(east_m - west, outline), south + stepped(north_m - south, outline)
    )
    return _with(job, room, [*here.columns, Column(at=at, round=USUAL)])


def _column(job: Job, room: str, column: int) -> Column:
    columns = found(job, room).columns
    if not 0 <= column < len(columns):
        raise SheetError("column", found=column + 1, expected=f"1 to {len(columns)}")
    return columns[column]


def _changed(job: Job, room: str, place: int, column: Column) -> Job:
    columns = list(found(job, room).columns)
    columns[place] = column
    return _with(job, room, columns)


def _with(job: Job, room: str, columns: list[Column]) -> Job:
    site = job.site
    return at_site(
        job,
        rooms=[r.changed(columns=columns) if r.name == room else r for r in site.rooms],
        drafts=[d.changed(columns=columns) if d.name == room else d for d in site.drafts],
    )
