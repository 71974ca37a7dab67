"""Reading room outlines from a DXF drawing.

Closed polylines, circles, and lines and arcs that join into loops are outlines; the
layer is the room's name. What stands inside an outline on its layer is a column, if it
is a whole circle, or an island. Blocks, splines, ellipses, texts and sizes are not read.
"""

from __future__ import annotations

import logging
import math
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

from kit.errors import SheetError
from kit.plan.drawn.joining import Piece, joined
from kit.plan.drawn.rings import Ring, circle_ring, cleaned, nested
from kit.plan.drawn.tracing import traced
from kit.site import Room
from kit.site.sizes import Corner

if TYPE_CHECKING:
    from ezdxf.document import Drawing

LARGEST_BYTES = 20_000_000
MOST_PIECES = 20_000
MOST_CLOSED = 300
"""Closed outlines that one layer may have."""
MOST_ROOMS = 200

UNITS_M: dict[str, float] = {
    "in": 0.0254,
    "ft": 0.3048,
    "yd": 0.9144,
    "mm": 0.001,
    "cm": 0.01,
    "dm": 0.1,
    "m": 1.0,
}
"""Units that a floor can be drawn in. [m]"""

_INSUNITS = {1: "in", 2: "ft", 4: "mm", 5: "cm", 6: "m", 10: "yd", 14: "dm"}
"""Codes of the header variable $INSUNITS; 0 is none."""
_OUTLINES = ("LWPOLYLINE", "POLYLINE", "LINE", "ARC", "CIRCLE")
_CURVES = ("SPLINE", "ELLIPSE")

# Whoever reads a drawing is told by complaints, not by a log on his terminal.
logging.getLogger("ezdxf").addHandler(logging.NullHandler())


@dataclass(frozen=True)
class Drawn:
    """What a drawing holds.

    Parameters
    ----------
    rooms : tuple of Room
    unit : str
        In which it is drawn.
    moved_m : (float, float)
        East and north by which everything was moved so that no place lies west or
        south of zero. [m]
    left_out : tuple of str
        What was not read, and why.
    """

    rooms: tuple[Room, ...]
    unit: str
    moved_m: Corner
    left_out: tuple[str, ...]


@dataclass
class _Layer:
    """What a layer has: closed outlines, loose pieces, and curves that are no arcs."""

    rings: list[Ring] = field(default_factory=list)
    pieces: list[Piece] = field(default_factory=list)
    curves: int = 0


def read_dxf(path: Path, *, unit: str | None = None, layers: Sequence[str] = ()) -> Drawn:
    """Read the room outlines of a DXF drawing.

    Parameters
    ----------
    path : Path
    unit : str, optional
        One of `UNITS_M`, for a drawing that does not say what it is drawn in.
    layers : sequence of str, optional
        Those to read; all by default.

    Raises
    ------
    SheetError
        If the file is too large, cut short or no DXF; it does not name its unit, or
        another than `unit`; nothing in it is closed; or an outline crosses itself,
        encloses nothing or makes no room.
    """
    about = f"drawing {path.name}"
    drawing = _opened(path, about)
    found_unit = _unit(drawing, unit, about)
    by_layer = _gathered(drawing, UNITS_M[found_unit], about)
    for name in layers:
        if name not in by_layer:
            raise SheetError(
                f"{about}, layer",
                found=name,
                expected=f"one of {', '.join(sorted(by_layer)) or 'none; it is empty'}",
            )
    chosen = {name: by_layer[name] for name in layers or by_layer}
    outlines: list[tuple[Ring, list[Ring]]] = []
    left_out: list[str] = []
    for name, layer in chosen.items():
        rings, open_ones = joined(name, layer.pieces)
        left = [f'layer "{name}": {why}' for why in open_ones]
        if layer.curves:
            left.append(f'layer "{name}": {layer.curves} splines or ellipses')
        if layers and left:
            raise SheetError(about, found=left[0], expected="a closed outline")
        left_out += left
        closed = [*layer.rings, *rings]
        if len(closed) > MOST_CLOSED:
            raise SheetError(
                f'layer "{name}"',
                found=f"{len(closed)} closed outlines",
                expected=f"a room and what stands in it, {MOST_CLOSED} at most",
            )
        outlines += nested(closed)
    if not outlines:
        found = left_out[0] if left_out else "nothing that is closed"
        raise SheetError(about, found=found, expected="at least one closed outline")
    if len(outlines) > MOST_ROOMS:
        raise SheetError(
            about, found=f"{len(outlines)} outlines", expected=f"up to {MOST_ROOMS} rooms"
        )
    rooms, moved_m = traced(outlines)
    return Drawn(rooms, found_unit, moved_m, tuple(left_out))


def _opened(path: Path, about: str) -> Drawing:
    expected = "a DXF drawing, whole"
    try:
        size = path.stat().st_size
        if not path.is_file():
            raise SheetError(about, found="a folder", expected=expected)
        if size > LARGEST_BYTES:
            raise SheetError(
                about,
                found=f"{size / 1e6:.1f} MB",
                expected=f"at most {LARGEST_BYTES / 1e6:.0f} MB",
            )
    except (FileNotFoundError, NotADirectoryError):
        raise SheetError(about, found="no such file", expected=expected) from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise SheetError(about, found=reason, expected=expected) from None
    from ezdxf.filemanagement import readfile

    try:
        return readfile(path)
    except Exception as error:  # whatever a broken file may do to its reader
        reason = str(error).replace(str(path), path.name).rstrip(".")
        reason = reason.removeprefix(f"File '{path.name}' is ")
        raise SheetError(about, found=reason, expected=expected) from None


def _unit(drawing: Drawing, given: str | None, about: str) -> str:
    if given is not None and given not in UNITS_M:
        raise SheetError("unit", found=given, expected=f"one of {', '.join(UNITS_M)}")
    code = drawing.header.get("$INSUNITS", 0)
    if code and code not in _INSUNITS:
        raise SheetError(
            f"{about}, $INSUNITS", found=code, expected="inches, feet, yards or metric"
        )
    named = _INSUNITS.get(code)
    if named is None and given is None:
        raise SheetError(
            f"{about}, $INSUNITS",
            found="no unit",
            expected=f"the unit to be given: one of {', '.join(UNITS_M)}",
        )
    if named and given and named != given:
        raise SheetError(
            f"{about}, unit", found=given, expected=f"{named}, as the drawing says"
        )
    return named or given or ""


def _gathered(drawing: Drawing, scale: float, about: str) -> dict[str, _Layer]:
    """Everything of the model that can be an outline, by layer. [m]"""
    by_layer: dict[str, _Layer] = defaultdict(_Layer)
    count = 0
    for entity in drawing.modelspace():
        kind = entity.dxftype()
        if kind not in (*_OUTLINES, *_CURVES):
            continue
        count += 1
        if count > MOST_PIECES:
            raise SheetError(
                about,
                found=f"more than {MOST_PIECES:,} lines",
                expected="a drawing of walls only, or the layers of the rooms",
            )
        layer = by_layer[_plain(str(entity.dxf.layer))]
        try:
            _take(entity, kind, layer, _plain(str(entity.dxf.layer)), scale)
        except (ValueError, ArithmeticError, AttributeError, TypeError, IndexError):
            raise SheetError(
                f'{about}, layer "{entity.dxf.layer}"',
                found=f"a broken {kind.lower()}",
                expected="a drawing that is whole",
            ) from None
    return dict(by_layer)


def _take(entity: Any, kind: str, layer: _Layer, name: str, scale: float) -> None:
    """Put one thing of a drawing where it belongs."""
    if kind in _CURVES:
        layer.curves += 1
        return
    if tuple(entity.dxf.get("extrusion", (0, 0, 1))) != (0.0, 0.0, 1.0):
        raise SheetError(
            f'layer "{name}"',
            found=f"a {kind.lower()} that is drawn from below or aslant",
            expected="a plan seen from above",
        )
    if kind == "CIRCLE":
        centre = entity.dxf.center
        circle = _finite([centre.x, centre.y, entity.dxf.radius], name)
        layer.rings.append(circle_ring(name, *(value * scale for value in circle)))
        return
    corners, bulges, closed = _edges(entity, kind)
    _finite([*(c for corner in corners for c in corner), *bulges], name)
    placed = [(x * scale, y * scale) for x, y in corners]
    is_loop = len(placed) > 3 and math.dist(placed[0], placed[-1]) < 1e-6
    if closed:
        layer.rings.append(cleaned(name, placed, bulges))
    elif is_loop:
        layer.rings.append(cleaned(name, placed[:-1], bulges[:-1]))
    elif len(placed) > 1:
        layer.pieces.append(Piece(tuple(placed), tuple(bulges[:-1])))


def _edges(entity: Any, kind: str) -> tuple[list[Corner], list[float], bool]:
    """Corners, the bulge that follows each, and whether the last leads to the first."""
    if kind == "LINE":
        start, end = entity.dxf.start, entity.dxf.end
        return [(start.x, start.y), (end.x, end.y)], [0.0, 0.0], False
    if kind == "ARC":
        start, end = entity.start_point, entity.end_point
        span = math.radians((entity.dxf.end_angle - entity.dxf.start_angle) % 360.0)
        return [(start.x, start.y), (end.x, end.y)], [math.tan(span / 4.0), 0.0], False
    if kind == "LWPOLYLINE":
        points = list(entity.get_points("xyb"))
        corners = [(float(x), float(y)) for x, y, _ in points]
        return corners, [float(b) for *_, b in points], bool(entity.closed)
    if not (entity.is_2d_polyline or entity.is_3d_polyline):
        return [], [], False
    corners, bulges = [], []
    for vertex in entity.vertices:
        corners.append((vertex.dxf.location.x, vertex.dxf.location.y))
        bulges.append(float(vertex.dxf.get("bulge", 0.0)))
    return corners, bulges, bool(entity.is_closed)


def _finite(values: Iterable[float], name: str) -> list[float]:
    kept = [float(value) for value in values]
    if not all(math.isfinite(value) and abs(value) < 1e12 for value in kept):
        raise SheetError(
            f'layer "{name}"', found="a place that is nowhere", expected="finite numbers"
        )
    return kept


def _plain(layer: str) -> str:
    """A layer as a room may be called: without markup and controls."""
    kept = "".join(c if c.isprintable() and c not in "<>{}\\`$*|" else " " for c in layer)
    return " ".join(kept.split())[:100] or "Room"
