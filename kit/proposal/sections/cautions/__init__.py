"""Good to know: what the picture is and is not, wet feet, cure, air, dust, care."""

from __future__ import annotations

from typing import Any

from kit.proposal.shown import ClientView

PLACE = 60


def facts(view: ClientView) -> dict[str, Any] | None:
    """The cautions; nothing without any."""
    return {"cautions": view.cautions} if view.cautions else None
