"""How large a column is, written beside it on a plan where there is room."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from shapely import box
from shapely.geometry.base import BaseGeometry

from kit.plan.floor import PlannedRoom
from kit.plan.parts import Solid
from kit.press.dimensions import SIZE_PT, Room
from kit.press.faces import width_pt
from kit.press.page import Label, Point

HIGH_PT = 9.0
GAP_PT = 2.5
"""Between a column and its size."""
_SQUARE = 5
"""Places in a ring of four corners."""


def column_sizes(
    rooms: Sequence[PlannedRoom],
    laid: Callable[[BaseGeometry], BaseGeometry],
    room: Room,
    written: Callable[[float], str],
) -> list[Label]:
    """Write the size of every column that has room for it right, left, over or under it.

    Parameters
    ----------
    rooms : sequence of PlannedRoom
    laid : callable
        Lays a shape in metres on the drawing. [pt, y up]
    room : Room
        What is taken up there already; the sizes are added to it.
    written : callable
        Words for a length in metres.
    """
    labels = []
    for number, one in enumerate(rooms):
        for solid in one.solids:
            if not solid.name.startswith("column"):
                continue
            words = size_words(solid, written)
            place = _beside(laid(solid.shape), words, number, room)
            if place is not None:
                labels.append(Label(place, words, "column"))
    return labels


def size_words(column: Solid, written: Callable[[float], str]) -> str:
    """Say how wide a round column is across, and a square one both ways."""
    if len(column.shape.exterior.coords) != _SQUARE:
        return written(column.girth_m / math.pi)
    west, south, east, north = column.shape.bounds
    return f"{written(east - west)} × {written(north - south)}"


def _beside(column: BaseGeometry, words: str, number: int, room: Room) -> Point | None:
    """Middle of the words, where they stand in the room on nothing and in no line."""
    west, south, east, north = column.bounds
    x, y = (west + east) / 2, (south + north) / 2
    wide = width_pt(words, SIZE_PT)
    aside, over = GAP_PT + wide / 2, GAP_PT + HIGH_PT / 2
    for at in ((east + aside, y), (west - aside, y), (x, south - over), (x, north + over)):
        half = wide / 2 + 1
        spot = box(at[0] - half, at[1] - HIGH_PT / 2, at[0] + half, at[1] + HIGH_PT / 2)
        if (
            room.poured[number].contains(spot)
            and not room.is_taken(spot)
            and not any(spot.distance(line) < 1.0 for line in room.lines)
        ):
            room.taken.append(spot)
            return at
    return None
