"""One room: its areas and lengths, and how they came to be."""

from __future__ import annotations

from math import degrees, hypot, sqrt

from shapely import LinearRing

from kit.plan.floor import FloorPlan, PlannedRoom
from kit.plan.parts import CurvedWall, PlannedCloset, Solid
from kit.takeoff.figures import RoomTakeoff
from kit.takeoff.trail import Figure, spoken
from kit.units import feet_inches

TAPE_M = 0.002
"""What a handheld laser may be out by indoors: two millimetres (makers' figures, seen
through the scope of [ISO16331]_)."""
_SAME_M = 1e-9
_SHOWN_TO = 16


def measured(room: PlannedRoom, plan: FloorPlan) -> RoomTakeoff:
    """Areas and lengths of a room; curved walls and round columns by their true arcs."""
    openings_m = sum(
        opening.length
        for threshold in plan.thresholds
        for name, opening in zip(threshold.rooms, threshold.opening, strict=True)
        if name == room.name
    )
    curved_m = sum(curve.bow.length_m - curve.steps.length for curve in room.curves)
    return RoomTakeoff(
        name=room.name,
        outline_m2=room.outline.area,
        deducted_m2=room.outline.area - room.poured.area,
        net_m2=room.poured.area,
        perimeter_m=room.poured.exterior.length - openings_m + curved_m,
        girth_m=sum(_girth_m(ring, room.solids) for ring in room.poured.interiors),
        jambs_m=sum(2.0 * closet.wall_m for closet in room.closets),
    )


def _girth_m(ring: LinearRing, solids: tuple[Solid, ...]) -> float:
    """Length of a hole's edge, of a column that makes it alone the true one. [m]"""
    for solid in solids:
        is_alone = abs(solid.shape.length - ring.length) < _SAME_M
        if is_alone and solid.shape.centroid.distance(ring.centroid) < _SAME_M**0.5:
            return solid.girth_m
    return float(ring.length)


def room_figure(room: PlannedRoom, taken: RoomTakeoff) -> Figure:
    """Net area of a room, from its walls on."""
    outline = _outline(room, taken)
    how = f"{outline.spoken} outline"
    if taken.deducted_m2 > 0.0:
        how += f" − {spoken(taken.deducted_m2, 'm²')} columns and islands"
    solids = [_solid(room, solid) for solid in room.solids]
    return Figure(f"{room.name}, net", taken.net_m2, "m²", how, (outline, *solids))


def walls_figure(room: PlannedRoom, taken: RoomTakeoff) -> Figure:
    """Length of the walls that the film runs against."""
    arcs = tuple(
        Figure(
            f"{room.name}, wall {curve.number}",
            curve.bow.length_m,
            "m",
            f"arc of {_circle(curve)}",
        )
        for curve in room.curves
    )
    how = "outline less doorways to other rooms"
    if arcs:
        how += ", curved walls along their arcs"
    return Figure(f"{room.name}, walls", taken.perimeter_m, "m", how, arcs)


def _outline(room: PlannedRoom, taken: RoomTakeoff) -> Figure:
    """Area within the walls: between the corners, arcs and closets after."""
    name = f"{room.name}, outline"
    count = len(room.corners_m) or len(room.outline.exterior.coords) - 1
    closets_m2 = sum(_closet_m2(closet) for closet in room.closets)
    straight_m2 = taken.outline_m2 - closets_m2
    straight_m2 -= sum(curve.segment_m2 for curve in room.curves)
    parts = [
        Figure(
            f"{name}, from corner to corner",
            straight_m2,
            "m²",
            f"within {count} walls by the corners, ½ Σ (x y′ − x′ y)",
        ),
        *(_segment(room, curve) for curve in room.curves),
        *(_closet(room, closet) for closet in room.closets),
    ]
    if len(parts) == 1:
        return Figure(name, taken.outline_m2, "m²", parts[0].how)
    how = parts[0].spoken
    for part in parts[1:]:
        sign = "−" if float(part.value) < 0.0 else "+"
        how += f" {sign} {spoken(abs(float(part.value)), 'm²')}"
    return Figure(name, taken.outline_m2, "m²", how, tuple(parts))


def _segment(room: PlannedRoom, curve: CurvedWall) -> Figure:
    word = "bows out" if curve.adds else "bows in"
    return Figure(
        f"{room.name}, wall {curve.number} {word}",
        curve.segment_m2,
        "m²",
        f"R²/2 (θ − sin θ) of {_circle(curve)}",
    )


def _circle(curve: CurvedWall) -> str:
    bow = curve.bow
    return (
        f"R {feet_inches(bow.radius_m, nearest=_SHOWN_TO // 2)}, θ {degrees(bow.turn):.2f}°"
        f" (chord {feet_inches(bow.chord_m, nearest=_SHOWN_TO // 2)},"
        f" rise {feet_inches(abs(bow.rise_m), nearest=_SHOWN_TO // 2)})"
    )


def _closet(room: PlannedRoom, closet: PlannedCloset) -> Figure:
    how = f"{spoken(closet.inside.area, 'm²')} behind the wall"
    if closet.opening is not None:
        how += f" + {spoken(closet.opening.area, 'm²')} within it"
    return Figure(f'{room.name}, closet "{closet.name}"', _closet_m2(closet), "m²", how)


def _closet_m2(closet: PlannedCloset) -> float:
    opening_m2 = 0.0 if closet.opening is None else closet.opening.area
    return float(closet.inside.area + opening_m2)


def _solid(room: PlannedRoom, solid: Solid) -> Figure:
    how = f"its footprint, {spoken(solid.girth_m, 'm')} round it"
    return Figure(f"{room.name}, less {solid.name}", -solid.shape.area, "m²", how)


def area_error_m2(plan: FloorPlan, *, each_m: float = TAPE_M) -> float:
    """How far the area of all rooms may be out, for a tape that may be. [m²]

    Parameters
    ----------
    plan : FloorPlan
    each_m : float
        Standard error of a measured length, > 0. [m]

    Notes
    -----
    A wall of length L that stands off by d changes the area by L d. With each wall off
    by ``each/√2``, independently, a width across is off by `each`, and the area by
    ``each √(Σ L²/2)``: for a rectangle ``each √(a² + b²)``, which is first-order
    propagation of its two sides.
    """
    squares = 0.0
    for room in plan.rooms:
        corners = room.corners_m or tuple(room.outline.exterior.coords[:-1])
        ends = zip(corners, [*corners[1:], corners[0]], strict=True)
        squares += sum(hypot(b[0] - a[0], b[1] - a[1]) ** 2 for a, b in ends)
    return each_m * sqrt(squares / 2.0)
