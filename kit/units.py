"""SI inside, feet and inches at the edges; every factor exact by definition.

One inch is 25.4 mm and one US gallon 231 cubic inches [NIST811]_ app. B; all
else follows. Lengths that people type are read by `read_length`.
"""

from __future__ import annotations

import re
from fractions import Fraction

from kit.errors import SheetError

M_PER_IN = 0.0254
M_PER_FT = 0.3048
M2_PER_FT2 = M_PER_FT**2
UM_PER_MIL = 25.4
L_PER_GAL = 231 * 0.254**3
"""Litres in a US gallon: 231 cubic inches, 3.785411784 l."""
KG_PER_LB = 0.45359237
PSI_PER_MPA = 1e6 * 0.0254**2 / (0.45359237 * 9.80665)
G_PER_OZ = KG_PER_LB * 1000 / 16
FT2_MIL_PER_GAL = 231 / 0.144
"""Square feet that one gallon covers at one mil: 1604.1667, the "1604 rule"."""

_VULGAR = dict(
    zip("¼½¾⅛⅜⅝⅞", ["1/4", "1/2", "3/4", "1/8", "3/8", "5/8", "7/8"], strict=True)
)
_PRIMES = str.maketrans("′’″”⁄", "''\"\"/")
_METRIC_M = {"m": 1.0, "cm": 0.01, "mm": 0.001}
_NUMBER = r"\d+(?:\.\d+)?|\.\d+"
_PART = r"\d+/[1-9]\d*"
_INCHES = rf"(?:(?P<whole>{_NUMBER})(?:[ -]+(?P<part>{_PART}))?|(?P<only>{_PART}))"
_METRIC = re.compile(rf"(?P<value>{_NUMBER})\s*(?P<unit>mm|cm|m)", re.ASCII)
_IMPERIAL = re.compile(
    rf"(?:(?P<feet>{_NUMBER})\s*(?:'|ft\.?|feet|foot)(?:\s*-(?=\d)|\s*))?"
    rf"(?:{_INCHES}\s*(?:\"|in\.?|inch|inches)\s*)?",
    re.ASCII,
)
_FORMS = "a positive length such as 12' 6\", 12 ft 6 1/2 in, 150 in or 3.81 m"


def read_length(text: object, *, about: str = "length") -> float:
    r"""Read a length as a contractor writes it. [m]

    Parameters
    ----------
    text : str
        ``12' 6"``, ``12' 6 1/2"``, ``12 ft 6 in``, ``150 in``, ``3.81 m``,
        ``381 cm``; typographic primes and ½ ¼ ¾ ⅛ are taken too. A bare
        number is refused: a floor in the wrong unit is ten times the floor.
    about : str
        Field to name in the complaint.

    Raises
    ------
    SheetError
        If no length can be read.

    Examples
    --------
    >>> read_length("12' 6\"")
    3.81
    >>> read_length("150 in") == read_length("3.81 m")
    True
    """
    if not isinstance(text, str):
        raise SheetError(about, found=text, expected=f"{_FORMS}, in quotation marks")
    plain = text.strip().lower().translate(_PRIMES).replace("''", '"')
    if plain.count(",") == 1:
        plain = plain.replace(",", ".")
    for glyph, words in _VULGAR.items():
        plain = plain.replace(glyph, f" {words}")
    plain = " ".join(plain.split())
    if metric := _METRIC.fullmatch(plain):
        return round(float(metric["value"]) * _METRIC_M[metric["unit"]], 9)
    match = _IMPERIAL.fullmatch(plain)
    if not plain or match is None:
        raise SheetError(about, found=text, expected=_FORMS)
    feet, *inches = (
        Fraction(match[part] or 0) for part in ("feet", "whole", "part", "only")
    )
    if feet and sum(inches) >= 12:
        raise SheetError(about, found=text, expected="inches below 12 after the feet")
    return round(float((feet * 12 + sum(inches)) * Fraction(254, 10_000)), 9)


def feet_inches(length_m: float, *, nearest: int = 2) -> str:
    """Write a length as the trade reads it, to 1/`nearest` inch.

    >>> feet_inches(3.81), feet_inches(6.2611)
    ('12′ 6″', '20′ 6½″')
    """
    steps = round(length_m / M_PER_IN * nearest)
    feet, rest = divmod(steps, 12 * nearest)
    whole, part = divmod(rest, nearest)
    fraction = Fraction(part, nearest)
    glyph = {v: k for k, v in _VULGAR.items()}.get(
        f"{fraction.numerator}/{fraction.denominator}", ""
    )
    return f"{feet}′ {whole}{glyph}″"


def meters(length_m: float, *, places: int = 3) -> str:
    """Write a length in meters, to the millimeter unless fewer `places` are wanted.

    >>> meters(6.2484), meters(4.2), meters(6.2484, places=2)
    ('6.248 m', '4.2 m', '6.25 m')
    """
    text = f"{length_m:.{places}f}".rstrip("0").rstrip(".") if places else f"{length_m:.0f}"
    return f"{text} m"


def square_feet(area_m2: float) -> float:
    """Area in square feet. [ft²]"""
    return area_m2 / M2_PER_FT2


def gallons(volume_l: float) -> float:
    """Volume in US gallons."""
    return volume_l / L_PER_GAL


def mils(film_um: float) -> float:
    """Film in thousandths of an inch."""
    return film_um / UM_PER_MIL


def fahrenheit(temperature_c: float) -> float:
    """Temperature in degrees Fahrenheit."""
    return temperature_c * 1.8 + 32.0
