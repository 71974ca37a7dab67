"""How much floor there is, each figure with the trail of how it came to be."""

from __future__ import annotations

from dataclasses import dataclass


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
        ``m²``, ``m``, ``l``, ``kg``, ``h``.
    how : str
        The sum that made it, in words and numbers: ``32.10 outline − 0.20 columns``.
    """

    label: str
    value: float
    unit: str
    how: str


@dataclass(frozen=True)
class RoomTakeoff:
    """Areas and lengths of one room. [m², m]"""

    name: str
    outline_m2: float
    deducted_m2: float
    net_m2: float
    perimeter_m: float
    girth_m: float
    """Girth of columns and islands that stand clear of the walls."""


@dataclass(frozen=True)
class Takeoff:
    """What is coated, per room and in all.

    ``net_m2`` is the surface of the plan: rooms less columns and islands,
    plus the thresholds inside the walls. It is the basis of every price per
    square foot. ``rule`` says so in a sentence fit for print.
    """

    rooms: tuple[RoomTakeoff, ...]
    thresholds_m2: float
    net_m2: float
    perimeter_m: float
    rule: str
    trail: tuple[Figure, ...]
