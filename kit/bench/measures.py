"""What the page may ask for as rooms are measured, each wish tied to its step."""

from __future__ import annotations

from collections.abc import Callable

from kit.bench import columns, measuring, openings, rooms, runs, who
from kit.job import Job

Needs = dict[str, type]

_ROOM: Needs = {"room": str}
_PLACE: Needs = {"east_ft": float, "north_ft": float}
_WALL: Needs = {"room": str, "wall": int}
_COLUMN: Needs = {"room": str, "column": int}
_FIELD: Needs = {"field": str, "text": str}

MEASURES: dict[str, tuple[Callable[..., Job], Needs]] = {
    "room_new": (rooms.begun, {"name": str}),
    "room_name": (rooms.named, {**_ROOM, "name": str}),
    "room_move": (rooms.moved, _ROOM | _PLACE),
    "room_beside": (rooms.beside, {**_ROOM, "other": str, "side": str}),
    "room_remove": (rooms.without_room, _ROOM),
    "rectangle": (measuring.rectangle, {**_ROOM, "across": str, "deep": str}),
    "draw": (
        measuring.drawn,
        {**_ROOM, "from_east_ft": float, "from_north_ft": float, **_PLACE},
    ),
    "wall_add": (
        measuring.with_wall, {**_ROOM, "after": int, "bearing": float, "length": str}
    ),
    "walls": (
        runs.with_run, {**_ROOM, "after": int, "bearing": float, "text": str}
    ),
    "wall_length": (measuring.with_length, {**_WALL, "length": str}),
    "wall_bearing": (measuring.with_bearing, {**_WALL, "bearing": float}),
    "wall_remove": (measuring.without_wall, _WALL),
    "wall_shift": (measuring.with_wall_shifted, {**_WALL, "by_ft": float}),
    "corner": (measuring.with_corner, {**_ROOM, "corner": int, **_PLACE}),
    "close": (measuring.closed_up, _ROOM),
    "repair": (measuring.mended, {**_ROOM, "repair": int}),
    "doorway": (openings.doorway_at, _PLACE),
    "doorway_between": (openings.doorway_between, {"first": str, "second": str}),
    "doorway_wide": (openings.doorway_wide, {"doorway": int, "text": str}),
    "doorway_along": (openings.doorway_along, {"doorway": int, "text": str}),
    "doorway_remove": (openings.without_doorway, {"doorway": int}),
    "way_out": (openings.way_out_at, _PLACE),
    "way_out_in": (openings.way_out_in, _WALL),
    "way_out_wide": (openings.way_out_wide, {"text": str}),
    "way_out_along": (openings.way_out_along, {"text": str}),
    "way_out_remove": (openings.without_way_out, {}),
    "column": (columns.column_at, _ROOM | _PLACE),
    "column_in": (columns.column_in, _ROOM),
    "column_size": (columns.column_sized, {**_COLUMN, "across": str, "deep": str}),
    "column_place": (columns.column_placed, {**_COLUMN, "east": str, "north": str}),
    "column_remove": (columns.without_column, _COLUMN),
    "client": (who.with_client, _FIELD),
    "firm": (who.with_firm, _FIELD),
    "title": (who.with_title, {"text": str}),
    "year_built": (who.with_year, {"text": str}),
    "slab": (who.with_slab, {"field": str, "text": str}),
    "cracks": (who.with_cracks, {"text": str}),
    "slab_notes": (who.with_notes, {"text": str}),
    "sheet": (who.from_sheet, {"text": str}),
}  # fmt: skip
"""Name of a wish: its step, and what it brings along."""
