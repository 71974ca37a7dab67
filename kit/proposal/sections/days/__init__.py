"""Days: who is on the floor when, and when it may be walked on, furnished, driven on."""

from __future__ import annotations

from typing import Any

from kit.proposal.shown import ClientView

PLACE = 50


def facts(view: ClientView) -> dict[str, Any] | None:
    """The strip of days."""
    return {"days": view.days} if view.days else None
