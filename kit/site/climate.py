"""Air and slab as they were read on site, and as they are expected through the cure."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from datetime import datetime, timedelta
from itertools import pairwise
from typing import Any

from pydantic import Field, field_validator

from kit.errors import SheetError
from kit.record import Record
from kit.site.temperatures import Humidity, Temperature, read_humidity, read_temperature
from kit.site.text import Line

MOST_APART_H = 6.0
"""Expected climate further apart than this has a gap. [h]"""


def local(at: datetime) -> datetime:
    """A time of the site's own clock, to the minute; one with an offset is refused."""
    if at.tzinfo is not None:
        msg = "a time of the site's own clock, without an offset"
        raise ValueError(msg)
    return at.replace(second=0, microsecond=0)


class AirReading(Record):
    """Air and the coldest point of the slab, read together."""

    at: datetime
    where: Line = Field(description="Place on the slab, as a person finds it again.")
    air: Temperature
    humidity: Humidity
    slab: Temperature
    instrument: Line = ""

    _local = field_validator("at")(local)

    @property
    def air_c(self) -> float:
        """[°C]"""
        return read_temperature(self.air)

    @property
    def humidity_percent(self) -> float:
        """[%]"""
        return read_humidity(self.humidity)

    @property
    def slab_c(self) -> float:
        """[°C]"""
        return read_temperature(self.slab)


class Expected(Record):
    """Air, and the slab if somebody reckons with it, expected in the room at a time."""

    at: datetime
    air: Temperature
    humidity: Humidity
    slab: Temperature | None = None

    _local = field_validator("at")(local)

    @property
    def air_c(self) -> float:
        """[°C]"""
        return read_temperature(self.air)

    @property
    def humidity_percent(self) -> float:
        """[%]"""
        return read_humidity(self.humidity)

    @property
    def slab_c(self) -> float | None:
        """[°C], or None where only the air is expected."""
        return None if self.slab is None else read_temperature(self.slab)


class Climate(Record):
    """What was read of the air, and what is expected of it."""

    readings: tuple[AirReading, ...] = Field(default=(), alias="reading", max_length=400)
    forecast: tuple[Expected, ...] = Field(default=(), max_length=2000)
    air_within_c: float = Field(
        default=0.5, gt=0, le=5, description="The air thermometer may be off by. [°C]"
    )
    humidity_within: float = Field(
        default=3.0, gt=0, le=20, description="The humidity meter may be off by. [%]"
    )
    slab_within_c: float = Field(
        default=0.5, gt=0, le=5, description="The slab thermometer may be off by. [°C]"
    )

    @property
    def latest(self) -> tuple[AirReading, ...]:
        """Readings of the last day on which any was taken."""
        if not self.readings:
            return ()
        last = max(reading.at for reading in self.readings).date()
        return tuple(reading for reading in self.readings if reading.at.date() == last)


def without_gaps(forecast: Sequence[Expected]) -> tuple[Expected, ...]:
    """The forecast, if its times rise and lie close together.

    Raises
    ------
    SheetError
        Naming the first gap, or the row that is out of order.
    """
    for number, (before, after) in enumerate(pairwise(forecast), start=2):
        if after.at <= before.at:
            raise SheetError(
                f"climate, forecast {number}, at",
                found=f"{after.at:%Y-%m-%d %H:%M}",
                expected=f"a time after {before.at:%Y-%m-%d %H:%M}",
            )
        if after.at - before.at > timedelta(hours=MOST_APART_H):
            raise SheetError(
                "climate, forecast",
                found=f"nothing between {before.at:%Y-%m-%d %H:%M}"
                f" and {after.at:%Y-%m-%d %H:%M}",
                expected=f"a row at least every {MOST_APART_H:g} h",
            )
    return tuple(forecast)


def readings_proven(readings: Sequence[AirReading]) -> tuple[AirReading, ...]:
    """Air readings, each with its place, or a complaint that names the first without."""
    for number, reading in enumerate(readings, start=1):
        if not reading.where:
            raise SheetError(
                f"climate, reading {number}, where",
                found="nothing",
                expected="the place it was read at",
            )
    return tuple(readings)


_COLUMNS = {
    "air_f": ("air", "°F"),
    "air_c": ("air", "°C"),
    "humidity_percent": ("humidity", "%"),
    "slab_f": ("slab", "°F"),
    "slab_c": ("slab", "°C"),
}
_HEAD = "at, air_f or air_c, humidity_percent, and slab_f or slab_c if it is known"


def forecast_from_csv(text: str, *, about: str = "forecast") -> list[dict[str, Any]]:
    """Rows of an expected climate as the tables of a sheet would hold them.

    Parameters
    ----------
    text : str
        Comma-separated, with a head: ``at`` (2026-12-01 07:00), ``air_f`` or ``air_c``,
        ``humidity_percent`` and, if known, ``slab_f`` or ``slab_c``. A column names
        its unit.
    about : str
        File to name in a complaint.

    Raises
    ------
    SheetError
        If a column is missing, unknown or without its unit, or a time or a figure
        cannot be read; named by line.
    """
    reader = csv.DictReader(io.StringIO(text, newline=""), skipinitialspace=True)
    head = [name.strip() for name in reader.fieldnames or ()]
    reader.fieldnames = head
    if unknown := [name for name in head if name not in ("at", *_COLUMNS)]:
        raise SheetError(f"{about}, head", found=unknown[0] or "nothing", expected=_HEAD)
    named = [_COLUMNS[name][0] for name in head if name != "at"]
    if (
        "at" not in head
        or not {"air", "humidity"} <= set(named)
        or len(set(named)) != len(named)
    ):
        raise SheetError(
            f"{about}, head", found=", ".join(head) or "nothing", expected=_HEAD
        )
    return [
        _row(row, f"{about}, line {number}") for number, row in enumerate(reader, start=2)
    ]


def _row(row: dict[str | None, Any], about: str) -> dict[str, Any]:
    if None in row or None in row.values():
        raise SheetError(about, found="more or fewer cells", expected="one a column")
    try:
        read: dict[str, Any] = {"at": datetime.fromisoformat(row["at"].strip())}
    except ValueError:
        raise SheetError(
            f"{about}, at", found=row["at"], expected="a time such as 2026-12-01 07:00"
        ) from None
    for column, (field, unit) in _COLUMNS.items():
        if column not in row:
            continue
        text = row[column].strip()
        if not text and field == "slab":
            continue
        read[field] = f"{text} {unit}"
        reads = read_humidity if field == "humidity" else read_temperature
        reads(read[field], about=f"{about}, {column}")
    return read
