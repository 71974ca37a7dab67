"""What a client may read of a change order; nothing of the owner's fits in here."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from kit.press.page import Face, Page
from kit.press.showing import Line, Prose, Sentence, Shown
from kit.proposal.shown import Client, Firm


@dataclass(frozen=True, slots=True)
class SumRow(Shown):
    """One line of what the floor comes to: before, the change, after."""

    name: Sentence
    per_area: Line
    amount: Line


@dataclass(frozen=True, slots=True)
class ChangeView(Shown):
    """The whole paper as its reader sees it.

    Parameters
    ----------
    number : str
        Of the proposal that is changed.
    order : str
        Number of the change order, from 1.
    place : str
        What is poured and where, in a sentence without its full stop.
    changes : tuple of str
        Each a sentence.
    sums : tuple of SumRow
        Before, the change, after.
    tint : (int, int, int)
        Of the floor's colors the one that leads, sRGB in 0..255.
    """

    page: Page
    language: Line
    title: Sentence
    number: Line
    order: Line
    dated: datetime.date
    date: Line
    proposed: Line
    place: Prose
    firm: Firm
    client: Client
    changes: tuple[Prose, ...]
    symbol: Line
    per: Line
    areas: Sentence
    sums: tuple[SumRow, ...]
    difference: Line
    total: Line
    days: Sentence
    tint: tuple[int, int, int]
    accent: Line = ""
    face: Face | None = None

    @property
    def missing(self) -> tuple[str, ...]:
        """What the paper cannot go out without, and this one lacks."""
        needed = {
            "client, name": self.client.name,
            "firm, name": self.firm.name,
            "number": self.number,
            "what changes": "".join(self.changes),
        }
        return tuple(name for name, value in needed.items() if not value.strip())
