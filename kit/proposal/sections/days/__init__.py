"""Days: who is on the floor when, and when it may be walked on, furnished, driven on."""

from __future__ import annotations

from typing import Any

from kit.proposal.shown import ClientView

PLACE = 50


def facts(view: ClientView) -> dict[str, Any] | None:
    """The strip of days, and what it says to one who cannot see it."""
    days = view.days
    if days is None:
        return None
    told = [
        f"{bar.words}: {_span(days.names[bar.first], days.names[bar.last])}"
        for bar in days.bars
    ]
    used = [one.words for one in days.returns]
    return {"days": days, "alt": f"Strip of days. {'; '.join((*told, *used))}."}


def _span(first: str, last: str) -> str:
    return first if first == last else f"{first} to {last}"
