"""The days as a chart: one row a day, what is done when, and the window it must hit."""

from __future__ import annotations

import io
from datetime import datetime, timedelta
from typing import Any

from kit.ink import INK, chart_style
from kit.work.dayplan import Day, Schedule, Slot
from kit.work.telling_days import hour

WIDTH_IN = 7.6
ROW_IN = 0.62
_HEAD_IN, _FOOT_IN = 0.62, 0.78
_SHARE = 0.85
"""Of the width, for the hours."""
_BAR, _LINE = 0.44, 0.36
"""Height of a bar, and where the window's line runs under its middle. [rows]"""

_LOOKS: dict[str, dict[str, Any]] = {
    "prepare": {"facecolor": "#ffffff", "hatch": "....", "edgecolor": "#8d8880"},
    "primer": {"facecolor": "#57524b", "edgecolor": "#211f1c"},
    "seal": {"facecolor": "#211f1c", "edgecolor": "#211f1c"},
    "flood": {"facecolor": "#b9b4ac", "hatch": "", "edgecolor": "#211f1c"},
    "wear": {"facecolor": "#ffffff", "edgecolor": "#211f1c"},
    "walk_through": {"facecolor": "#ffffff", "edgecolor": "#211f1c", "linestyle": ":"},
}
"""Told apart by tone and pattern, so that a copier keeps them."""


def chart_of(schedule: Schedule, *, form: str = "png", dots_per_in: int = 192) -> bytes:
    """Draw a plan of the days.

    Parameters
    ----------
    schedule : Schedule
    form : {"png", "svg", "pdf"}
    dots_per_in : int
        Of a PNG. [1/in]

    Returns
    -------
    bytes
        The same for the same plan.
    """
    import matplotlib
    from matplotlib.figure import Figure

    days = schedule.days
    high_in = _HEAD_IN + ROW_IN * len(days) + _FOOT_IN
    with matplotlib.rc_context(chart_style()):
        figure = Figure(figsize=(WIDTH_IN, high_in))
        axes = figure.add_axes(
            (0.13, _FOOT_IN / high_in, _SHARE, ROW_IN * len(days) / high_in)
        )
        first, last = _hours(schedule)
        axes.set(xlim=(first, last), ylim=(len(days) - 0.5, -0.5))
        for row, day in enumerate(days):
            _draw_day(axes, row, day, (first, last))
        _dress(axes, schedule, (first, last))
        _write_around(figure, schedule, high_in)
        stream = io.BytesIO()
        stamp = {"Date": None} if form == "svg" else {}
        stamp |= {"CreationDate": None} if form == "pdf" else {}
        stamp |= {"Software": None} if form == "png" else {}
        figure.savefig(stream, format=form, dpi=dots_per_in, metadata=stamp)
    return stream.getvalue()


def _hours(schedule: Schedule) -> tuple[float, float]:
    """First and last full hour that anybody is on site."""
    opens = min(_hour(day.opens) for day in schedule.days)
    closes = max(_hour(day.closes) for day in schedule.days)
    return float(int(opens)), float(-int(-closes // 1))


def _hour(at: datetime) -> float:
    return at.hour + at.minute / 60.0


def _draw_day(axes: Any, row: int, day: Day, span: tuple[float, float]) -> None:
    """One row: the hours the door is open, then each piece of work."""
    first, _ = span
    opens, closes = _hour(day.opens), _hour(day.closes)
    axes.plot([opens, closes], [row + 0.5] * 2, color="#d2cec8", lw=0.8, zorder=0)
    axes.text(
        first - 0.15, row - 0.1, f"{day.date:%a %b} {day.date.day}",
        ha="right", va="center", fontsize=9.5,
    )  # fmt: skip
    axes.text(
        first - 0.15, row + 0.2, f"day {day.number}",
        ha="right", va="center", fontsize=8, color=INK["ink2"],
    )  # fmt: skip
    windowed = [slot.key for slot in day.slots if slot.window is not None]
    for slot in day.slots:
        level = windowed.index(slot.key) if slot.key in windowed else 0
        _draw_slot(axes, row, slot, span, level=level)


def _draw_slot(
    axes: Any, row: int, slot: Slot, span: tuple[float, float], *, level: int
) -> None:
    """A bar with its words, and its window below, `level` lines down."""
    start, end = _hour(slot.start), _hour(slot.end)
    look = _look(slot)
    axes.barh(
        row - 0.06, end - start, left=start, height=_BAR, zorder=2,
        **{"linewidth": 1.0, **look},
    )  # fmt: skip
    is_dark = look["facecolor"] in ("#211f1c", "#57524b")
    fitting = next((w for w in _words(slot) if _is_room(w, end - start, span)), None)
    if fitting is not None:
        ground = None if slot.activity != "prepare" else _GROUND
        axes.text(
            0.5 * (start + end), row - 0.06, fitting, ha="center", va="center",
            fontsize=8.5, zorder=4, color="#ffffff" if is_dark else INK["ink"],
            bbox=ground,
        )  # fmt: skip
    else:
        axes.text(
            end + 0.08, row - 0.06, _words(slot)[-1], ha="left", va="center",
            fontsize=8.5, zorder=4,
        )  # fmt: skip
    if slot.window is not None:
        _draw_window(axes, row + _LINE - 0.1 + 0.1 * level, slot, span)


_GROUND = {"facecolor": "#ffffff", "edgecolor": "none", "pad": 1.5}
_LETTER_IN = 0.066
"""Mean width of a letter in the bars. [in]"""


def _is_room(words: str, hours: float, span: tuple[float, float]) -> bool:
    """Whether words fit into a bar of so many hours."""
    hour_in = WIDTH_IN * _SHARE / (span[1] - span[0])
    return len(words) * _LETTER_IN + 0.06 < hours * hour_in


def _draw_window(axes: Any, y: float, slot: Slot, span: tuple[float, float]) -> None:
    """The line inside which a coat must begin and end; open where it runs off the day."""
    assert slot.window is not None
    midnight = slot.start.replace(hour=0, minute=0)
    opens, shuts = (
        (at - midnight) / timedelta(hours=1)
        for at in (slot.window.earliest, slot.window.latest)
    )
    line = {"color": INK["ink"], "lw": 1.1, "zorder": 3, "solid_capstyle": "butt"}
    axes.plot([max(opens, span[0]), min(shuts, span[1])], [y, y], **line)
    for end in (opens, shuts):
        if span[0] <= end <= span[1]:
            axes.plot([end, end], [y - 0.06, y + 0.06], **line)


def _look(slot: Slot) -> dict[str, Any]:
    if slot.layer is None:
        return _LOOKS[slot.activity]
    key = slot.layer.key.split("-")[0]
    for kind in ("primer", "seal", "wear"):
        if kind in key:
            return _LOOKS[kind]
    return _LOOKS["flood"]


def _words(slot: Slot) -> tuple[str, ...]:
    """What stands in a bar, the longest first."""
    name = slot.name.split(",")[0]
    if slot.activity == "prepare":
        name = "Ready the slab"
    if slot.layer is not None:
        zone = f" {slot.zone.number}" if slot.zone and ", zone" in slot.name else ""
        name = f"{slot.layer.name.split(',')[0]}{zone}"
    return f"{name}, {_clock(slot.start)}–{_clock(slot.end)}", name


def _clock(at: datetime) -> str:
    return hour(at.time()).split()[0]


def _dress(axes: Any, schedule: Schedule, span: tuple[float, float]) -> None:
    whole = range(int(span[0]), int(span[1]) + 1)
    shown = [at for at in whole if (at - int(span[0])) % (2 if len(whole) > 14 else 1) == 0]
    names = [f"{at % 12 or 12}" for at in shown]
    names[0] += " am" if shown[0] < 12 else " pm"
    names[-1] += " am" if shown[-1] < 12 else " pm"
    axes.set_xticks(shown, names)
    axes.tick_params(axis="x", labelsize=8.5, pad=4)
    axes.set_yticks([])
    for row in range(1, len(schedule.days)):
        before, after = schedule.days[row - 1].date, schedule.days[row].date
        if (after - before).days > 1:
            axes.axhline(row - 0.5, color=INK["edge"], lw=0.8, ls=(0, (1, 2)), zorder=0)


def _write_around(figure: Any, schedule: Schedule, high_in: float) -> None:
    zones = f", {len(schedule.zones)} zones" if len(schedule.zones) > 1 else ""
    head = f"The {schedule.kind} plan: {len(schedule.days)} days, a crew of {schedule.crew}"
    figure.text(0.02, 1 - 0.24 / high_in, head + zones, fontsize=11.5)
    figure.text(
        0.02, 1 - 0.46 / high_in,
        "A line under a coat is its window: not begun before, down by its end. "
        f"Clock of {schedule.timezone or 'the site'}.",
        fontsize=8.5, color=INK["ink2"],
    )  # fmt: skip
    back = schedule.back
    said = "     ".join(
        f"{what} {at:%a %b} {at.day}, {hour(at.time())}"
        for what, at in (
            ("Shoes from", back.shoes),
            ("furniture", back.furniture),
            ("wheels", back.wheels),
        )
    )
    figure.text(0.13, 0.16 / high_in, said, fontsize=9)
