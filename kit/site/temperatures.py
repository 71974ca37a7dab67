"""Temperatures and humidities as they are read off an instrument, with their unit."""

from __future__ import annotations

import re
from typing import Annotated

from pydantic import AfterValidator, Field

from kit.errors import SheetError

_TEMPERATURE = re.compile(
    r"(?P<value>[-−]?\d+(?:[.,]\d+)?)\s*(?:°|deg\.?)?\s*(?P<unit>[CF])", re.ASCII
)
_PERCENT = re.compile(r"(?P<value>\d+(?:[.,]\d+)?)\s*%\s*(?:RH)?", re.ASCII)
_COLDEST_C, _HOTTEST_C = -40.0, 60.0
_DEGREES = "degrees with their unit, such as 68 °F or 20 °C"
_SHARE = "a humidity with its unit, such as 55 %"


def read_temperature(text: object, *, about: str = "temperature") -> float:
    """Read a temperature as it was written. [°C]

    Raises
    ------
    SheetError
        If there is no unit, or no room can be that cold or hot.

    Examples
    --------
    >>> read_temperature("68 °F"), read_temperature("20 C")
    (20.0, 20.0)
    """
    plain = str(text).strip().replace("−", "-") if isinstance(text, str) else ""
    match = _TEMPERATURE.fullmatch(plain)
    if match is None:
        raise SheetError(about, found=text, expected=_DEGREES)
    value = float(match["value"].replace(",", "."))
    found_c = value if match["unit"] == "C" else (value - 32.0) / 1.8
    if not _COLDEST_C <= found_c <= _HOTTEST_C:
        raise SheetError(about, found=text, expected="-40 to 140 °F")
    return round(found_c, 9)


def read_humidity(text: object, *, about: str = "humidity") -> float:
    """Read a relative humidity as it was written. [%]

    Raises
    ------
    SheetError
        If there is no percent sign, or it is not above 0 and up to 100.
    """
    match = _PERCENT.fullmatch(text.strip()) if isinstance(text, str) else None
    if match is None:
        raise SheetError(about, found=text, expected=_SHARE)
    value = float(match["value"].replace(",", "."))
    if not 0.0 < value <= 100.0:
        raise SheetError(about, found=text, expected="more than 0 % and at most 100 %")
    return value


def _temperature(text: str) -> str:
    try:
        read_temperature(text)
    except SheetError as error:
        raise ValueError(error.expected) from None
    return text


def _humidity(text: str) -> str:
    try:
        read_humidity(text)
    except SheetError as error:
        raise ValueError(error.expected) from None
    return text


Temperature = Annotated[str, Field(max_length=20), AfterValidator(_temperature)]
"""A temperature as it was written; `read_temperature` gives °C."""

Humidity = Annotated[str, Field(max_length=20), AfterValidator(_humidity)]
"""A relative humidity as it was written; `read_humidity` gives percent."""
