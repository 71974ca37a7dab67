"""The firm's own notice of cancellation, twice: one copy to send, one to keep."""

from __future__ import annotations

from typing import Any

from kit.proposal.notices import GAP_PT, HEAD_PT, scale_of
from kit.proposal.shown import ClientView

PLACE = 80

COPIES = 2


def facts(view: ClientView) -> dict[str, Any] | None:
    """The notice, its caption and paragraphs or its pages; nothing without one."""
    if view.cancel is None or not (view.cancel.notice or view.cancel.pages):
        return None
    return {
        "copies": COPIES,
        "caption": view.cancel.caption,
        "paragraphs": [list(lines) for lines in view.cancel.notice],
        "pages": [
            {"sheet": sheet, "scale": scale_of(sheet, view.page)}
            for sheet in view.cancel.pages
        ],
        "head": HEAD_PT,
        "gap": GAP_PT,
    }
