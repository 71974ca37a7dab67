"""Good to know: what the picture is and is not, wet feet, cure, air, dust, care, terms."""

from __future__ import annotations

from typing import Any

from kit.proposal.shown import ClientView

PLACE = 60


def facts(view: ClientView) -> dict[str, Any] | None:
    """Cautions first, then terms."""
    told = (*view.cautions, *view.terms)
    return {"cautions": told} if told else None
