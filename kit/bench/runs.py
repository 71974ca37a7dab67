"""Walls typed in one go, as they are read off a laser: a run of them, or a rectangle."""

from __future__ import annotations

import re

from kit.bench.measuring import AT_THE_END, rectangle, with_wall
from kit.bench.rooms import begun, found, free_name
from kit.errors import SheetError
from kit.job import Job

MOST_WALLS = 60
_POINTS = {"n": 0, "ne": 45, "e": 90, "se": 135, "s": 180, "sw": 225, "w": 270, "nw": 315}
_SIDES = re.compile(r"\s*(?:[x×]|\bby\b)\s*", re.IGNORECASE)
_BETWEEN = re.compile(r"\s*;\s*|,\s+|\n")
_PART = re.compile(
    r"(?:(?P<point>ne|nw|se|sw|n|e|s|w)\s*(?=[\d.]))?(?P<length>.*?)"
    r"(?:\s+(?P<turn>r|l|right|left))?",
    re.IGNORECASE,
)


def with_run(job: Job, room: str, after: int, bearing: float, text: str) -> Job:
    """Add what was typed in one go, whole or not at all.

    ``24 6, 18, 24 6, 18`` are four walls, each of which turns right where the one before
    ends, or left after ``9 left``; ``w 12`` runs west. ``20 6 x 15`` is a rectangle, east
    to west by north to south.

    Parameters
    ----------
    job : Job
    room : str
        None named is the last one open, else a new one.
    after : int
        After so many walls, or at the end where that is -1.
    bearing : float
        Of the first wall, where its text names no direction. [degrees from north]
    text : str

    Raises
    ------
    SheetError
        If a part of it is no length, or the room has walls where a rectangle is typed.
    """
    if not room and not job.site.drafts:
        room = free_name(job.site)
        job = begun(job, room)
    room = room or job.site.drafts[-1].name
    sides = _SIDES.split(text.strip())
    if len(sides) == 2:
        return rectangle(job, room, *sides)
    parts = [part for part in _BETWEEN.split(text.strip()) if part]
    if not 0 < len(parts) <= MOST_WALLS:
        raise SheetError(
            f'walls of "{room}"', found=f"{len(parts)}", expected=f"1 to {MOST_WALLS}"
        )
    for part in parts:
        match = _PART.fullmatch(part)
        point, length, turn = match.groups() if match else (None, part, None)
        bearing = float(_POINTS[point.lower()]) if point else bearing
        job = with_wall(job, room, after, bearing, length)
        after += after != AT_THE_END
        bearing = (bearing + (-90.0 if turn and turn[0] in "lL" else 90.0)) % 360.0
    found(job, room)
    return job
