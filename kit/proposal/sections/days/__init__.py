"""Days: who is on the floor when, and when it may be walked on, furnished, driven on."""

from __future__ import annotations

from typing import Any

from kit.proposal.catalogue import Words, words_in
from kit.proposal.shown import ClientView, DayBar, Days

PLACE = 50


def facts(view: ClientView) -> dict[str, Any] | None:
    """The strip of days, and what it says to one who cannot see it."""
    days = view.days
    if days is None:
        return None
    say = words_in(view.language)
    told = [
        say("days.alt_bar", words=bar.words, days=_span(days, bar, say))
        for bar in days.bars
    ]
    used = [one.words for one in days.returns]
    return {"days": days, "alt": say("days.alt", told="; ".join((*told, *used)))}


def _span(days: Days, bar: DayBar, say: Words) -> str:
    first, last = days.names[bar.first], days.names[bar.last]
    return first if first == last else say("days.span", first=first, last=last)
