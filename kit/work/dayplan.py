"""A plan of the days: what is done when, inside which window, and what follows."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Literal

from kit.errors import Concern

Activity = Literal["prepare", "coat", "walk_through"]


@dataclass(frozen=True)
class Zone:
    """A part of the floor whose coats are each laid in one go.

    Parameters
    ----------
    number : int
        From 1; the first is farthest from the way out.
    rooms : tuple of str
        Rooms in it, farthest first; a room that is cut stands in several zones.
    area_m2 : float
        [m²]
    """

    number: int
    rooms: tuple[str, ...]
    area_m2: float


@dataclass(frozen=True)
class Layer:
    """One film of the system: a coat, or one pass of it.

    Parameters
    ----------
    key : str
        ``seal``, ``flood``, ``wear``, ``wear-2``.
    name : str
    product : str
        Key of the product.
    labor_h : float
        Readying, mixing and laying it on the whole floor, all persons. [h]
    ready_h : float
        Of those, what is done to the film below before the first bucket. [h]
    """

    key: str
    name: str
    product: str
    labor_h: float
    ready_h: float = 0.0


@dataclass(frozen=True)
class CoatWindow:
    """When a coat may go over the one below it.

    Parameters
    ----------
    below : str
        Name of the coat it goes over.
    earliest : datetime
        No sooner may it be begun: counted from the end of the coat below.
    latest : datetime
        By then it must be finished: every place is closed in time after the coat below
        was begun there, laid in the same turn; else after its start.
    wait, until : timedelta
        From where the coat below is closed until this one may be begun there, and from
        where it is begun until this one must be closed.
    """

    below: str
    earliest: datetime
    latest: datetime
    wait: timedelta
    until: timedelta


@dataclass(frozen=True)
class Slot:
    """A piece of work without a break: begun and finished on one day.

    Parameters
    ----------
    key : str
        ``prepare-1``, ``flood-z2``.
    name : str
        ``Flood coat, zone 2 of 3``.
    activity : {"prepare", "coat", "walk_through"}
    zone : Zone or None
        None for the whole floor.
    layer : Layer or None
        The film laid; None where none is.
    start, end : datetime
        With the time zone of the plan.
    people : int
    window : CoatWindow or None
        None for work on the bare slab.
    hard : datetime or None
        When what was filled is hard and the slab may be coated, where that is waited for.
    """

    key: str
    name: str
    activity: Activity
    zone: Zone | None
    layer: Layer | None
    start: datetime
    end: datetime
    people: int
    window: CoatWindow | None = None
    hard: datetime | None = None

    @property
    def hours(self) -> float:
        """By the clock. [h]"""
        return (self.end - self.start).total_seconds() / 3600.0


@dataclass(frozen=True)
class Day:
    """One day on site.

    Parameters
    ----------
    number : int
        From 1, days on site only.
    date : date
    opens, closes : datetime
        Unlocking and locking up; setting up and cleaning up are inside.
    slots : tuple of Slot
        In the order of the day.
    wait : str
        What hardens after this day and until when, in a sentence.
    """

    number: int
    date: date
    opens: datetime
    closes: datetime
    slots: tuple[Slot, ...]
    wait: str


@dataclass(frozen=True)
class Return:
    """When the floor can be used again, as its last coat hardens.

    Parameters
    ----------
    shoes, furniture, wheels, full : datetime
    """

    shoes: datetime
    furniture: datetime
    wheels: datetime
    full: datetime


@dataclass(frozen=True)
class Schedule:
    """A plan in which every coat falls inside its window.

    Parameters
    ----------
    kind : {"shortest", "comfortable"}
    zones : tuple of Zone
    layers : tuple of Layer
        From the slab up.
    days : tuple of Day
    back : Return
    crew : int
    timezone : str
        IANA name, or "" where none was given.
    concerns : tuple of Concern
        What the plan takes for granted.
    spare_h : float
        What every window keeps free before it closes, by plan; 0 in the shortest. [h]
    """

    kind: Literal["shortest", "comfortable"]
    zones: tuple[Zone, ...]
    layers: tuple[Layer, ...]
    days: tuple[Day, ...]
    back: Return
    crew: int
    timezone: str
    concerns: tuple[Concern, ...]
    spare_h: float = 0.0

    @property
    def slots(self) -> tuple[Slot, ...]:
        """All work in order of time."""
        return tuple(slot for day in self.days for slot in day.slots)

    @property
    def start(self) -> datetime:
        """When the first work begins."""
        return self.slots[0].start

    @property
    def last_coat(self) -> datetime:
        """When the last coat is down."""
        return max(slot.end for slot in self.slots if slot.activity == "coat")


@dataclass(frozen=True)
class Blocked:
    """Why there is no plan.

    Parameters
    ----------
    by : tuple of str
        Constraints that cannot hold together, and none too many: any of them left out,
        the others can.
    frees : tuple of str
        Changes of which each alone makes a plan possible.
    """

    by: tuple[str, ...]
    frees: tuple[str, ...]

    @property
    def line(self) -> str:
        """All of it in one sentence."""
        freed = f" A plan is possible with {' or '.join(self.frees)}." if self.frees else ""
        return f"No plan holds {', '.join(self.by)} together.{freed}"


@dataclass(frozen=True)
class DayPlans:
    """The shortest plan and a comfortable one, or what stands in the way.

    Parameters
    ----------
    shortest, comfortable : Schedule or None
    blocked : Blocked or None
        Given exactly where there is no shortest plan.
    """

    shortest: Schedule | None
    comfortable: Schedule | None
    blocked: Blocked | None

    @property
    def best(self) -> Schedule | None:
        """The comfortable plan where there is one, else the shortest."""
        return self.comfortable or self.shortest
