"""The owner's charts of a price: what it is made of, what it may cost, what drives it.

Each function draws on axes of matplotlib in the style of `kit.bench.notebook`, so that
notebooks and files show the same.
"""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from functools import partial
from itertools import accumulate
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from kit.bench.notebook import drawing, label, tokens
from kit.bid.records import Bid
from kit.writing import write_files

if TYPE_CHECKING:
    from kit.bid.risk import Risk

_MONEY = "{x:,.0f}"
_NO_LESS = frozenset({"margin", "rounding", "discount"})


def draw_build_up(axes: Any, bid: Bid) -> None:
    """Draw the price line by line, each beginning where the last ended."""
    lines = bid.lines[::-1]
    ends = [float(end) for end in accumulate(line.amount for line in bid.lines)][::-1]
    ink = tokens()
    for row, (line, end) in enumerate(zip(lines, ends, strict=True)):
        amount = float(line.amount)
        color = ink["chalk"] if line.kind in _NO_LESS else ink["edge"]
        # what is taken off is an empty bar, so that it is not read as more
        inside = "none" if amount < 0 else color
        axes.barh(row, amount, left=end - amount, fc=inside, ec=color, height=0.62)
        label(axes, _amount(line.amount), (max(end, end - amount), row), off=(5, 0))
    axes.set_yticks(range(len(lines)), [line.label for line in lines])
    axes.set(
        xlabel=bid.currency,
        xlim=(0, 1.14 * max(ends)),
        title="What the price is made of, line by line",
    )
    axes.xaxis.set_major_formatter(_MONEY)


def draw_spread(axes: Any, risk: Risk) -> None:
    """Draw how often the floor comes to which cost, with what was bid and is asked."""
    ink = tokens()
    low, high = np.quantile(risk.costs, (0.001, 0.999))
    bins = np.linspace(low, high, 49)
    axes.hist(risk.costs, bins=bins, color=ink["wash"], ec=ink["chalk"], lw=0.8)
    top = axes.get_ylim()[1]
    p50, p80, p90 = (risk.quantiles[percent] for percent in (50, 80, 90))
    bid_at = risk.planned + risk.contingency
    marks = [(bid_at, "bid, with\ncontingency"), (risk.price, "asked\nbefore tax")]
    for cost, words in marks:
        axes.axvline(cost, color=ink["ink"], lw=1.2)
        label(axes, words, (cost, 1.1 * top), off=(5, 0), va="center")
    for cost, words in ((p50, "P50"), (p80, "P80"), (p90, "P90")):
        axes.axvline(cost, ymax=0.8, color=ink["ink"], lw=1, ls=(0, (4, 3)))
        label(axes, words, (cost, 0.98 * top), off=(4, 0), fontsize=8)
    right = max(high, risk.price) + 0.12 * (max(high, risk.price) - min(low, bid_at))
    axes.set(
        xlabel=f"cost without contingency, {risk.currency}",
        ylim=(0, 1.22 * top),
        xlim=(min(low, bid_at), right),
        title=f"{risk.draws:,} floors drawn as they may come out; "
        f"{_percent(risk.chance_of_more_days)} take more than {risk.planned_days} days",
    )
    axes.set_yticks([])
    axes.xaxis.set_major_formatter(_MONEY)


def draw_odds(axes: Any, risk: Risk) -> None:
    """Draw the chance that the floor costs more than a price would bring."""
    ink = tokens()
    costs = np.sort(risk.costs)
    low, high = costs[0], max(costs[-1], risk.price) * 1.01
    prices = np.linspace(low, high, 400)
    chance = 100.0 * (1.0 - np.searchsorted(costs, prices, side="right") / costs.size)
    axes.plot(prices, chance)
    asked = 100.0 * risk.chance_of_loss
    axes.plot(risk.price, asked, "o", color=ink["ink"])
    words = f"asked: {_percent(risk.chance_of_loss)} lose money"
    label(axes, words, (risk.price, asked), off=(7, 10))
    cost80 = risk.quantiles[80]
    axes.plot(cost80, 20.0, "o", color=ink["chalk"])
    label(axes, f"P80, {cost80:,.0f}", (cost80, 20.0), off=(9, 3))
    axes.set(
        xlabel=f"price before tax, {risk.currency}",
        xlim=(low, max(high, risk.price + 0.3 * (risk.price - low))),
        ylim=(0, 103),
        title="Chance of losing money at a price",
    )
    axes.xaxis.set_major_formatter(_MONEY)
    axes.yaxis.set_major_formatter("{x:.0f} %")


def draw_drivers(axes: Any, risk: Risk) -> None:
    """Draw how far each thing alone moves the cost, the widest on top."""
    ink = tokens()
    drivers = risk.drivers[::-1]
    ends = [(min(d.cost_low, d.cost_high), max(d.cost_low, d.cost_high)) for d in drivers]
    for row, (driver, (low, high)) in enumerate(zip(drivers, ends, strict=True)):
        axes.barh(row, high - low, left=low, color=ink["edge"], height=0.62)
        at_low, at_high = (driver.low, driver.high)
        if driver.cost_low > driver.cost_high:
            at_low, at_high = at_high, at_low
        label(axes, f"× {at_low:.2f}", (low, row), off=(-5, 0), ha="right", fontsize=8)
        label(axes, f"× {at_high:.2f}", (high, row), off=(5, 0), fontsize=8)
    axes.axvline(risk.at_medians, color=ink["ink"], lw=1)
    axes.set_yticks(range(len(drivers)), [driver.name for driver in drivers])
    least, most = min(e[0] for e in ends), max(e[1] for e in ends)
    room = 0.14 * max(most - least, 1.0)
    axes.set(
        xlabel=f"cost, {risk.currency}; the line is all at their medians",
        xlim=(least - room, most + room),
        title="What drives it: each from its P10 to its P90, all else at its median",
    )
    axes.xaxis.set_major_formatter(_MONEY)


def write_charts(folder: Path, bid: Bid, risk: Risk) -> list[Path]:
    """Write the charts as PNG files into a folder, all of them or none.

    Raises
    ------
    OutputError
        If the folder or a file cannot be written.
    """
    contents = {
        "build_up.png": _png(partial(draw_build_up, bid=bid), 4.4),
        "spread.png": _png(partial(draw_spread, risk=risk), 3.2),
        "odds.png": _png(partial(draw_odds, risk=risk), 3.0),
        "drivers.png": _png(partial(draw_drivers, risk=risk), 3.4),
    }
    write_files(folder, contents)
    return [folder / name for name in contents]


def _png(draw: Callable[[Any], None], height_in: float) -> bytes:
    with drawing(height_in=height_in) as (axes, png):
        draw(axes)
        return png()


def _amount(amount: Decimal) -> str:
    return f"{amount:,.2f}".replace("-", "−")


def _percent(share: float) -> str:
    """A chance as it may be said: no more digits than it has.

    >>> _percent(0.0), _percent(0.0019), _percent(0.237)
    ('less than 0.1 %', '0.2 %', '24 %')
    """
    if share < 0.0005:
        return "less than 0.1 %"
    return f"{100.0 * share:.1f} %" if share < 0.05 else f"{100.0 * share:.0f} %"
