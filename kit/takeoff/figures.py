"""How much floor there is, each figure with the trail of how it came to be."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from kit.units import KG_PER_LB, M_PER_FT, gallons, mils, square_feet

Unit = Literal["m²", "m", "µm", "l", "kg", "h", ""]


@dataclass(frozen=True)
class Figure:
    """One measured or computed figure and its trail.

    Parameters
    ----------
    label : str
        ``Studio, net``.
    value : float
        In `unit`, SI.
    unit : str
        ``m²``, ``m``, ``µm``, ``l``, ``kg``, ``h``, or nothing for a plain number.
    how : str
        The sum that made it, in the trade's units: ``402.0 sq ft outline − 1.8 sq ft
        columns``.
    """

    label: str
    value: float
    unit: Unit
    how: str

    @property
    def spoken(self) -> str:
        """The value in the trade's units: ``400.2 sq ft``."""
        return spoken(self.value, self.unit)

    @property
    def line(self) -> str:
        """The whole trail on one line."""
        return f"{self.label}: {self.spoken} = {self.how}"


def spoken(value: float, unit: Unit) -> str:
    """Say an SI value as the trade does.

    >>> spoken(59.5, "m²"), spoken(11.356235352, "l"), spoken(889.0, "µm")
    ('640.5 sq ft', '3.00 gal', '35.0 mil')
    """
    match unit:
        case "m²":
            return f"{square_feet(value):,.1f} sq ft"
        case "m":
            return f"{value / M_PER_FT:,.1f} ft"
        case "µm":
            return f"{mils(value):.1f} mil"
        case "l":
            return f"{gallons(value):,.2f} gal"
        case "kg":
            return f"{value / KG_PER_LB:,.2f} lb"
        case "h":
            return f"{value:,.2f} h"
        case "":
            return f"{value:,.6g}"


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
