"""From walls as they are walked to the corners of a room."""

from __future__ import annotations

import math
import re

from kit.errors import SheetError
from kit.site.bows import Bow, read_bow, split_bow
from kit.site.sizes import LONGEST_WALL_M, SHORTEST_WALL_M, Corner, checked_length
from kit.units import feet_inches

__all__ = [
    "CLOSES_WITHIN_M",
    "LONGEST_WALL_M",
    "SHORTEST_WALL_M",
    "Corner",
    "bow_of",
    "checked_length",
    "corners_along",
    "read_wall",
    "walked",
]

CLOSES_WITHIN_M = 0.0254
"""One inch: what a careful walk with a laser may miss by."""

_BEARINGS = {"N": 0, "NE": 45, "E": 90, "SE": 135, "S": 180, "SW": 225, "W": 270, "NW": 315}
_RUN = re.compile(
    r"\s*(?:(?P<points>[NSEW]{1,2})|(?P<degrees>\d{1,3}(?:\.\d+)?)\s*°)\s+(?P<run>.+)"
)


def read_wall(text: object, *, about: str) -> tuple[float, float]:
    r"""Read one wall run as bearing and length, of a curved one its chord's.

    In degrees from north and metres.

    Parameters
    ----------
    text : str
        A direction and a length: ``E 12' 6"``, ``NW 3.81 m``, ``037° 150 in``; then,
        of a curved wall, its bow: ``E 12' rise 2' left``, ``E 12' radius 10' right``.
        Directions are as drawn: north is up the sheet, not the compass.
    about : str
        The wall to name in the complaint.

    Raises
    ------
    SheetError
        If direction or length cannot be read, or the length is absurd.

    Examples
    --------
    >>> read_wall("E 12' 6\"", about="wall 1")
    (90.0, 3.81)
    """
    match = _RUN.fullmatch(text) if isinstance(text, str) else None
    if match is None or (match["points"] and match["points"] not in _BEARINGS):
        raise SheetError(
            about, found=text, expected='a direction and a length, such as "E 12\' 6""'
        )
    bearing = float(_BEARINGS[match["points"]] if match["points"] else match["degrees"])
    if bearing >= 360:
        raise SheetError(about, found=f"{bearing:g}°", expected="a direction below 360°")
    length, _ = split_bow(match["run"], about=about)
    return bearing, checked_length(length, about=about)


def bow_of(text: str, *, about: str) -> Bow | None:
    r"""How a wall run is curved over its chord; None for a straight one.

    >>> bow_of("E 12' rise 2' left", about="wall 1").rise_m
    0.6096

    Raises
    ------
    SheetError
        If the run or its bow cannot be read, or the bow is absurd.
    """
    _, length_m = read_wall(text, about=about)
    words = split_bow(text, about=about)[1]
    return read_bow(words, length_m, about=about) if words else None


def walked(start_m: Corner, runs: tuple[str, ...], *, about: str) -> tuple[Corner, ...]:
    """Walk the walls from `start_m` to where they close; return the corners met. [m]

    The last wall must end where the first began, within an inch; the last
    corner is then the first one exactly.

    Raises
    ------
    SheetError
        If a wall cannot be read or the walk does not close.
    """
    corners = corners_along(start_m, runs, about=about)
    gap_m = math.dist(corners[0], corners[-1])
    if gap_m > CLOSES_WITHIN_M:
        raise SheetError(
            f"{about}, walls",
            found=f"an outline open by {feet_inches(gap_m)} after wall {len(runs)}",
            expected="the last wall to end where the first began",
        )
    return corners[:-1]


def corners_along(
    start_m: Corner, runs: tuple[str, ...], *, about: str
) -> tuple[Corner, ...]:
    """Walk walls that need not close: the start and the end of every wall. [m]

    Raises
    ------
    SheetError
        If a wall cannot be read.
    """
    corners = [start_m]
    for number, run in enumerate(runs, start=1):
        bearing, length_m = read_wall(run, about=f"{about}, wall {number}")
        east, north = corners[-1]
        angle = math.radians(bearing)
        corners.append(
            (east + length_m * math.sin(angle), north + length_m * math.cos(angle))
        )
    return tuple(corners)
