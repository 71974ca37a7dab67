"""Writing rooms as a DXF drawing: a layer a room, curved walls as arcs, in metres."""

from __future__ import annotations

import io
from collections.abc import Sequence

from kit.errors import OutputError
from kit.plan.floor import PlannedRoom
from kit.plan.rooms import planned
from kit.site import Room
from kit.units import read_length

_METRES = 6
"""$INSUNITS of a drawing in metres."""
_BARRED = str.maketrans(dict.fromkeys('<>/\\":;?*|=`', "_"))
"""What a layer may not be called by."""


def dxf_of(rooms: Sequence[Room]) -> bytes:
    """Draw rooms as a DXF drawing, to be read back by `kit.plan.drawn.read_dxf`.

    Every room is a closed polyline on a layer of its name, round columns are circles
    and all else that stands in it are closed polylines on the same layer. A room with
    closets is drawn by the outline that they make together, its curved walls in steps.

    Raises
    ------
    SheetError
        If a room makes no sense.
    OutputError
        If two rooms would share a layer.
    """
    from ezdxf.filemanagement import new

    drawing = new("R2010")
    drawing.units = _METRES
    model = drawing.modelspace()
    for room in rooms:
        layer = room.name.translate(_BARRED)
        if layer in drawing.layers:
            raise OutputError(
                f'room "{room.name}"',
                found=f'a layer "{layer}" that another room or the drawing has',
                expected="a name of its own, without signs that layers cannot have",
            )
        drawing.layers.add(layer)
        on = {"layer": layer}
        plan = planned(room)
        model.add_lwpolyline(_outline(room, plan), format="xyb", close=True, dxfattribs=on)
        rounds = [column.round for column in room.columns]
        rounds += [None] * len(room.islands)
        for solid, across in zip(plan.solids, rounds, strict=True):
            if across is not None:
                middle, radius_m = solid.shape.centroid, read_length(across) / 2.0
                model.add_circle((middle.x, middle.y), radius_m, dxfattribs=on)
                continue
            corners = list(solid.shape.exterior.coords)[:-1]
            model.add_lwpolyline(corners, format="xy", close=True, dxfattribs=on)
    text = io.StringIO()
    drawing.write(text)
    return text.getvalue().encode("utf-8")


def _outline(room: Room, plan: PlannedRoom) -> list[tuple[float, float, float]]:
    if room.closets:
        return [(x, y, 0.0) for x, y in list(plan.outline.exterior.coords)[:-1]]
    bulges = [
        # a bow to the left is a bulge to the right taken away
        -2.0 * bow.rise_m / bow.chord_m if bow else 0.0
        for bow in room.bows()
    ]
    return [(x, y, b) for (x, y), b in zip(room.corners_m(), bulges, strict=True)]
