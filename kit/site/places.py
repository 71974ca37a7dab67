"""Lengths, areas and places as they are written on a measure sheet."""

from __future__ import annotations

import re
from typing import Annotated

from pydantic import AfterValidator, Field

from kit.errors import SheetError
from kit.site.sizes import Corner
from kit.units import M2_PER_FT2, read_length


def _readable(text: str) -> str:
    try:
        read_length(text)
    except SheetError as error:
        raise ValueError(error.expected) from None
    return text


Length = Annotated[str, Field(max_length=40), AfterValidator(_readable)]
"""A length as it was written; `kit.units.read_length` gives metres."""

Place = tuple[Length, Length]
"""East and north of the corner that the contractor calls zero."""

_AREA = re.compile(
    r"(?P<value>\d+(?:[.,]\d+)?)\s*(?P<unit>sq\.? ?ft\.?|ft2|ft²|sf|sq\.? ?m|m2|m²)",
    re.ASCII | re.IGNORECASE,
)
_AREAS = "an area such as 12 sq ft or 1.5 m²"


def place_m(place: Place, *, about: str) -> Corner:
    """Metres east and north of a place."""
    return (
        read_length(place[0], about=f"{about}, east"),
        read_length(place[1], about=f"{about}, north"),
    )


def read_area(text: object, *, about: str = "area") -> float:
    """Read an area as it was written; a bare number is refused. [m²]

    Raises
    ------
    SheetError
        If no area can be read.

    Examples
    --------
    >>> read_area("1.5 m²"), round(read_area("12 sq ft"), 6)
    (1.5, 1.114836)
    """
    match = _AREA.fullmatch(text.strip()) if isinstance(text, str) else None
    if match is None:
        raise SheetError(about, found=text, expected=_AREAS)
    value = float(match["value"].replace(",", "."))
    return value if "m" in match["unit"].lower() else value * M2_PER_FT2


def _readable_area(text: str) -> str:
    try:
        read_area(text)
    except SheetError as error:
        raise ValueError(error.expected) from None
    return text


Area = Annotated[str, Field(max_length=40), AfterValidator(_readable_area)]
"""An area as it was written; `read_area` gives square metres."""
