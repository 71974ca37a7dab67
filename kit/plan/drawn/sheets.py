"""Rooms as the text of a measure sheet, and the rooms of one."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from typing import Any

from kit.errors import SheetError
from kit.record import filled
from kit.site import Room
from kit.site.places import Place

_HEAD = """\
# Rooms of {source}
#
# Every room is given by its corners, east and north; a [[room.curve]] is a wall that is
# an arc. What is still missing for a price: [client], [floor], the doorways that join
# the rooms, and the door by which the crew leaves:
#
#   [[doorway]]
#   between = ["{first}", "{second}"]
#   at = ["12'", "4'"]
#   width = "3'"
#
#   [way_out]
#   room = "{first}"
#   at = ["0 ft", "7'"]
#   width = "3'"
"""


def rooms_of(sheet: dict[str, Any]) -> tuple[Room, ...]:
    """The rooms of a measure sheet, whatever else it has or lacks.

    Raises
    ------
    SheetError
        If there is none, or one cannot be read.
    """
    given = sheet.get("room")
    if not isinstance(given, list) or not given:
        raise SheetError("room", found="nothing", expected="at least one [[room]]")
    return tuple(
        filled(Room, room if isinstance(room, dict) else {}, where=f"room {number}")
        for number, room in enumerate(given, start=1)
    )


def sheet_text(rooms: Sequence[Room], *, source: str) -> str:
    """Write rooms given by corners as the text of a measure sheet."""
    names = [room.name for room in rooms]
    second = names[1] if len(names) > 1 else "another"
    said = "".join(c if c.isprintable() else "\N{REPLACEMENT CHARACTER}" for c in source)
    head = _HEAD.format(source=said, first=names[0], second=second)
    return "\n".join([head, *(line for room in rooms for line in _room(room))])


def _room(room: Room) -> Iterator[str]:
    yield "[[room]]"
    yield f"name = {_text(room.name)}"
    yield from _corners(room.corners)
    for curve in room.curves:
        yield "\n  [[room.curve]]"
        yield f"  wall = {curve.wall}"
        size = "rise" if curve.rise else "radius"
        yield f"  {size} = {_text(curve.rise or curve.radius or '')}"
        yield f"  side = {_text(curve.side)}"
    for column in room.columns:
        yield "\n  [[room.column]]"
        yield f"  at = {_place(column.at)}"
        if column.round is not None:
            yield f"  round = {_text(column.round)}"
        if column.square is not None:
            yield f"  square = {_place(column.square)}"
    for island in room.islands:
        yield "\n  [[room.island]]"
        yield f"  name = {_text(island.name)}"
        yield from (f"  {line}" for line in _corners(island.corners))
    yield ""


def _corners(corners: Sequence[Place]) -> Iterator[str]:
    yield "corners = ["
    for corner in corners:
        yield f"  {_place(corner)},"
    yield "]"


def _place(place: Place) -> str:
    return f"[{_text(place[0])}, {_text(place[1])}]"


def _text(words: str) -> str:
    return json.dumps(words, ensure_ascii=False)
