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
    if girth_m < 0.0:
        raise MeasureError("cove base", found=f"{girth_m:g} m", expected="0 m or more")
    return base_m(perimeter_m, openings_m=openings_m) * girth_m


def base_m(perimeter_m: float, *, openings_m: float) -> float:
    """Length along which a base can run: wall less the openings in it. [m]

    Raises
    ------
    MeasureError
        If a length is negative or the openings are longer than the wall.
    """
    if min(perimeter_m, openings_m) < 0.0 or openings_m > perimeter_m:
        raise MeasureError(
            "cove base",
            found=f"{openings_m:g} m of openings in {perimeter_m:g} m of wall",
            expected="lengths of 0 m or more, openings no longer than the wall",
        )
    return perimeter_m - openings_m


def mortar_m3(length_m: float, *, girth_m: float, radius_m: float, build_m: float) -> float:
    """Mortar of a cove base: a skin on its face and the fillet at its foot. [m³]

    Parameters
    ----------
    length_m : float
        Of the base. [m]
    girth_m, build_m : float
        Height along its face and thickness of the skin. [m]
    radius_m : float
        Of the fillet. [m]

    Examples
    --------
    >>> round(mortar_m3(10.0, girth_m=0.1, radius_m=0.0, build_m=0.003), 9)
    0.003
    """
    return length_m * (girth_m * build_m + fillet_section_m2(radius_m))


def fillet_section_m2(radius_m: float) -> float:
    """Section of the fillet between floor and wall, a square less a quarter circle. [m²]"""
    return (1.0 - pi / 4.0) * radius_m**2
