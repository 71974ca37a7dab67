"""The firm's own notice of cancellation, twice: one copy to send, one to keep."""

from __future__ import annotations

from typing import Any

from kit.proposal.shown import ClientView

PLACE = 80

COPIES = 2


def facts(view: ClientView) -> dict[str, Any] | None:
    """The notice, a caption and its paragraphs; nothing without one."""
    if view.cancel is None or not view.cancel.notice:
        return None
    caption, *paragraphs = view.cancel.notice
    return {"copies": COPIES, "caption": caption, "paragraphs": paragraphs}
