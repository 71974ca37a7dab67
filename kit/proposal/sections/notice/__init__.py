"""The firm's own notice of cancellation, twice: one copy to send, one to keep."""

from __future__ import annotations

from typing import Any

from kit.errors import PaperError
from kit.press.page import Facsimile, Page
from kit.proposal.shown import ClientView

PLACE = 80

COPIES = 2
HEAD_PT, GAP_PT = 12.0, 10.0
"""Above a page of the firm's own file: which copy it is."""
LEAST = 0.9
"""A notice that the law wants in ten points may not be made much smaller."""


def facts(view: ClientView) -> dict[str, Any] | None:
    """The notice, a caption and its paragraphs or its pages; nothing without one."""
    if view.cancel is None or not (view.cancel.notice or view.cancel.pages):
        return None
    caption, *paragraphs = view.cancel.notice or ("",)
    return {
        "copies": COPIES,
        "caption": caption,
        "paragraphs": paragraphs,
        "pages": [_fitted(page, view.page) for page in view.cancel.pages],
        "head": HEAD_PT,
        "gap": GAP_PT,
    }


def _fitted(sheet: Facsimile, page: Page) -> dict[str, Any]:
    """A page in its own size, or as little smaller as it fits between the margins."""
    tall = page.tall_pt - HEAD_PT - GAP_PT
    scale = min(1.0, page.wide_pt / sheet.wide_pt, tall / sheet.tall_pt)
    if scale < LEAST:
        found = f"print of {sheet.wide_pt / 72:.1f} x {sheet.tall_pt / 72:.1f} in on a page"
        room = f"{page.wide_pt / LEAST / 72:.1f} x {tall / LEAST / 72:.1f} in at most"
        raise PaperError("firm, cancel_notice", found=found, expected=room)
    return {"sheet": sheet, "scale": scale}
