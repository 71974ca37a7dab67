"""What the age of a building and the tools on site ask for before anything is ground."""

from __future__ import annotations

from collections.abc import Sequence

from kit.coats.system import System
from kit.site import Site
from kit.site.readings import Reading
from kit.stock.limits import DustControl
from kit.stock.shelf import Shelf
from kit.takeoff.figures import Takeoff
from kit.units import square_feet
from kit.work.records import Work
from kit.work.verdicts import GateCheck, Verdict

PAINT_BEFORE = 1978
"""Housing from before this year counts as painted with lead: 40 CFR 745.83."""
FLOORING_TO = 1980
"""Flooring in buildings up to this year counts as asbestos: 29 CFR 1926.1101(k)."""
INDOORS_FT2, OUTDOORS_FT2 = 6.0, 20.0
"""Painted surface that may be disturbed without the rule for lead. [ft²]"""
EXPOSURE_UG_M3, ACTION_UG_M3 = 50.0, 25.0
"""Silica in the air over a shift: the limit, and where steps begin. [µg/m³]"""


def lead_rule_applies(disturbed_ft2: float, *, indoors: bool) -> bool:
    """Whether so much old paint disturbed in one room is work for a certified firm.

    Work in one room within 30 days counts as one. 40 CFR 745.83.
    """
    return disturbed_ft2 > (INDOORS_FT2 if indoors else OUTDOORS_FT2)


def counts_as_asbestos(year_built: int | None, *, has_flooring: bool) -> bool:
    """Whether flooring or adhesive counts as asbestos until a laboratory says otherwise."""
    return has_flooring and (year_built is None or year_built <= FLOORING_TO)


def respirator_factor(control: DustControl, hours: float, *, indoors: bool = True) -> int:
    """Assigned protection factor that a shift at a tool asks for; 0 is none.

    Parameters
    ----------
    hours : float
        One person, at the tool, in a shift. [h]
    """
    return control.protection_long if indoors and hours > control.long_from_h else 0


def law_checks(
    site: Site, takeoff: Takeoff, work: Work, system: System, shelf: Shelf
) -> tuple[GateCheck, ...]:
    """Lead, asbestos, silica and solvent."""
    people = site.crew.people or shelf.house.crew
    readings = site.slab.readings
    largest_ft2 = square_feet(max(room.net_m2 for room in takeoff.rooms))
    return (
        _lead(site, largest_ft2, _of(readings, "lead"), shelf),
        _asbestos(site, _of(readings, "asbestos"), shelf),
        *_dust(site, work, shelf, people),
        *_solvent(system, shelf),
    )


def _of(readings: Sequence[Reading], kind: str) -> list[Reading]:
    return [reading for reading in readings if reading.kind == kind]


def _age(site: Site) -> str:
    year = site.year_built
    return "year built not known" if year is None else f"built {year}"


def _tested(readings: Sequence[Reading]) -> tuple[Verdict, str] | None:
    """What a laboratory said: one find is enough to stop."""
    if not readings:
        return None
    said = "; ".join(reading.told for reading in readings)
    return ("stop" if any(reading.figure for reading in readings) else "pass"), said


def _lead(
    site: Site, largest_ft2: float, readings: Sequence[Reading], shelf: Shelf
) -> GateCheck:
    """A painted slab is ground whole, so its largest room is what is disturbed."""
    caution = shelf.caution("lead")
    old = site.year_built is None or site.year_built < PAINT_BEFORE
    paint = "painted slab" if site.slab.painted else "no paint on the slab"
    much = site.slab.painted and lead_rule_applies(largest_ft2, indoors=True)
    verdict: Verdict = "stop" if old and much else "pass"
    found = f"{_age(site)}, {paint}"
    if verdict == "stop" and (tested := _tested(readings)) is not None:
        verdict, found = tested[0], f"{found}; {tested[1]}"
    return GateCheck(
        key="lead",
        name=caution.title,
        verdict=verdict,
        found=found,
        limit=f"tested, where a slab was painted before {PAINT_BEFORE}",
        do="" if verdict == "pass" else caution.crew,
        source=caution.source,
    )


def _asbestos(site: Site, readings: Sequence[Reading], shelf: Shelf) -> GateCheck:
    caution = shelf.caution("asbestos")
    has = site.slab.old_flooring
    seen = "old flooring or adhesive" if has else "no flooring or adhesive seen"
    verdict: Verdict = (
        "stop" if counts_as_asbestos(site.year_built, has_flooring=has) else "pass"
    )
    found, do = f"{_age(site)}, {seen}", caution.crew
    if verdict == "stop" and (tested := _tested(readings)) is not None:
        verdict, found = tested[0], f"{found}; {tested[1]}"
    if verdict == "pass":
        old = site.year_built is None or site.year_built <= FLOORING_TO
        do = "Stop if black adhesive shows under the grinder." if old else ""
    return GateCheck(
        key="asbestos",
        name=caution.title,
        verdict=verdict,
        found=found,
        limit=f"tested, where there is flooring of {FLOORING_TO} or before",
        do=do,
        source=caution.source,
    )


def _dust(site: Site, work: Work, shelf: Shelf, people: int) -> list[GateCheck]:
    """Each tool that makes silica dust on this floor."""
    hours = {task.key: task.labor_h for task in work.tasks}
    checks = []
    for control in shelf.dust:
        labor_h = sum(hours.get(task, 0.0) for task in control.tasks)
        if not labor_h:
            continue
        # one person may do all of it, up to a whole shift
        shift_h = min(labor_h, shelf.house.hours_per_day)
        factor = respirator_factor(control, shift_h)
        if factor:
            wear = (
                f" More than {control.long_from_h:g} h a person indoors: wear a respirator "
                f"with a protection factor of {factor}, or share it among {people}."
            )
        else:
            wear = " No respirator is asked for with these controls."
        flow = (
            f" {control.flow_cfm:g} cfm for {control.wheel_in:g} in."
            if control.flow_cfm
            else ""
        )
        is_ready = site.crew.dust_control
        checks.append(
            GateCheck(
                key=control.key,
                name=f"Silica dust, {control.tool.lower()}",
                verdict="pass" if is_ready else "marginal",
                found=f"{labor_h:.1f} person-hours; controls "
                + ("checked" if is_ready else "not said to be checked"),
                limit=f"{EXPOSURE_UG_M3:g} µg/m³ over a shift, steps from {ACTION_UG_M3:g}",
                do=f"{control.controls}{flow}{wear} {shelf.caution('silica').crew}",
                source=control.source,
            )
        )
    return checks


def _solvent(system: System, shelf: Shelf) -> list[GateCheck]:
    """Solvent of each product against what may be sold for floors."""
    limit = shelf.limit("voc")
    checks: dict[str, GateCheck] = {}
    for coat in system.coats:
        product, told = coat.product, coat.product.voc_g_per_l
        verdict, found, do = limit.unread, "not on the shelf", limit.read
        if told is not None:
            high, bears = limit.pass_to or 0.0, limit.bears_to or 0.0
            verdict = "pass" if told <= high else "marginal" if told <= bears else "stop"  # type: ignore[assignment]
            found = f"{told:g} g/l by its sheet"
            do = {
                "pass": "",
                "marginal": "Check the rule of the state or district: some allow less.",
            }.get(verdict, limit.fix)
        checks[product.key] = GateCheck(
            f"voc_{product.key}",
            f"{limit.name}, {product.name}",
            verdict,
            found,
            f"at most {limit.pass_to:g} g/l anywhere, {limit.bears_to:g} by federal rule",
            do,
            limit.source,
        )
    return list(checks.values())
