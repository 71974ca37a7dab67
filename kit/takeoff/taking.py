"""From the plan and the survey to areas, lengths and volumes, each with its trail."""

from __future__ import annotations

from kit.errors import MeasureError
from kit.plan.floor import FloorPlan, Threshold
from kit.site import Site
from kit.takeoff.cove import base_m
from kit.takeoff.figures import RoomTakeoff, Takeoff
from kit.takeoff.profile import takeup_l
from kit.takeoff.rooms import (
    TAPE_M,
    area_error_m2,
    measured,
    room_figure,
    walls_figure,
)
from kit.takeoff.slabwork import SlabWork, slab_work
from kit.takeoff.stepped import Stepped, stepped_of
from kit.takeoff.trail import Figure, spoken, summed
from kit.units import read_length

RULE = (
    "Net coated surface: measured between finished wall faces, less columns and "
    "islands, plus the floor inside doorways."
)
RULES = (
    RULE,
    "No column or island is too small to be deducted, and none is counted twice.",
    "A curved wall counts by its arc: area by the circle's segment, length along it; it "
    "is drawn in straight steps that stay within 1 mm (0.04 in) of it.",
    "Edges: walls, columns, islands and door jambs; a way out is an edge, but carries no "
    "base.",
    "Stairs come on top: treads from nosing edge to riser, risers by their height, the "
    "underside of nosings once more; landings are rooms.",
    "Cracks, joints and edges by the foot; patches by area and mean depth; what comes "
    "off by area, each kind apart.",
    "Profile take-up: net area by the mean depth of the hollows, on top of the film.",
)
"""The rule of measurement, sentence by sentence; the first is fit for the client."""
MOST_CRACKS_M = 3000.0
LEAST_M2 = 0.01
"""A tenth of a square foot: below this nothing can be priced by the area."""
AREAS_AGREE_M2 = 1e-3
"""How far the rooms may stray from the surface they make, ten square centimetres."""


def surveyed(site: Site, plan: FloorPlan) -> Takeoff:
    """Take off a plan together with all that the survey of its site found.

    Raises
    ------
    SheetError, MeasureError
        If a size is absurd or a room that is named is not there.
    """
    return take_off(
        plan,
        cracks_m=read_length(site.slab.cracks, about="slab, cracks"),
        slab=slab_work(site.slab, plan),
        stepped=stepped_of(site.stairs, site.steps, site.edges),
    )


def take_off(
    plan: FloorPlan,
    *,
    cracks_m: float = 0.0,
    slab: SlabWork | None = None,
    stepped: Stepped | None = None,
) -> Takeoff:
    """Measure what is coated, per room and in all.

    Parameters
    ----------
    plan : FloorPlan
    cracks_m : float
        Cracks to fill, as the survey counted them, in [0, 3000]. [m]
    slab : SlabWork, optional
        Joints, patches, removal and profile.
    stepped : Stepped, optional
        Stairs, steps and free edges.

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
    slab, stepped = slab or SlabWork(), stepped or Stepped()
    rooms = tuple(measured(room, plan) for room in plan.rooms)
    net, thresholds = _areas(plan, rooms)
    net_m2 = float(net.value)
    edges, base = _edges(plan, rooms)
    takeup = _takeup(net, slab)
    tape = Figure(
        "Net area, known to",
        area_error_m2(plan),
        "m²",
        f"± {1000 * TAPE_M:g} mm a length, each wall by itself",
    )
    return Takeoff(
        rooms=rooms,
        thresholds_m2=float(thresholds.value),
        net_m2=net_m2,
        perimeter_m=float(edges.value),
        base_m=float(base.value),
        cracks_m=cracks_m,
        rule=RULE,
        trail=(
            net,
            tape,
            edges,
            base,
            Figure("Cracks", cracks_m, "m", "as surveyed"),
            *slab.trail,
            *takeup,
            *stepped.trail,
        ),
        slab=slab,
        stepped=stepped,
        takeup_l=sum(float(figure.value) for figure in takeup),
        concerns=slab.concerns,
    )


def _areas(plan: FloorPlan, rooms: tuple[RoomTakeoff, ...]) -> tuple[Figure, Figure]:
    """Net area, and the floor inside doorways that is part of it."""
    nets = [room_figure(*pair) for pair in zip(plan.rooms, rooms, strict=True)]
    thresholds = summed(
        "Doorways",
        "m²",
        [_doorway(t, t.poured.area) for t in plan.thresholds if t.poured is not None],
    )
    net = summed("Net area", "m²", [*nets, thresholds])
    net_m2 = float(net.value)
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
    return net, thresholds


def _doorway(threshold: Threshold, area_m2: float) -> Figure:
    first, second = threshold.rooms
    how = f"{spoken(threshold.width_m, 'm')} wide, between the faces of the wall"
    return Figure(f"{first} to {second}", area_m2, "m²", how)


def _edges(plan: FloorPlan, rooms: tuple[RoomTakeoff, ...]) -> tuple[Figure, Figure]:
    """All edges of the film, and those that a base can run along."""
    walls = [walls_figure(*pair) for pair in zip(plan.rooms, rooms, strict=True)]
    walls_m = sum(room.perimeter_m for room in rooms)
    girths_m = sum(room.girth_m for room in rooms)
    jambs_m = _jambs_m(plan)
    closets_m = sum(room.jambs_m for room in rooms)
    # a door that was only guessed must not shorten the base
    out_m = plan.way_out.opening.length if plan.way_out.is_marked else 0.0
    along_m = base_m(walls_m + girths_m, openings_m=out_m + closets_m)
    parts = (
        *walls,
        Figure("Columns and islands", girths_m, "m", "round those that stand clear"),
        Figure("Door jambs", jambs_m, "m", "both sides of the floor inside doorways"),
    )
    whole = f"{spoken(walls_m, 'm')} walls + {spoken(girths_m, 'm')} columns and islands"
    less = f"{whole} − {spoken(out_m, 'm')} way out"
    if closets_m:
        less += f" − {spoken(closets_m, 'm')} jambs of closets"
    out = (Figure("Way out", -out_m, "m", "no base across it"),) if out_m else ()
    edges_m = walls_m + girths_m + jambs_m
    edges = f"{whole} + {spoken(jambs_m, 'm')} door jambs"
    return (
        Figure("Edges", edges_m, "m", edges, parts),
        Figure("Walls for a base", along_m, "m", less, (*parts[:-1], *out)),
    )


def _jambs_m(plan: FloorPlan) -> float:
    """Sides of the doorways, where the floor runs through the thickness of a wall."""
    jambs_m = 0.0
    for threshold in plan.thresholds:
        if threshold.poured is not None:
            jambs_m += threshold.poured.length
            jambs_m -= sum(opening.length for opening in threshold.opening)
    return jambs_m


def _takeup(net: Figure, slab: SlabWork) -> tuple[Figure, ...]:
    if slab.void is None:
        return ()
    volume_l = takeup_l(float(net.value), float(slab.void.value))
    how = f"{net.spoken} × {slab.void.spoken} of hollows"
    return (Figure("Profile take-up", volume_l, "l", how, (net, slab.void)),)
