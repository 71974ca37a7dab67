"""Acceptance: which finish, for how much, and two lines to sign."""

from __future__ import annotations

from typing import Any

from kit.proposal.shown import ClientView

PLACE = 70

MOST_BOXES = 8


def facts(view: ClientView) -> dict[str, Any]:
    """The choice to tick and the names under the lines."""
    assert view.price is not None, "no paper without a price"
    options = view.price.options if len(view.price.options) <= MOST_BOXES else ()
    chosen = next((one for one in view.price.options if one.chosen), None)
    return {
        "total": view.price.total,
        "chosen": chosen.name if chosen else "",
        "options": options if len(options) > 1 else (),
        "number": view.number,
        "date": view.date,
        "client": view.client,
        "firm": view.firm,
    }
