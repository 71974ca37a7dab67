"""Designs: the other pours that were kept at the table, each with its price."""

from __future__ import annotations

from typing import Any

from kit.proposal.shown import ClientView

PLACE = 45


def facts(view: ClientView) -> dict[str, Any] | None:
    """The kept designs; nothing where none is shown."""
    if not view.designs or view.price is None:
        return None
    return {"designs": view.designs, "price": view.price}
