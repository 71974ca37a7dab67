"""How much floor there is, each figure with the trail of how it came to be."""

from __future__ import annotations

from dataclasses import dataclass, field

from kit.errors import Concern
from kit.takeoff.slabwork import SlabWork
from kit.takeoff.stepped import Stepped
from kit.takeoff.trail import Figure, Unit, spoken

__all__ = ["Figure", "RoomTakeoff", "Takeoff", "Unit", "spoken"]


@dataclass(frozen=True)
class RoomTakeoff:
    """Areas and lengths of one room.

    Parameters
    ----------
    name : str
    outline_m2 : float
        Between the finished wall faces. [m²]
    deducted_m2 : float
        Columns and islands. [m²]
    net_m2 : float
        What is coated. [m²]
    perimeter_m : float
        Walls the film runs against; doorways to other rooms are left out, the way
        out is not, for the film ends there. [m]
    girth_m : float
        Round columns and islands that stand clear of the walls. [m]
    jambs_m : float
        Of the perimeter, the jambs of closets that belong to the room. [m]
    """

    name: str
    outline_m2: float
    deducted_m2: float
    net_m2: float
    perimeter_m: float
    girth_m: float
    jambs_m: float = 0.0


@dataclass(frozen=True)
class Takeoff:
    """What is coated, per room and in all.

    Parameters
    ----------
    rooms : tuple of RoomTakeoff
    thresholds_m2 : float
        Floor inside the walls, in the doorways. [m²]
    net_m2 : float
        Rooms and thresholds: the surface of the plan, and the basis of every price
        per square foot. [m²]
    perimeter_m : float
        All edges of the film: walls, columns, islands, door jambs. [m]
    base_m : float
        Edges that a base can run along: no door jambs, no way out. [m]
    cracks_m : float
        Cracks to fill. [m]
    rule : str
        The rule of measurement, in a sentence fit for print.
    trail : tuple of Figure
        Trees: the figures that others are made of stand below these.
    slab : SlabWork
        Joints, patches and what must come off.
    stepped : Stepped
        Stairs, steps and free edges; coated on top of ``net_m2``.
    takeup_l : float
        Resin that the hollows of a rough slab take before any film builds. [l]
    concerns : tuple of Concern
    """

    rooms: tuple[RoomTakeoff, ...]
    thresholds_m2: float
    net_m2: float
    perimeter_m: float
    base_m: float
    cracks_m: float
    rule: str
    trail: tuple[Figure, ...]
    slab: SlabWork = field(default_factory=SlabWork)
    stepped: Stepped = field(default_factory=Stepped)
    takeup_l: float = 0.0
    concerns: tuple[Concern, ...] = ()
