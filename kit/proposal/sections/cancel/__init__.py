"""Your right to cancel: until when, by which rule, and what is still missing to sign."""

from __future__ import annotations

from typing import Any

from kit.proposal.shown import ClientView

PLACE = 65


def facts(view: ClientView) -> dict[str, Any] | None:
    """The last days to cancel; nothing where no rule covers the sale."""
    return None if view.cancel is None else {"cancel": view.cancel}
