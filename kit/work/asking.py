"""What a plan of the days is asked for: the floor, who works when, on what slab."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time, tzinfo
from functools import cached_property
from math import ceil

from kit.plan import FloorPlan
from kit.site.crew import Crew
from kit.stock.cures import Cure
from kit.stock.records import Product
from kit.work.dayplan import Layer, Zone
from kit.work.expected import Clock, Expectation


@dataclass(frozen=True)
class Takes:
    """How long one film on one zone takes by the clock.

    Parameters
    ----------
    hours : float
        From readying what is below to the last lane closed. [h]
    behind_h : float
        How much longer after the start of this film than after that of the film below
        any place is closed than it was begun there, at most: what the time between two
        starts has less than a window. Its own hours where the lanes are not the same,
        for then the first place below may be the last one above. [h]
    """

    hours: float
    behind_h: float


PourTimes = Callable[[tuple[Zone, ...], int], Sequence[Sequence[Takes]]]
"""For zones and people, what each film takes on each zone: (zones, layers)."""


@dataclass(frozen=True)
class Floor:
    """What is laid, whoever lays it and when.

    Parameters
    ----------
    layers : tuple of Layer
    products : tuple of (Product, Cure)
        One a layer.
    prepare_h, set_up_h : float
        Labor on the bare slab, of all; and of one person a day for setting up. [h]
    fillers : tuple of (Product, Cure)
        What cracks, joints and hollows are filled with: hard before the first film.
    filled_h : float
        Of the labor on the bare slab, what is done until they are filled. [h]
    pours : callable, optional
        What each film takes by the pour's own clock. May raise a `PlanError` where zones
        cannot be poured so. By the bid's labor where left out.
    """

    plan: FloorPlan
    area_m2: float
    layers: tuple[Layer, ...]
    products: tuple[tuple[Product, Cure], ...]
    prepare_h: float
    set_up_h: float
    fillers: tuple[tuple[Product, Cure], ...] = ()
    filled_h: float = 0.0
    pours: PourTimes | None = None


@dataclass(frozen=True)
class Terms:
    """Who works when and on what slab: all that could be otherwise.

    Parameters
    ----------
    spare_from, spare_until, spare_day : int
        Kept free after a window opens, before it closes, of each day. [quarters]
    dropped : frozenset of str
        Constraints that are left out, to see which of them stand in the way.
    """

    people: int
    start: time
    until: time
    crew: Crew
    begin: date
    zone: tzinfo
    expected: Expectation
    spare_from: int = 0
    spare_until: int = 0
    spare_day: int = 0
    dropped: frozenset[str] = frozenset()

    @cached_property
    def clock(self) -> Clock:
        """Counts from the midnight before the first day."""
        return Clock(datetime.combine(self.begin, time(), tzinfo=self.zone))

    def quarter(self, day: date, at: time) -> int:
        """First whole quarter from a time on: a door of 7:40 is worked from 7:45."""
        return ceil(self.clock.quarter(datetime.combine(day, at)) - 1e-9)

    def works_on(self, day: date) -> bool:
        """Whether coats can be laid that day."""
        return "days off" in self.dropped or self.crew.works_on(day)


def eased(terms: Terms, **others: object) -> Terms:
    """The terms with some of them otherwise."""
    return replace(terms, **others)  # type: ignore[arg-type]
