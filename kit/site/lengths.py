"""Lengths as they are typed at the table, written down and shown again."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Literal

from kit.errors import SheetError
from kit.units import M_PER_IN, feet_inches, read_length

EXPECTED = {
    "ft": "a length such as 20 6 1/2, 20.5 (feet), 150 in or 6.25 m",
    "m": "a length such as 4.2 (meters), 420 cm or 13' 9\"",
}
_SIXTEENTHS = 16
_EXACT_M = 2e-6
"""A length this near to a sixteenth of an inch is one: a five-hundredth of a millimetre."""
_DECIMAL = re.compile(r"\d+(?:[.,]\d+)?|[.,]\d+", re.ASCII)
_FEET_INCHES = re.compile(
    r"(?P<feet>\d+)[ -]+(?P<inches>\d+(?:\.\d+)?)(?:[ -]+(?P<part>\d+/[1-9]\d*))?", re.ASCII
)
_GLYPHS = dict(
    zip("¼½¾⅛⅜⅝⅞", ["1/4", "1/2", "3/4", "1/8", "3/8", "5/8", "7/8"], strict=True)
)


def typed_length(text: object, *, about: str, bare: Literal["ft", "m"] = "ft") -> str:
    r"""Read what was typed into a field for a length; give it back as it is kept.

    Where a sheet must name its unit, a field shows at once what it understood, so here
    bare numbers are feet, and inches after them; or meters, where `bare` says so.

    Raises
    ------
    SheetError
        If no length can be read.

    Examples
    --------
    >>> typed_length("20 6 1/2", about="wall 1")
    '20\' 6 1/2"'
    >>> typed_length("20.5", about="wall 1")
    '20\' 6"'
    >>> typed_length("4,2", about="wall 1", bare="m")
    '4.2 m'
    """
    plain = str(text).strip() if isinstance(text, str) else ""
    for glyph, words in _GLYPHS.items():
        plain = plain.replace(glyph, f" {words}")
    plain = " ".join(plain.split())
    if _DECIMAL.fullmatch(plain) and bare == "m":
        plain = f"{plain.replace(',', '.')} m"
    elif _DECIMAL.fullmatch(plain):
        return written_length(_read(f"{plain} ft", about, text, bare))
    elif match := _FEET_INCHES.fullmatch(plain) if bare == "ft" else None:
        if float(match["inches"]) >= 12:
            raise SheetError(about, found=text, expected="inches below 12 after the feet")
        part = f" {match['part']}" if match["part"] else ""
        plain = f"{match['feet']}' {match['inches']}{part}\""
    _read(plain, about, text, bare)
    return plain


def _read(plain: str, about: str, text: object, bare: str) -> float:
    if len(plain) > 40:
        raise SheetError(about, found=text, expected=EXPECTED[bare])
    try:
        return read_length(plain, about=about)
    except SheetError:
        raise SheetError(about, found=text or "nothing", expected=EXPECTED[bare]) from None


def written_length(length_m: float) -> str:
    r"""Write a length down so that it reads back the same, in inches if it is in them.

    >>> written_length(6.2611), written_length(6.25)
    ('20\' 6 1/2"', '6.25 m')
    """
    steps = round(length_m / M_PER_IN * _SIXTEENTHS)
    if abs(steps * M_PER_IN / _SIXTEENTHS - length_m) > _EXACT_M:
        return f"{length_m:.4f}".rstrip("0").rstrip(".") + " m"
    feet, rest = divmod(steps, 12 * _SIXTEENTHS)
    whole, part = divmod(rest, _SIXTEENTHS)
    fraction = f" {Fraction(part, _SIXTEENTHS)}" if part else ""
    return f"{feet}' {whole}{fraction}\""


def shown_length(text: str) -> str:
    r"""Show a kept length: feet and inches to the eighth, metric ones as they were written.

    >>> shown_length("20' 6 1/2\""), shown_length("6.25 m")
    ('20′ 6½″', '6.25 m')
    """
    if text.rstrip().endswith("m"):
        return text
    return feet_inches(read_length(text), nearest=8)
