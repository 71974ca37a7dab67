"""How wide a doorway is, written in its opening on a plan, or beside it."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence

from shapely import LineString, Polygon, affinity, box
from shapely.geometry.base import BaseGeometry

from kit.plan.floor import Threshold
from kit.press.dimensions import SIZE_PT, Room, turn_along
from kit.press.faces import width_pt
from kit.press.page import Label, Point

HIGH_PT = 8.0
CLEAR_PT = 1.0
"""Between the words and what stands beside them."""


def doorway_widths(
    doorways: Sequence[Threshold],
    laid: Callable[[BaseGeometry], BaseGeometry],
    floor: BaseGeometry,
    room: Room,
    written: Callable[[float], str],
) -> list[Label]:
    """Write the width of every doorway that has room for it.

    Parameters
    ----------
    doorways : sequence of Threshold
    laid : callable
        Lays a shape in metres on the drawing. [pt, y up]
    floor : BaseGeometry
        All that is poured, doorways too, on the drawing. [pt, y up]
    room : Room
        What is taken up there already; the widths are added to it.
    written : callable
        Words for a length in metres.
    """
    free = floor.buffer(0.1)
    labels = []
    for doorway in doorways:
        here, there = (LineString(laid(face)) for face in doorway.opening)
        words = written(doorway.width_m)
        for at, turn in _places(here, there, width_pt(words, SIZE_PT)):
            spot = _spot(at, turn, width_pt(words, SIZE_PT) + 2 * CLEAR_PT)
            if free.contains(spot) and not room.is_taken(spot):
                room.taken.append(spot)
                labels.append(Label(at, words, "opening", turn))
                break
    return labels


def _places(
    here: LineString, there: LineString, wide_pt: float
) -> Iterator[tuple[Point, float]]:
    """Middles and turns, the best first: in the opening, through it, on either side."""
    (ax, ay), (bx, by) = here.coords[0], here.coords[-1]
    ux, uy = (bx - ax) / here.length, (by - ay) / here.length
    (hx, hy), (tx, ty) = ((face.centroid.x, face.centroid.y) for face in (here, there))
    middle = (hx + tx) / 2, (hy + ty) / 2
    along, through = turn_along((ux, uy)), turn_along((-uy, ux))
    if wide_pt + 2 * CLEAR_PT <= here.length:
        yield middle, along
    yield middle, through
    aside = math.dist((hx, hy), (tx, ty)) / 2 + HIGH_PT / 2 + CLEAR_PT
    for side in (1, -1):
        yield (middle[0] - side * aside * uy, middle[1] + side * aside * ux), along


def _spot(at: Point, turn: float, wide_pt: float) -> Polygon:
    """What words cover there."""
    x, y = at
    flat = box(x - wide_pt / 2, y - HIGH_PT / 2, x + wide_pt / 2, y + HIGH_PT / 2)
    return affinity.rotate(flat, -turn, origin=at)
