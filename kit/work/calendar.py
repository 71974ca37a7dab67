"""The days as a calendar file that phones and desks read (iCalendar)."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime, time
from hashlib import sha256
from typing import TYPE_CHECKING

from kit.errors import SheetError
from kit.work.dayplan import Schedule, Slot
from kit.work.telling_days import clocked

if TYPE_CHECKING:
    from icalendar import Event

MAKER = "-//Pourtable//days//EN"


def calendar(
    schedule: Schedule, *, title: str, number: str, place: str, stamped: date
) -> bytes:
    """Write a plan as an iCalendar file. [RFC5545]_

    Parameters
    ----------
    schedule : Schedule
    title, number, place : str
        Of the job: what it is, its number, where it is.
    stamped : date
        Day of the job, told as the time the file was made.

    Returns
    -------
    bytes
        The same for the same plan: an event that is imported again replaces itself.

    Raises
    ------
    SheetError
        If no time zone was given, without which a phone elsewhere is hours off.
    """
    from icalendar import Calendar

    if not schedule.timezone:
        raise SheetError(
            "crew, timezone", found="nothing", expected="one such as America/Chicago"
        )
    job = sha256(f"{number}\n{title}\n{place}".encode()).hexdigest()[:16]
    made = Calendar()
    made.add("prodid", MAKER)
    made.add("version", "2.0")
    made.add("x-wr-timezone", schedule.timezone)
    stamp = datetime.combine(stamped, time(), tzinfo=UTC)
    for key, event in _events(schedule, title=title, place=place):
        event.add("uid", f"{key}-{job}@pourtable")
        event.add("dtstamp", stamp)
        made.add_component(event)
    first, last = schedule.start.date(), schedule.back.full.date()
    made.add_missing_timezones(date(first.year, 1, 1), date(last.year + 1, 12, 31))
    return bytes(made.to_ical())


def _events(schedule: Schedule, *, title: str, place: str) -> Iterator[tuple[str, Event]]:
    from icalendar import Event

    for slot in schedule.slots:
        yield slot.key, _event(slot, title=title, place=place)
    for key, words, at in (
        ("shoes", "shoes may walk on it", schedule.back.shoes),
        ("furniture", "light furniture may return", schedule.back.furniture),
        ("wheels", "wheels and rugs may return", schedule.back.wheels),
    ):
        event = Event()
        event.add("summary", f"{title}: {words}")
        event.add("dtstart", at)
        event.add("location", place)
        event.add("transp", "TRANSPARENT")
        yield key, event


def _event(slot: Slot, *, title: str, place: str) -> Event:
    from icalendar import Event

    event = Event()
    event.add("summary", f"{title}: {slot.name}")
    event.add("dtstart", slot.start)
    event.add("dtend", slot.end)
    event.add("location", place)
    said = [f"{slot.people} on site."]
    if slot.window is not None:
        said.append(
            f"Over {slot.window.below.lower()}: not before "
            f"{clocked(slot.window.earliest)}, down by {clocked(slot.window.latest)}."
        )
    event.add("description", " ".join(said))
    return event
