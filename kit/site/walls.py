"""From walls as they are walked to the corners of a room."""

from __future__ import annotations

import math
import re

from kit.errors import SheetError
from kit.units import feet_inches, read_length

Corner = tuple[float, float]

LONGEST_WALL_M = 152.4
"""500 ft. A longer wall is a slip of the pen or of the unit."""

SHORTEST_WALL_M = 0.0127
CLOSES_WITHIN_M = 0.0254
"""One inch: what a careful walk with a laser may miss by."""

_BEARINGS = {"N": 0, "NE": 45, "E": 90, "SE": 135, "S": 180, "SW": 225, "W": 270, "NW": 315}
_RUN = re.compile(
    r"\s*(?:(?P<points>[NSEW]{1,2})|(?P<degrees>\d{1,3}(?:\.\d+)?)\s*°)\s+(?P<run>.+)"
)


def read_wall(text: object, *, about: str) -> tuple[float, float]:
    r"""Read one wall run as bearing and length. [degrees from north, m]

    Parameters
    ----------
    text : str
        A direction and a length: ``E 12' 6"``, ``NW 3.81 m``, ``037° 150 in``.
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
    return bearing, checked_length(match["run"], about=about)


def checked_length(
    text: object,
    *,
    about: str,
    least_m: float = SHORTEST_WALL_M,
    most_m: float = LONGEST_WALL_M,
) -> float:
    """Read a length that must lie in a believable range. [m]"""
    length_m = read_length(text, about=about)
    if not least_m <= length_m <= most_m:
        raise SheetError(
            about,
            found=text,
            expected=f"a length from {feet_inches(least_m)} to {feet_inches(most_m)}",
        )
    return length_m


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
