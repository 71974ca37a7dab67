"""The days on site as the client reads them, and when the floor may be used again."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from kit.proposal.measures import Measures
from kit.proposal.shown import DayBar, Days, Return

if TYPE_CHECKING:
    from kit.coats import System
    from kit.site import Site
    from kit.stock import Shelf
    from kit.stock.records import Finish
    from kit.work import Work
    from kit.work.windows import Windows

LAST_COAT_AT = 0.7
"""Part of the last day that is over when the last coat is down."""
MOST_DAYS = 42
IN_HOURS = 48.0
"""Up to here a wait is told in hours. [h]"""


def day_strip(
    work: Work, system: System, finish: str, hardens: Windows, measures: Measures
) -> Days | None:
    """Lay the days on site out as a strip, with the first uses after the last coat.

    Parameters
    ----------
    work : Work
    system : System
    finish : str
        Its name, as the client reads it.
    hardens : Windows
        How the last coat hardens at the site's temperature.
    measures : Measures
    """
    say = measures.words
    waits = {
        "days.shoes": hardens.walk_on_h,
        "days.furniture": hardens.furniture_h,
        "days.wheels": hardens.wheels_h,
    }
    count = work.days + math.ceil(hardens.wheels_h / 24.0) + 1
    if work.days < 1 or count > MOST_DAYS:
        return None
    primed = any(coat.kind == "primer" for coat in system.coats)
    coved = any(extra.base for extra in system.extras)
    prepared = "days.prime" if primed else "days.fill"
    words = {
        "prepare": say(f"{prepared}_cove" if coved else prepared),
        "flood": say("days.pour"),
        "wear": say("days.coat", finish=finish),
    }
    bars = []
    first = 0
    for stage in work.stages:
        if stage.days > 0:
            last = first + stage.days - 1
            bars.append(DayBar(words[stage.stage], first, last, stage.stage == "flood"))
            first = last + 1
    down = work.days - 1 + LAST_COAT_AT
    return Days(
        names=tuple(say("days.day", number=str(day)) for day in range(1, count + 1)),
        resting=(False,) * count,
        bars=tuple(bars),
        returns=tuple(
            Return(say(use, wait=waited(hours, measures)), down + hours / 24.0)
            for use, hours in waits.items()
        ),
        note=say("days.note", temperature=measures.temperature(hardens.slab_c)),
    )


def waited(hours: float, measures: Measures) -> str:
    """Say a wait, never shorter than it is: ``32 hours``, ``4 days``."""
    if hours <= IN_HOURS:
        return measures.words("days.hours", number=str(math.ceil(round(hours, 6))))
    return measures.words("days.days", number=str(math.ceil(round(hours / 24.0, 6))))


def hardening(site: Site, finish: Finish, shelf: Shelf) -> Windows:
    """How a wear coat hardens on the coldest place of the slab, as it was last read.

    Without a reading it is told at the temperature of the product sheet; where the slab
    is colder or warmer than the coat may be laid on, at the limit of that.
    """
    from kit.stock.cures import AT_C
    from kit.work.windows import windows_for

    product = shelf.product(finish.product)
    cure = shelf.cure(product)
    read = [reading.slab_c for reading in site.climate.latest]
    slab_c = min(max(min(read, default=AT_C), cure.least_c), cure.most_c)
    return windows_for(product, cure, slab_c)
