"""Lengths that must lie in a believable range."""

from __future__ import annotations

from kit.errors import SheetError
from kit.units import feet_inches, meters, read_length

Corner = tuple[float, float]
"""A place in metres east and north."""

LONGEST_WALL_M = 152.4
"""500 ft. A longer wall is a slip of the pen or of the unit."""

SHORTEST_WALL_M = 0.0127


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
            expected=f"a length from {_like(text, least_m)} to {_like(text, most_m)}",
        )
    return length_m


def _like(text: object, length_m: float) -> str:
    """Say a length in the measure in which another was written."""
    is_metric = str(text).rstrip().endswith("m")
    return meters(length_m) if is_metric else feet_inches(length_m)
