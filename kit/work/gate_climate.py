"""Air and slab against their limits: as read, and as expected through the cure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from kit.coats.system import System
from kit.site.climate import AirReading, Climate, readings_proven, without_gaps
from kit.site.dew import FORMULA, Margin, margin
from kit.stock.limits import Limit
from kit.stock.records import Bound
from kit.stock.shelf import Shelf
from kit.units import fahrenheit
from kit.work.dayplan import Schedule
from kit.work.verdicts import GateCheck, Verdict, worst

HELD = ("slab_temperature", "humidity", "dew_margin")
"""Limits that air and slab are held to together."""


@dataclass(frozen=True)
class Moment:
    """Air and slab at one time, read or expected. [°C, %, °C]"""

    says: str
    air_c: float
    humidity_percent: float
    slab_c: float


def climate_checks(
    climate: Climate, shelf: Shelf, system: System, schedule: Schedule | None
) -> tuple[GateCheck, ...]:
    """Slab temperature, humidity and dew point, now and through the cure.

    Raises
    ------
    SheetError
        If an air reading has no place, or the forecast has a gap.
    """
    own = [coat.product for coat in system.coats]
    limits = {
        key: shelf.limit(key) for key in ("slab_temperature", "humidity", "dew_margin")
    }
    bounds = {}
    for key, limit in limits.items():
        stated = ((one.own_limit(key), one.name) for one in own)
        given, whose = next(((b, name) for b, name in stated if b), (None, ""))
        bounds[key] = limit.narrowed(given, whose=whose)
    now = [_read(reading) for reading in readings_proven(climate.latest)]
    checks = [
        *_held(now, climate, limits, bounds, when="now", unread=""),
        _through(climate, limits, bounds, schedule),
    ]
    return tuple(checks)


Bounds = dict[str, tuple[Bound, Bound, str]]


def _read(reading: AirReading) -> Moment:
    with_what = f" ({reading.instrument})" if reading.instrument else ""
    says = f"{reading.where}, {reading.at:%Y-%m-%d %H:%M}{with_what}"
    return Moment(says, reading.air_c, reading.humidity_percent, reading.slab_c)


def _held(
    moments: Sequence[Moment],
    climate: Climate,
    limits: dict[str, Limit],
    bounds: Bounds,
    *,
    when: str,
    unread: str,
) -> list[GateCheck]:
    """One check each of slab temperature, humidity, and slab above the dew point."""
    if not moments:
        return [
            GateCheck(
                key, f"{limit.name}, {when}", limit.unread, unread or "not read",
                _told(key, bounds[key]), limit.read, limit.source,
            )
            for key, limit in limits.items()
        ]  # fmt: skip
    coldest = min(moments, key=lambda moment: moment.slab_c)
    warmest = max(moments, key=lambda moment: moment.slab_c)
    dampest = max(moments, key=lambda moment: moment.humidity_percent)
    off = climate.slab_within_c, climate.humidity_within
    slab = [
        guarded(moment.slab_c, off[0], *bounds["slab_temperature"][:2])
        for moment in (coldest, warmest)
    ]
    damp = guarded(dampest.humidity_percent, off[1], *bounds["humidity"][:2])
    least, tightest = _tightest(moments, climate)
    dew = guarded(least.above_c, least.guard_c, *bounds["dew_margin"][:2])
    said = {
        "slab_temperature": (
            worst(slab),
            f"{_f(coldest.slab_c)} at {coldest.says}"
            + ("" if coldest == warmest else f"; {_f(warmest.slab_c)} at {warmest.says}"),
        ),
        "humidity": (damp, f"{dampest.humidity_percent:.0f} % at {dampest.says}"),
        "dew_margin": (dew, _said_margin(least, tightest)),
    }
    by_formula = f"; dew point by the {FORMULA}"
    return [
        GateCheck(
            key=key,
            name=f"{limit.name}, {when}" if when else limit.name,
            verdict=said[key][0],
            found=said[key][1],
            limit=_told(key, bounds[key]),
            do="" if said[key][0] == "pass" else limit.fix,
            source=f"{limit.source}{by_formula if key == 'dew_margin' else ''}",
        )
        for key, limit in limits.items()
    ]


def _tightest(moments: Sequence[Moment], climate: Climate) -> tuple[Margin, Moment]:
    """The moment at which the slab is nearest to the dew point."""
    margins = [
        margin(
            moment.air_c,
            moment.humidity_percent,
            moment.slab_c,
            air_within_c=climate.air_within_c,
            humidity_within=climate.humidity_within,
            slab_within_c=climate.slab_within_c,
        )
        for moment in moments
    ]
    number = min(range(len(margins)), key=lambda n: margins[n].above_c)
    return margins[number], moments[number]


def guarded(figure: float, guard: float, passes: Bound, bears: Bound) -> Verdict:
    """A verdict that is marginal wherever the instrument cannot tell.

    Parameters
    ----------
    figure : float
    guard : float
        What the instrument may be off by, in the unit of the figure.
    passes, bears : Bound
        What passes, and what is borne beyond that.

    Examples
    --------
    >>> over_3 = Bound(least=3.0)
    >>> [guarded(x, 0.5, over_3, over_3) for x in (3.6, 3.0, 2.4)]
    ['pass', 'marginal', 'stop']
    """
    # a hair, so that 3.6 − 3.0 is not less than 0.6
    surely = (figure - guard + 1e-9, figure + guard - 1e-9)
    if all(passes.holds(end) for end in surely):
        return "pass"
    return "marginal" if any(bears.holds(end) for end in (*surely, figure)) else "stop"


def _through(
    climate: Climate, limits: dict[str, Limit], bounds: Bounds, schedule: Schedule | None
) -> GateCheck:
    """The worst that is expected from the first coat until shoes may walk on the last."""
    rows = without_gaps(climate.forecast)
    dew = limits["dew_margin"]
    name, told = (
        "Climate through the cure",
        "; ".join(_told(key, bounds[key]) for key in limits),
    )
    if not rows or schedule is None:
        return GateCheck(
            "through_cure", name, "marginal",
            "no climate expected through the cure",
            told,
            "Give a forecast for the room, or hold its climate and read it every 4 h "
            "until the last coat is hard.",
            dew.source,
        )  # fmt: skip
    start = _plain(min(slot.start for slot in schedule.slots if slot.layer))
    end = _plain(schedule.back.shoes)
    read_c = min((reading.slab_c for reading in climate.latest), default=None)
    moments = [
        Moment(
            f"{row.at:%a %Y-%m-%d %H:%M}",
            row.air_c,
            row.humidity_percent,
            row.slab_c
            if row.slab_c is not None
            else min(row.air_c, row.air_c if read_c is None else read_c),
        )
        for row in rows
        if start <= row.at <= end
    ]
    if not moments:
        return GateCheck(
            "through_cure", name, "marginal",
            f"nothing expected from {start:%Y-%m-%d %H:%M} to {end:%Y-%m-%d %H:%M}",
            told, "Give a forecast for these days.", dew.source,
        )  # fmt: skip
    held = _held(moments, climate, limits, bounds, when="", unread="")
    verdict = worst(check.verdict for check in held)
    do = [check.do for check in held if check.do]
    found = [check.found for check in held]
    if rows[-1].at < end or rows[0].at > start:
        verdict = worst([verdict, "marginal"])
        found.append(
            f"the forecast runs {rows[0].at:%Y-%m-%d %H:%M} to {rows[-1].at:%Y-%m-%d %H:%M}"
        )
        do.append(f"Look again: the floor hardens until {end:%Y-%m-%d %H:%M}.")
    return GateCheck(
        "through_cure", name, verdict, "; ".join(found), told, " ".join(do), dew.source
    )


def _plain(at: datetime) -> datetime:
    return at.replace(tzinfo=None)


def _f(temperature_c: float) -> str:
    return f"{fahrenheit(temperature_c):.1f} °F"


def _said_margin(least: Margin, moment: Moment) -> str:
    return (
        f"{1.8 * least.above_c:.1f} °F above the dew point of {_f(least.dew_c)}, "
        f"give or take {1.8 * least.guard_c:.1f} °F, with {_f(moment.slab_c)} slab, "
        f"{_f(moment.air_c)} air, {moment.humidity_percent:.0f} % at {moment.says}; the "
        f"slab's surface sees {least.surface_percent:.0f} %"
    )


def _told(key: str, bounds: tuple[Bound, Bound, str]) -> str:
    passes, bears, whose = bounds
    match key:
        case "slab_temperature":
            words = f"slab {_range_f(passes)}"
            if bears != passes:
                words += f", with care {_range_f(bears)}"
        case "dew_margin":
            words = (
                f"slab at least {1.8 * (passes.least or 0.0):.1f} °F above the dew point"
            )
        case _:
            words = f"air at most {passes.most:g} %" if passes.most else "any humidity"
    return f"{words}, {whose}"


def _range_f(bound: Bound) -> str:
    low, high = (
        None if end is None else round(fahrenheit(end)) for end in (bound.least, bound.most)
    )
    if low is None or high is None:
        return f"from {low} °F" if high is None else f"up to {high} °F"
    return f"{low} to {high} °F"
