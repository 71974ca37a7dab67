"""Who works when: people, hours, days off, and by when the floor is needed."""

from __future__ import annotations

from datetime import date, time
from typing import Literal
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from pydantic import Field, field_validator, model_validator

from kit.record import Record

Weekday = Literal["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"]
WEEKDAYS: tuple[Weekday, ...] = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


_COPIES = ("posix/", "right/", "posixrules")
"""Where a computer keeps time zones again under other names, which no calendar knows."""


class Crew(Record):
    """Who works on this floor, and when they can be there."""

    people: int | None = Field(
        default=None, ge=1, le=20, strict=True, description="On site; the firm's usual."
    )
    begin: date | None = Field(
        default=None, description="First day on site; a week after the proposal."
    )
    start: time = Field(
        default=time(7, 30), alias="from", description="The door is unlocked."
    )
    until: time | None = Field(
        default=None, description="It is locked again; after the firm's usual hours."
    )
    days_off: tuple[Weekday, ...] = Field(default=("Sun",), max_length=6)
    closed: tuple[date, ...] = Field(
        default=(), max_length=60, description="Days on which nobody may be there."
    )
    done_by: date | None = Field(
        default=None, description="Last day by which shoes must be able to walk on it."
    )
    timezone: str = Field(
        default="", max_length=60, description="Of the site: America/Chicago."
    )
    fix: Literal["", "exit", "shoes", "days"] = Field(
        default="",
        description="What is done where a room cannot be left dry: a second exit, spiked "
        "shoes, or a taped line and another day.",
    )
    dust_control: bool = Field(
        default=False, description="Shrouds, vacuum and filters of every tool were checked."
    )

    @field_validator("timezone")
    @classmethod
    def _known(cls, name: str) -> str:
        if not name:
            return name
        msg = "a time zone such as America/Chicago"
        if name.startswith(_COPIES):
            raise ValueError(msg)
        try:
            return ZoneInfo(name).key
        except (ZoneInfoNotFoundError, ValueError, OSError):
            raise ValueError(msg) from None

    @field_validator("start", "until")
    @classmethod
    def _plain(cls, at: time | None) -> time | None:
        if at is not None and at.tzinfo is not None:
            msg = "a time of the site's own clock, without an offset"
            raise ValueError(msg)
        return at

    @model_validator(mode="after")
    def _a_day_has_hours(self) -> Crew:
        if self.until is not None and self.until <= self.start:
            msg = f"until to be later than {self.start:%H:%M}"
            raise ValueError(msg)
        return self

    def works_on(self, day: date) -> bool:
        """Whether anybody is on site that day."""
        return WEEKDAYS[day.weekday()] not in self.days_off and day not in self.closed
