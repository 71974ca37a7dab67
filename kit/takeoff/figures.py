"""How much floor there is, each figure with the trail of how it came to be."""

from __future__ import annotations

from dataclasses import dataclass

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
    """

    name: str
    outline_m2: float
    deducted_m2: float
    net_m2: float
    perimeter_m: float
    girth_m: float


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
    """

    rooms: tuple[RoomTakeoff, ...]
    thresholds_m2: float
    net_m2: float
    perimeter_m: float
    base_m: float
    cracks_m: float
    rule: str
    trail: tuple[Figure, ...]
