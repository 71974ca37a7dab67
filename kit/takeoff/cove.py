"""Cove base: the coating turned up the wall, and the fillet that it turns on."""

from __future__ import annotations

from math import pi

from kit.errors import MeasureError


def cove_area_m2(perimeter_m: float, *, openings_m: float, girth_m: float) -> float:
    """Coated surface of a cove base.

    Parameters
    ----------
    perimeter_m : float
        Length of wall. [m]
    openings_m : float
        Doors and the like, where the base stops. [m]
    girth_m : float
        Height of the base measured along its face. [m]

    Raises
    ------
    MeasureError
        If a length is negative or the openings are longer than the wall.

    Examples
    --------
    >>> round(cove_area_m2(20.0, openings_m=2.0, girth_m=0.1), 6)
    1.8
    """
    if min(perimeter_m, openings_m, girth_m) < 0.0 or openings_m > perimeter_m:
        raise MeasureError(
            "cove base",
            found=f"{openings_m:g} m of openings in {perimeter_m:g} m of wall",
            expected="lengths of 0 m or more, openings no longer than the wall",
        )
    return (perimeter_m - openings_m) * girth_m


def fillet_section_m2(radius_m: float) -> float:
    """Section of the fillet between floor and wall, a square less a quarter circle. [m²]"""
    return (1.0 - pi / 4.0) * radius_m**2
