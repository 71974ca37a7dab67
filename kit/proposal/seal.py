"""The firm's seal on a proposal, in the words of its paper."""

from __future__ import annotations

import datetime

from kit.press.sealing import SealKey, sealed
from kit.proposal import figures
from kit.proposal.catalogue import words_in
from kit.proposal.shown import ClientView

FIELD = "firm"
"""The client's own field stays open under the seal."""


def seal(pdf: bytes, view: ClientView, key: SealKey, *, on: datetime.date) -> bytes:
    """Seal the finished file of a view, over the firm's line where it has a field there.

    Raises
    ------
    PaperError
        If it cannot be sealed.
    """
    say = words_in(view.language)
    lines = (say("acceptance.sealed", name=key.name), figures.long_date(on, say.locale))
    return sealed(pdf, key, field=FIELD, lines=lines)
