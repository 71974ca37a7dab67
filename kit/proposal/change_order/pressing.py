"""From the view of a change order to the bytes of its page, or none at all."""

from __future__ import annotations

import datetime

from kit.errors import PaperError
from kit.press.cleaning import cleaned
from kit.press.manuscript import OWN_FACE, Manuscript, as_json, plain
from kit.press.setting import Printed, press
from kit.proposal.catalogue import words_in
from kit.proposal.change_order.shown import ChangeView
from kit.proposal.compose import HOUSE, days_pattern, house_facts, own_accent, source

_MAIN = b"""#import "/house.typ": house
#import "/paper.typ": paper
#show: house
#paper(json("/facts.json"))
"""


def press_change(
    view: ChangeView, *, withheld: tuple[str, ...] = (), ppi: float | None = None
) -> Printed:
    """Make the paper of a change order.

    Parameters
    ----------
    view : ChangeView
        All that the paper may say.
    withheld : tuple of str
        Texts that must not be found in it, such as the owner's own figures.
    ppi : float, optional
        Pixels per inch of pictures of its pages, > 0; without it none are made.

    Raises
    ------
    PaperError
        If something is missing that it needs, a text cannot be printed, or the finished
        file fails the release gate.
    """
    view = cleaned(view)
    if view.missing:
        raise PaperError(
            f"change order lacks {', '.join(view.missing)}",
            expected="all of these before it goes out",
        )
    stamp = datetime.datetime.combine(view.dated, datetime.time(12), tzinfo=datetime.UTC)
    return press(
        _composed(view), stamp,
        title=view.title, author=view.firm.name, withheld=withheld, ppi=ppi,
    )  # fmt: skip


def _composed(view: ChangeView) -> Manuscript:
    files = {HOUSE: source(HOUSE), "paper.typ": source("change_order", "paper.typ")}
    if view.face is not None:
        files[OWN_FACE] = view.face.font
    accent = own_accent(view.accent) or view.tint
    days = days_pattern((view.date, view.proposed))
    told = {name: getattr(view, name) for name in _TOLD}
    files["facts.json"] = as_json(plain(told, files, about="change order"))
    files["house.json"] = as_json(house_facts(view, accent, days))
    files["words.json"] = as_json(dict(words_in(view.language).said))
    files["main.typ"] = _MAIN
    return Manuscript(files)


_TOLD = (
    "number", "order", "date", "proposed", "place", "firm", "client", "changes", "symbol",
    "per", "areas", "sums", "difference", "total", "days",
)  # fmt: skip
