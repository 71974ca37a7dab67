"""Rooms as plain coordinates: JSON in the shape of GeoJSON, but in local metres.

The shapes are those of [RFC7946]_, a FeatureCollection of Polygons whose holes are
columns and islands. That standard knows longitude and latitude only; here a position is
metres east and north of the corner that the contractor calls zero, and the file says so
by a member of its own: ``"local_units": "m"``. Curved walls are straight steps in it.
"""

from __future__ import annotations

import json
import math
from collections.abc import Sequence
from pathlib import Path
from typing import Any, NoReturn

from shapely import LinearRing, Polygon
from shapely.geometry.polygon import orient

from kit.errors import SheetError
from kit.plan.drawn.reading import MOST_ROOMS, Drawn
from kit.plan.drawn.rings import Ring, cleaned, nested
from kit.plan.drawn.tracing import traced
from kit.plan.floor import PlannedRoom
from kit.plan.rooms import planned
from kit.site import Room
from kit.site.sizes import Corner

LARGEST_BYTES = 5_000_000
LOCAL = "local_units"
_DECIMALS = 6


def coordinates_of(rooms: Sequence[Room]) -> bytes:
    """Write rooms as plain coordinates, outlines counterclockwise and holes clockwise.

    Raises
    ------
    SheetError
        If a room makes no sense.
    """
    features = []
    for room in rooms:
        rings = _shapes(planned(room))
        features.append(
            {
                "type": "Feature",
                "properties": {"name": room.name},
                "geometry": {
                    "type": "Polygon",
                    "coordinates": [
                        [[round(x, _DECIMALS), round(y, _DECIMALS)] for x, y in ring.coords]
                        for ring in rings
                    ],
                },
            }
        )
    whole = {"type": "FeatureCollection", LOCAL: "m", "features": features}
    return (json.dumps(whole, ensure_ascii=False, indent=1) + "\n").encode("utf-8")


def _shapes(room: PlannedRoom) -> list[LinearRing]:
    """The outline and what stands in it, in the order in which they were measured."""
    floor = room.poured
    if len(floor.interiors) == len(room.solids):
        floor = Polygon(room.outline.exterior, [s.shape.exterior for s in room.solids])
    floor = orient(floor)
    return [floor.exterior, *floor.interiors]


def read_coordinates(path: Path) -> Drawn:
    """Read rooms from plain coordinates.

    Raises
    ------
    SheetError
        If the file is too large, no JSON, not in local metres, or a shape in it is no
        simple polygon.
    """
    about = f"coordinates {path.name}"
    whole = _parsed(path, about)
    if not isinstance(whole, dict) or whole.get("type") != "FeatureCollection":
        raise SheetError(
            about, found=_kind(whole), expected='an object of type "FeatureCollection"'
        )
    if whole.get(LOCAL) != "m":
        raise SheetError(
            f"{about}, {LOCAL}",
            found=whole.get(LOCAL, "nothing"),
            expected='"m"; longitude and latitude are no floor plan',
        )
    features = whole.get("features")
    if not isinstance(features, list) or not 1 <= len(features) <= MOST_ROOMS:
        found = f"{len(features)} of them" if isinstance(features, list) else "no list"
        raise SheetError(
            f"{about}, features", found=found, expected=f"1 to {MOST_ROOMS} rooms"
        )
    outlines = []
    for number, feature in enumerate(features, start=1):
        rings = _rings(feature, f"{about}, feature {number}", f"Room {number}")
        for room, within in (pairs := nested(rings)):
            if len(pairs) > 1 or room is not rings[0] or len(within) != len(rings) - 1:
                raise SheetError(
                    f"{about}, feature {number}",
                    found="holes that do not lie in its first ring",
                    expected="an outline, then its columns and islands",
                )
        outlines += pairs
    rooms, moved_m = traced(outlines)
    return Drawn(rooms, "m", moved_m, ())


def _parsed(path: Path, about: str) -> Any:
    def refuse(word: str) -> NoReturn:
        raise SheetError(about, found=word, expected="finite numbers")

    try:
        size = path.stat().st_size
        if size > LARGEST_BYTES:
            raise SheetError(
                about,
                found=f"{size / 1e6:.1f} MB",
                expected=f"at most {LARGEST_BYTES / 1e6:.0f} MB",
            )
        return json.loads(path.read_bytes(), parse_constant=refuse)
    except FileNotFoundError:
        raise SheetError(about, found="no such file", expected="a JSON file") from None
    except OSError as error:
        reason = error.strerror or str(error)
        raise SheetError(about, found=reason, expected="a JSON file") from None
    except (ValueError, RecursionError) as error:
        raise SheetError(about, found=str(error), expected="JSON") from None


def _rings(feature: Any, about: str, unnamed: str) -> list[Ring]:
    if not isinstance(feature, dict) or not isinstance(feature.get("geometry"), dict):
        raise SheetError(about, found=_kind(feature), expected="a Feature with a geometry")
    geometry = feature["geometry"]
    if geometry.get("type") != "Polygon":
        raise SheetError(
            f"{about}, geometry", found=geometry.get("type"), expected='type "Polygon"'
        )
    rings = geometry.get("coordinates")
    if not isinstance(rings, list) or not rings:
        raise SheetError(f"{about}, coordinates", found=_kind(rings), expected="rings")
    properties = feature.get("properties")
    name = properties.get("name") if isinstance(properties, dict) else None
    name = name if isinstance(name, str) and name.strip() else unnamed
    found = []
    for number, ring in enumerate(rings, start=1):
        corners = _corners(ring, f"{about}, ring {number}")
        found.append(cleaned(name, corners, [0.0] * len(corners)))
    return found


def _corners(ring: Any, about: str) -> list[Corner]:
    if not isinstance(ring, list) or len(ring) < 4:
        raise SheetError(
            about,
            found=_kind(ring),
            expected="four positions or more, the first told twice",
        )
    corners = []
    for position in ring:
        if not (
            isinstance(position, list)
            and len(position) in (2, 3)
            and all(isinstance(c, int | float) for c in position)
            and not any(isinstance(c, bool) for c in position)
            and all(math.isfinite(c) and abs(c) < 1e12 for c in position)
        ):
            raise SheetError(about, found=position, expected="[metres east, metres north]")
        corners.append((float(position[0]), float(position[1])))
    if math.dist(corners[0], corners[-1]) > 1e-6:
        raise SheetError(
            about,
            found="a ring that is open",
            expected="its first position told again last",
        )
    return corners[:-1]


def _kind(value: Any) -> str:
    if isinstance(value, dict):
        return f"an object of type {value.get('type')!r}"
    if isinstance(value, list):
        return f"a list of {len(value)}"
    return "nothing" if value is None else repr(value)
