"""The site gate: may this floor be coated, and if not, what is to be done first?"""

from __future__ import annotations

from collections.abc import Sequence
from math import isfinite

from kit.coats.system import Coat, System
from kit.site import Site
from kit.site.readings import Reading, asked_for, probe_depth_m, proven
from kit.stock.limits import Limit
from kit.stock.records import Bound
from kit.stock.shelf import Shelf
from kit.takeoff.figures import Takeoff
from kit.units import M_PER_IN, UM_PER_MIL, read_length, square_feet
from kit.work.dayplan import Schedule
from kit.work.gate_climate import climate_checks
from kit.work.gate_law import law_checks
from kit.work.records import Work
from kit.work.verdicts import GateCheck, GateReport, Verdict, worst

MOISTURE = ("rh", "mver")
"""Readings of which one is needed; a dry sheet does not stand in for them."""


def gate_for(
    site: Site,
    takeoff: Takeoff,
    system: System,
    work: Work,
    shelf: Shelf,
    *,
    schedule: Schedule | None = None,
) -> GateReport:
    """Hold a site to its limits: slab, air now and through the cure, age, dust.

    Parameters
    ----------
    site : Site
    takeoff, system, work
        Of the same floor.
    shelf : Shelf
        Limits, cautions and products are on it.
    schedule : Schedule, optional
        When it is coated; without it nothing can be said of the climate by then.

    Raises
    ------
    SheetError
        If a reading has no unit or no place, or the forecast has a gap.
    """
    slab = _slab_checks(site, takeoff, system.coats[0], shelf)
    air = climate_checks(site.climate, shelf, system, schedule)
    law = law_checks(site, takeoff, work, system, shelf)
    return GateReport((*slab, *air, *law))


def _slab_checks(
    site: Site, takeoff: Takeoff, first: Coat, shelf: Shelf
) -> tuple[GateCheck, ...]:
    """Each kind of slab reading against the limits of the coat that touches the slab."""
    readings = proven(site.slab.readings)
    by_kind: dict[str, list[Reading]] = {}
    for reading in readings:
        by_kind.setdefault(reading.kind, []).append(reading)
    area_ft2 = square_feet(takeoff.net_m2)
    checks = []
    for key in (*MOISTURE, "sheet", "pull_off", "ph", "profile"):
        found = by_kind.get(key, [])
        spared = key in MOISTURE and any(other in by_kind for other in MOISTURE)
        if not found and (spared or key == "sheet"):
            continue
        limit = shelf.limit(key)
        if not found:
            checks.append(_unread(limit, site, first, shelf))
            if key in MOISTURE:
                by_kind[key] = []  # asked for once is enough
            continue
        checks.append(_read(limit, found, first, area_ft2))
    return tuple(checks)


def _unread(limit: Limit, site: Site, first: Coat, shelf: Shelf) -> GateCheck:
    do = limit.read
    if limit.key in MOISTURE:
        do = f"{shelf.caution('moisture').crew} {limit.read}"
        if site.slab.thickness is not None:
            depth_m = probe_depth_m(read_length(site.slab.thickness), sides=1)
            do += f" Here that is {depth_m / M_PER_IN:.2g} in deep."
    passes, _, whose = _limits_of(limit, first)
    told = f"{said_bound(passes, limit.unit)}, {whose}"
    return GateCheck(
        limit.key, limit.name, limit.unread, "not read", told, do, limit.source
    )


def _read(
    limit: Limit, readings: Sequence[Reading], first: Coat, area_ft2: float
) -> GateCheck:
    passes, bears, whose = _limits_of(limit, first)
    verdicts = [_verdict(reading.figure, passes, bears) for reading in readings]
    verdict, do = worst(verdicts), []
    if verdict != "pass":
        do.append(limit.fix)
    if limit.tests is not None:
        tests = limit.tests
        asked = asked_for(
            area_ft2,
            first=tests.first,
            first_ft2=tests.first_ft2,
            each_ft2=tests.each_ft2,
        )
        if len(readings) < asked:
            verdict = worst([verdict, "marginal"])
            more = asked - len(readings)
            do.append(f"{area_ft2:,.0f} sq ft ask for {asked}: read {more} more.")
    if limit.key == "sheet" and verdict == "pass":
        verdict = "marginal"
        do.append("A dry sheet does not prove a dry slab: read the slab's humidity.")
    return GateCheck(
        key=limit.key,
        name=limit.name,
        verdict=verdict,
        found="; ".join(reading.told for reading in readings),
        limit=f"{said_bound(passes, limit.unit)}, {whose}",
        do=" ".join(do),
        source=limit.source,
    )


def _limits_of(limit: Limit, first: Coat) -> tuple[Bound, Bound, str]:
    """What passes and what is borne under the first coat, and whose limit it is."""
    own = first.product.own_limit(limit.key)
    if own is None and limit.by_film:
        film_mil = first.film_um / UM_PER_MIL
        for profile in limit.by_film:
            if film_mil <= profile.up_to_mil + 1e-6:
                wants = Bound(least=profile.least, most=profile.most)
                return wants, wants, f"common limit under {film_mil:.0f} mil"
    return limit.narrowed(own, whose=first.product.name)


def _verdict(figure: float, passes: Bound, bears: Bound) -> Verdict:
    if not isfinite(figure):
        return "stop"
    if passes.holds(figure):
        return "pass"
    return "marginal" if bears.holds(figure) else "stop"


def said_bound(bound: Bound, unit: str) -> str:
    """Say a limit.

    >>> said_bound(Bound(most=75.0), "%"), said_bound(Bound(least=1, most=3), "CSP")
    ('at most 75 %', '1 to 3 CSP')
    """
    if unit.startswith("0 "):
        return unit.split(",", maxsplit=1)[0].removeprefix("0 ")
    match bound.least, bound.most:
        case None, None:
            return "no limit"
        case None, most:
            return f"at most {most:.4g} {unit}"
        case least, None:
            return f"at least {least:.4g} {unit}"
        case least, most:
            return f"{least:.4g} to {most:.4g} {unit}"
