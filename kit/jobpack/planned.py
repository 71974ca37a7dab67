"""The days and the site gate as the crew reads them, whether planned yet or not."""

from __future__ import annotations

from datetime import datetime

from kit.jobpack.shown import DayShown, Row, Table
from kit.work.dayplan import Day, Schedule, Slot
from kit.work.records import Work
from kit.work.verdicts import ORDER, GateReport

STAGE_WORDS = {"prepare": "Prepare and seal", "flood": "Flood coat", "wear": "Wear coat"}
VERDICT_SAYS = {
    "pass": "The site was read and may be coated. Read it again before the first bucket.",
    "marginal": "It may be coated by who knows the risk: read what is marked below.",
    "stop": "Do not coat until what is marked below is done and read again.",
}
HEAD = ("", "Check", "Found", "Held to", "Do")


def verdict_of(gate: GateReport | None) -> tuple[str, str]:
    """The verdict in a word, and what it means."""
    if gate is None:
        return "STOP", "Nothing was read on this site yet. Never coat without a reading."
    return gate.verdict.upper(), VERDICT_SAYS[gate.verdict]


MOST_UNCHECKED, MOST_WORDS = 7, 90


def unchecked(gate: GateReport | None) -> tuple[str, ...]:
    """What the gate does not pass, for the first page; the rest is on the gate's own."""
    if gate is None:
        return ("Read slab and air; nothing was read yet.",)
    open_ = [check for verdict in reversed(ORDER[1:]) for check in gate.of(verdict)]
    told = [f"{check.name}: {_brief(check.found)}" for check in open_[:MOST_UNCHECKED]]
    more = len(open_) - len(told)
    return (*told, *((f"and {more} more, see the site gate",) if more > 0 else ()))


def _brief(words: str) -> str:
    """What was found, or the first of it where it is much."""
    return words if len(words) <= MOST_WORDS else _short(words.split(";", maxsplit=1)[0])


def on_site(work: Work, schedule: Schedule | None) -> str:
    """How many days, and from when to when."""
    if schedule is None:
        return str(work.days)
    first, last = schedule.days[0], schedule.days[-1]
    span = f"{first.date:%a %b} {first.date.day} to {last.date:%a %b} {last.date.day}"
    return f"{len(schedule.days)}: {span}, doors open {_hour(first.opens)}"


def gate_table(gate: GateReport | None) -> Table:
    """Every check, the worst first."""
    if gate is None:
        return Table("Site gate", HEAD, (), "Nothing was read on this site yet.")
    rows = [
        Row((verdict.upper(), check.name, _short(check.found), _short(check.limit),
             _short(check.do)))
        for verdict in reversed(ORDER)
        for check in gate.of(verdict)
    ]  # fmt: skip
    return Table("Site gate", HEAD, tuple(rows))


def days_shown(work: Work, schedule: Schedule | None) -> tuple[DayShown, ...]:
    """Days by the clock, or the stages in turn where no calendar was made."""
    if schedule is not None:
        zones = len(schedule.zones)
        return tuple(_day(day, zones) for day in schedule.days)
    found, first = [], 1
    for stage in work.stages:
        last = first + stage.days - 1
        span = f"Day {first}" if last == first else f"Days {first} to {last}"
        tasks = [task for task in work.tasks if task.stage == stage.stage]
        rows = tuple(Row((f"{task.labor_h:.1f} h", task.name, "")) for task in tasks)
        wait = "Hours are of all hands together. Let each coat harden before the next."
        found.append(DayShown(f"{span}: {STAGE_WORDS[stage.stage]}", rows, wait))
        first = last + 1
    return tuple(found)


def _day(day: Day, zones: int) -> DayShown:
    title = f"Day {day.number}: {day.date:%A, %B} {day.date.day}"
    rows = tuple(
        Row((f"{_hour(s.start)} – {_hour(s.end)}", _named(s, zones), _window(s)))
        for s in day.slots
    )
    return DayShown(f"{title}, {_hour(day.opens)} to {_hour(day.closes)}", rows,
                    _short(day.wait))  # fmt: skip


def _named(slot: Slot, zones: int) -> str:
    """What is done, and in which rooms where there are several zones."""
    if slot.zone is None or zones < 2:
        return slot.name
    rooms = ", ".join(slot.zone.rooms)
    return _short(f"{slot.name}: {rooms}")


def _window(slot: Slot) -> str:
    if slot.window is None:
        return ""
    return f"not before {_when(slot.window.earliest)}, done by {_when(slot.window.latest)}"


def _when(at: datetime) -> str:
    return f"{at:%a} {_hour(at)}"


def _hour(at: datetime) -> str:
    return f"{at.hour % 12 or 12}:{at.minute:02d} {'am' if at.hour < 12 else 'pm'}"


def _short(words: str) -> str:
    return words if len(words) <= 290 else f"{words[:280].rsplit(' ', 1)[0]} …"
