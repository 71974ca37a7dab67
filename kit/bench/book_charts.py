"""What the book comes to in pictures, for its owner."""

from __future__ import annotations

import io
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

from kit.bench.notebook import WIDTH_IN, tokens
from kit.book import STANDS
from kit.ink import chart_style

if TYPE_CHECKING:
    from kit.book.totals import Earned, MonthTotal, Wins

_DOTS_PER_IN = 144
_MOST_MONTHS = 18
_WORDS = {"talking": "Talking", "out": "Out", "signed": "Signed", "done": "Done"}


def drawn(
    months: Sequence[MonthTotal], won: Wins, jobs: Sequence[Earned]
) -> dict[str, bytes]:
    """Draw totals by month, how proposals fared, and margins asked against earned.

    Returns
    -------
    dict
        PNG files by name; one that has nothing to show is left out.
    """
    import matplotlib as mpl
    from matplotlib.figure import Figure

    pictures: dict[str, bytes] = {}
    known = [j for j in jobs if j.margin_asked is not None and j.margin_earned is not None]
    charts: list[tuple[str, Callable[[Any], None], float]] = []
    if months:
        charts.append(("months.png", lambda axes: _months(axes, months), 3.2))
    if won.won + won.lost + won.waiting:
        charts.append(("proposals.png", lambda axes: _proposals(axes, won), 1.9))
    if known:
        charts.append(("margins.png", lambda axes: _margins(axes, known), 4.6))
    with mpl.rc_context(chart_style()):
        for name, draws, height_in in charts:
            figure = Figure(figsize=(WIDTH_IN, height_in), layout="constrained")
            draws(figure.add_subplot())
            out = io.BytesIO()
            figure.savefig(out, dpi=_DOTS_PER_IN, metadata={"Software": None})
            pictures[name] = out.getvalue()
    return pictures


def _months(axes: Any, totals: Sequence[MonthTotal]) -> None:
    names = sorted({total.month for total in totals})[-_MOST_MONTHS:]
    shades = _shades()
    base = [0.0] * len(names)
    for stands in reversed(STANDS):
        by_month = {t.month: float(t.total) for t in totals if t.stands == stands}
        heights = [by_month.get(name, 0.0) / 1000.0 for name in names]
        if any(heights):
            axes.bar(
                names, heights, bottom=base, width=0.62, color=shades[stands],
                label=_WORDS[stands],
            )  # fmt: skip
        base = [low + height for low, height in zip(base, heights, strict=True)]
    axes.set_title("Jobs by the month they were last kept, thousands")
    axes.set_xlim(-0.6, max(len(names) - 0.4, 2.6))
    if len(names) > 8:
        axes.tick_params(axis="x", rotation=45)
    axes.tick_params(axis="x", length=0)
    axes.legend(loc="upper left", bbox_to_anchor=(1.0, 1.0), reverse=True)


def _proposals(axes: Any, won: Wins) -> None:
    ink = tokens()
    told = (("Won", won.won), ("Lost", won.lost), ("Waiting", won.waiting))
    shades = (ink["chalk"], ink["ink2"], ink["edge"])
    places = range(len(told))
    axes.barh(places, [count for _, count in told], height=0.56, color=shades)
    for place, (_, count) in zip(places, told, strict=True):
        axes.annotate(
            str(count), (count, place), xytext=(5, 0), textcoords="offset points",
            va="center",
        )  # fmt: skip
    axes.set_yticks(places, [name for name, _ in told])
    axes.invert_yaxis()
    axes.set_xticks([])
    axes.spines["bottom"].set_visible(False)
    rate = "" if won.rate is None else f": {won.rate:.0%} of those answered were won"
    axes.set_title(f"Proposals{rate}")


def _margins(axes: Any, jobs: Sequence[Earned]) -> None:
    ink = tokens()
    asked = [float(job.margin_asked or 0) * 100 for job in jobs]
    earned = [float(job.margin_earned or 0) * 100 for job in jobs]
    low, high = min(*asked, *earned, 0.0) - 4, max(*asked, *earned, 40.0) + 4
    axes.plot([low, high], [low, high], color=ink["edge"], linewidth=1.0)
    axes.annotate(
        "earned as asked", (high, high), xytext=(-44, -14), textcoords="offset points",
        ha="right", color=ink["ink2"],
    )  # fmt: skip
    axes.plot(asked, earned, "o", color=ink["chalk"], markersize=6)
    axes.set_xlim(low, high)
    axes.set_ylim(low, high)
    axes.set_aspect("equal")
    axes.set_xlabel("margin asked, %")
    axes.set_title("Margin earned, % of what was asked")
    axes.spines["left"].set_visible(True)


def _shades() -> dict[str, str]:
    """What is earned in full color, what is only talked about palest."""
    ink = tokens()
    return {
        "talking": _paler(ink["edge"], 0.35), "out": _paler(ink["ink2"], 0.7),
        "signed": _paler(ink["chalk"], 0.5), "done": ink["chalk"],
    }  # fmt: skip


def _paler(color: str, share: float) -> str:
    """A share of a color, ``#rrggbb``, on white."""
    parts = (int(color[place : place + 2], 16) for place in (1, 3, 5))
    return "#" + "".join(f"{round(255 - share * (255 - part)):02x}" for part in parts)
