"""The owner's side: what a floor costs and what it leaves. Never part of the frame.

These words are sent once, to a page on which the passphrase was given, and are kept in
no trait: a page that is opened or reloaded afterwards knows nothing of them.
"""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from decimal import Decimal
from typing import Any

from kit.bench.lock import OwnerLock
from kit.bench.painter import later
from kit.bench.state import TableState
from kit.bid.records import Bid, ExtraCost
from kit.errors import SheetError
from kit.job import Workup
from kit.money import rounded, shown

CLOSES_S = 120.0
"""Untouched for this long, the owner's side closes itself."""
MOST_OFF_PERCENT = Decimal(50)
"""More than this is no discount but another price."""

Told = Callable[[dict[str, Any] | None], None]


class OwnersSide:
    """Open or shut; while it is open, every change of the job is told.

    Parameters
    ----------
    state : TableState
    tell : callable
        Takes what the open side shows, or None when it shuts.
    lock : OwnerLock, optional
    """

    def __init__(
        self, state: TableState, tell: Told, lock: OwnerLock | None = None
    ) -> None:
        self.lock = lock or OwnerLock()
        self.is_open = False
        self._state = state
        self._tell = tell
        self._off_percent = Decimal(0)
        self._timer: asyncio.TimerHandle | None = None

    def open(self, passphrase: str, again: str = "") -> None:
        """Open to the passphrase; the first one, given twice, is the one from then on.

        Raises
        ------
        SheetError
            If it is another one, too short, or tried too often.
        """
        self.lock.admit(passphrase, again)
        self.is_open = True
        self.tell()

    def shut(self) -> None:
        """Shut, and have the page forget what it showed."""
        self.is_open = False
        self._off_percent = Decimal(0)
        if self._timer is not None:
            self._timer.cancel()
            self._timer = None
        self._tell(None)

    def take_off(self, percent: float) -> None:
        """See what a discount on the price would leave; the price itself stays.

        Raises
        ------
        SheetError
            If it is no number of percent from 0 to 50.
        """
        if not 0.0 <= percent <= MOST_OFF_PERCENT:
            raise SheetError(
                "discount", found=percent, expected=f"0 to {MOST_OFF_PERCENT} percent"
            )
        self._off_percent = Decimal(str(round(percent, 2)))
        self.tell()

    def tell(self) -> None:
        """Tell the page how things stand, if the side is open."""
        if not self.is_open:
            return
        if self._timer is not None:
            self._timer.cancel()
        if self._state.answers is None:
            self._tell({"lacks": self._state.lacks})
        else:
            self._tell(owner_figures(self._state.answers, self._off_percent))
        try:
            asyncio.get_running_loop()
        except RuntimeError:
            return
        self._timer = later(CLOSES_S, self.shut)


def owner_figures(answers: Workup, off_percent: Decimal = Decimal(0)) -> dict[str, Any]:
    """All that the owner's side shows, as words and numbers.

    Parameters
    ----------
    answers : Workup
    off_percent : Decimal
        Discount on the price, to see what it would leave. [%]
    """
    bid, work = answers.bid, answers.work

    def said(amount: Decimal) -> str:
        return shown(amount, bid.currency)

    return {
        "lines": [
            {"label": line.label, "amount": said(line.amount), "how": line.how,
             "kind": line.kind}
            for line in bid.lines
        ],
        "total": said(bid.total),
        "cost": said(bid.cost),
        "tasks": [
            {"name": task.name, "hours": f"{task.labor_h:.1f}", "how": task.how}
            for task in work.tasks
        ],
        "hours": f"{work.crew_hours:.1f}",
        "days": work.days,
        "extras": [_extra(one, said) for one in bid.extras if one.cost is not None],
        "concerns": [{"says": c.says, "fix": c.fix} for c in answers.concerns],
        "discount": _discounted(bid, off_percent),
    }  # fmt: skip


def _extra(priced: ExtraCost, said: Callable[[Decimal], str]) -> dict[str, str]:
    """What an extra asks, costs and leaves, with all else as it stands."""
    asks, days = priced.option.adds or Decimal(0), priced.days or 0
    return {
        "name": priced.option.name,
        "how": "in the price" if priced.option.counts else "not taken",
        "asks": said(asks),
        "cost": said(priced.cost or Decimal(0)),
        "leaves": said(priced.margin or Decimal(0)),
        "days": f"{days:+d}" if days else "",
    }


def _discounted(bid: Bid, off_percent: Decimal) -> dict[str, Any]:
    """Price, margin and its shares with a discount off all before tax but allowances."""
    margin, before_tax = bid.margin, bid.before_tax
    off = rounded((before_tax - bid.allowed) * off_percent / 100, bid.currency)
    left, asked = margin - off, before_tax - off
    share = 100 * left / asked if asked else Decimal(0)
    return {
        "percent": float(off_percent),
        "off": shown(off, bid.currency),
        "asked": shown(asked, bid.currency),
        "left": shown(left, bid.currency),
        "share": f"{share:.1f}\u202f%",
        "markup": f"{100 * left / bid.cost if bid.cost else 0:.1f}\u202f%",
        "floor": shown(bid.floor_price, bid.currency),
        "loses": asked < bid.floor_price,
    }
