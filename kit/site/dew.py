"""Dew point and how far the slab lies above it, by one named formula."""

from __future__ import annotations

import math
from dataclasses import dataclass

from kit.errors import MeasureError

FORMULA = "Magnus form over water, coefficients of Alduchov and Eskridge 1996"
_HPA, _A, _B_C = 6.1094, 17.625, 243.04


@dataclass(frozen=True)
class Margin:
    """How far a slab lies above the dew point.

    Parameters
    ----------
    dew_c : float
        Dew point of the air. [°C]
    above_c : float
        Slab less dew point. [°C]
    guard_c : float
        What the instruments may be off by, together: a margin nearer to a limit than
        this is neither above nor below it. [°C]
    surface_percent : float
        Humidity that the slab's surface sees. [%]
    """

    dew_c: float
    above_c: float
    guard_c: float
    surface_percent: float


def saturation_hpa(air_c: float) -> float:
    """Vapor pressure at which water condenses. [hPa]

    Parameters
    ----------
    air_c : float
        From -40 to 50. [°C]

    Notes
    -----
    [Alduchov1996]_: 6.1094 exp(17.625 t / (243.04 + t)).
    """
    return _HPA * math.exp(_A * air_c / (_B_C + air_c))


def dew_point_c(air_c: float, humidity_percent: float) -> float:
    """Temperature at which the air's water condenses. [°C]

    Raises
    ------
    MeasureError
        If the humidity is not above 0 and up to 100 %.

    Examples
    --------
    >>> round(dew_point_c(20.0, 50.0), 2)
    9.26
    """
    if not 0.0 < humidity_percent <= 100.0:
        raise MeasureError(
            "humidity", found=f"{humidity_percent:g} %", expected="above 0, at most 100 %"
        )
    gamma = math.log(humidity_percent / 100.0) + _A * air_c / (_B_C + air_c)
    return _B_C * gamma / (_A - gamma)


def margin(
    air_c: float,
    humidity_percent: float,
    slab_c: float,
    *,
    air_within_c: float = 0.5,
    humidity_within: float = 3.0,
    slab_within_c: float = 0.5,
) -> Margin:
    """Compare a slab with the dew point, and say how sure that is.

    Parameters
    ----------
    air_c, humidity_percent, slab_c : float
        Read together. [°C, %, °C]
    air_within_c, humidity_within, slab_within_c : float
        What each instrument may be off by. [°C, %, °C]

    Notes
    -----
    The guard is the root of the sum of squares of what each instrument moves the
    margin by, which holds where they err apart from each other.
    """
    dew_c = dew_point_c(air_c, humidity_percent)
    damper = min(100.0, humidity_percent + humidity_within)
    drier = max(0.1, humidity_percent - humidity_within)
    by_humidity = 0.5 * (dew_point_c(air_c, damper) - dew_point_c(air_c, drier))
    by_air = 0.5 * (
        dew_point_c(air_c + air_within_c, humidity_percent)
        - dew_point_c(air_c - air_within_c, humidity_percent)
    )
    return Margin(
        dew_c=dew_c,
        above_c=slab_c - dew_c,
        guard_c=math.hypot(by_humidity, by_air, slab_within_c),
        surface_percent=100.0 * saturation_hpa(dew_c) / saturation_hpa(slab_c),
    )
