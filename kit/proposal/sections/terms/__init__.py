"""Terms: what holds between the firm and its client, beside the line to sign."""

from __future__ import annotations

from typing import Any

from kit.proposal.shown import ClientView

PLACE = 62


def facts(view: ClientView) -> dict[str, Any] | None:
    """The terms; nothing without any."""
    return {"terms": view.terms, "last": view.cancel is None} if view.terms else None
