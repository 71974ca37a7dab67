"""From outlines in metres to rooms as a measure sheet has them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from kit.errors import SheetError
from kit.plan.drawn.rings import Ring
from kit.record import filled
from kit.site import Room
from kit.site.lengths import written_length
from kit.site.sizes import Corner
from kit.units import read_length

FARTHEST_M = 1000.0
"""A plan that lies farther from its zero was drawn on a map, and is moved to it."""
MOST_CORNERS = 400
MOST_ISLAND_CORNERS = 200


def traced(
    outlines: Sequence[tuple[Ring, list[Ring]]],
) -> tuple[tuple[Room, ...], Corner]:
    """Make rooms of outlines and of what stands in each; say by how far all was moved.

    Raises
    ------
    SheetError
        If an outline has more corners than a room may have, or a room cannot be named
        after its layer.
    """
    corners = [c for room, within in outlines for ring in (room, *within)
               for c in _places(ring)]  # fmt: skip
    by_m = _shift([c[0] for c in corners]), _shift([c[1] for c in corners])
    rooms: list[Room] = []
    counts: dict[str, int] = {}
    for ring, within in outlines:
        counts[ring.layer] = counts.get(ring.layer, 0) + 1
        number = counts[ring.layer]
        name = ring.layer if number == 1 else f"{ring.layer} {number}"
        rooms.append(_room(name, ring, within, by_m))
    return tuple(rooms), by_m


def _places(ring: Ring) -> tuple[Corner, ...]:
    return (ring.circle[:2],) if ring.circle else ring.corners_m


def _shift(along: list[float]) -> float:
    """How far to move one axis: by whole metres, and only if it must be."""
    low, high = min(along), max(along)
    if low >= 0.0 and high <= FARTHEST_M:
        return 0.0
    return -float(math.floor(low + 1e-9))


def _room(name: str, ring: Ring, within: list[Ring], by_m: Corner) -> Room:
    _check_count(ring, len(ring.corners_m), MOST_CORNERS)
    columns = [r for r in within if r.circle]
    islands = [r for r in within if not r.circle]
    given: dict[str, Any] = {
        "name": name,
        "corners": [_place(corner, by_m) for corner in ring.corners_m],
        "curve": [
            {
                "wall": number,
                "rise": _written(abs(rise_m)),
                "side": "left" if rise_m > 0.0 else "right",
            }
            for number, rise_m in enumerate(ring.rises_m(), start=1)
            if rise_m
        ],
        "column": [
            {"at": _place(r.circle[:2], by_m), "round": _written(2.0 * r.circle[2])}
            for r in columns
            if r.circle
        ],
        "island": [
            {"name": f"Island {number}", "corners": _island(r, by_m)}
            for number, r in enumerate(islands, start=1)
        ],
    }
    return filled(Room, given, where=f'room "{name}"')


def _island(ring: Ring, by_m: Corner) -> list[tuple[str, str]]:
    stepped = ring.stepped_m()
    _check_count(ring, len(stepped), MOST_ISLAND_CORNERS)
    return [_place(corner, by_m) for corner in stepped]


def _check_count(ring: Ring, count: int, most: int) -> None:
    if count > most:
        raise SheetError(
            f"{ring.about}, outline",
            found=f"{count} corners",
            expected=f"at most {most}; draw curves as arcs",
        )


def _place(corner: Corner, by_m: Corner) -> tuple[str, str]:
    # -0.0 and a hair below zero are zero
    east, north = (max(c + by, 0.0) for c, by in zip(corner, by_m, strict=True))
    return _written(east), _written(north)


def _written(length_m: float) -> str:
    """A length as it is written once it was read back: a second time it is the same."""
    return written_length(read_length(written_length(length_m)))
