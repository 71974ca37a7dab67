"""From the plan to areas and lengths, each with its trail."""

from __future__ import annotations

from itertools import chain

from kit.errors import MeasureError
from kit.plan.floor import FloorPlan, PlannedRoom
from kit.takeoff.cove import base_m
from kit.takeoff.figures import Figure, RoomTakeoff, Takeoff, spoken

RULE = (
    "Net coated surface: measured between finished wall faces, less columns and "
    "islands, plus the floor inside doorways."
)
MOST_CRACKS_M = 3000.0
LEAST_M2 = 0.01
"""A tenth of a square foot: below this nothing can be priced by the area."""
AREAS_AGREE_M2 = 1e-3
"""How far the rooms may stray from the surface they make, ten square centimetres."""


def take_off(plan: FloorPlan, *, cracks_m: float = 0.0) -> Takeoff:
    """Measure what is coated, per room and in all.

    Parameters
    ----------
    plan : FloorPlan
    cracks_m : float
        Cracks to fill, as the survey counted them, in [0, 3000]. [m]

    Raises
    ------
    MeasureError
        If next to nothing is left to coat, the cracks are absurd, or rooms and
        doorways do not add up to the surface.
    """
    if not 0.0 <= cracks_m <= MOST_CRACKS_M:
        raise MeasureError(
            "cracks", found=f"{cracks_m:g} m", expected=f"0 to {MOST_CRACKS_M:g} m of them"
        )
    rooms = tuple(_measured(room, plan) for room in plan.rooms)
    thresholds_m2 = sum(t.poured.area for t in plan.thresholds if t.poured is not None)
    net_m2 = sum(room.net_m2 for room in rooms) + thresholds_m2
    if net_m2 < LEAST_M2:
        raise MeasureError(
            "floor", found=f"{net_m2:g} m²", expected=f"at least {LEAST_M2} m²"
        )
    if abs(net_m2 - plan.surface.area) > AREAS_AGREE_M2:
        raise MeasureError(
            "floor",
            found=f"rooms and doorways of {spoken(net_m2, 'm²')}",
            expected=f"the {spoken(plan.surface.area, 'm²')} of the surface they make",
        )
    jambs_m = _jambs_m(plan)
    walls_m = sum(room.perimeter_m for room in rooms)
    girths_m = sum(room.girth_m for room in rooms)
    perimeter_m = walls_m + girths_m + jambs_m
    # a door that was only guessed must not shorten the base
    out_m = plan.way_out.opening.length if plan.way_out.is_marked else 0.0
    along_m = base_m(walls_m + girths_m, openings_m=out_m)
    trail = (
        *chain.from_iterable(_room_trail(room) for room in rooms),
        Figure("Doorways", thresholds_m2, "m²", _doorways(plan)),
        Figure(
            "Net area",
            net_m2,
            "m²",
            _sum_of([*(room.net_m2 for room in rooms), thresholds_m2]),
        ),
        Figure(
            "Edges",
            perimeter_m,
            "m",
            f"{spoken(walls_m, 'm')} walls + {spoken(girths_m, 'm')} columns and islands"
            f" + {spoken(jambs_m, 'm')} door jambs",
        ),
        Figure(
            "Walls for a base",
            along_m,
            "m",
            f"{spoken(walls_m, 'm')} walls + {spoken(girths_m, 'm')} columns and islands"
            f" − {spoken(out_m, 'm')} way out",
        ),
        Figure("Cracks", cracks_m, "m", "as surveyed"),
    )
    return Takeoff(
        rooms, thresholds_m2, net_m2, perimeter_m, along_m, cracks_m, RULE, trail
    )


def _measured(room: PlannedRoom, plan: FloorPlan) -> RoomTakeoff:
    openings_m = sum(
        opening.length
        for threshold in plan.thresholds
        for name, opening in zip(threshold.rooms, threshold.opening, strict=True)
        if name == room.name
    )
    return RoomTakeoff(
        name=room.name,
        outline_m2=room.outline.area,
        deducted_m2=room.outline.area - room.poured.area,
        net_m2=room.poured.area,
        perimeter_m=room.poured.exterior.length - openings_m,
        girth_m=sum(ring.length for ring in room.poured.interiors),
    )


def _jambs_m(plan: FloorPlan) -> float:
    """Sides of the doorways, where the floor runs through the thickness of a wall."""
    jambs_m = 0.0
    for threshold in plan.thresholds:
        if threshold.poured is not None:
            jambs_m += threshold.poured.length
            jambs_m -= sum(opening.length for opening in threshold.opening)
    return jambs_m


def _room_trail(room: RoomTakeoff) -> tuple[Figure, ...]:
    area = f"{spoken(room.outline_m2, 'm²')} outline"
    if room.deducted_m2 > 0.0:
        area += f" − {spoken(room.deducted_m2, 'm²')} columns and islands"
    return (
        Figure(f"{room.name}, net", room.net_m2, "m²", area),
        Figure(
            f"{room.name}, walls",
            room.perimeter_m,
            "m",
            "outline less doorways to other rooms",
        ),
    )


def _doorways(plan: FloorPlan) -> str:
    areas = [t.poured.area for t in plan.thresholds if t.poured is not None]
    return _sum_of(areas) if areas else "none inside the walls"


def _sum_of(areas_m2: list[float]) -> str:
    return " + ".join(spoken(area, "m²") for area in areas_m2 if area > 0.0)
