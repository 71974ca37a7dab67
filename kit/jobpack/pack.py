"""From what the crew may read to the bytes of a PDF, or none at all."""

from __future__ import annotations

import datetime
from dataclasses import asdict
from importlib import resources

from kit.jobpack.shown import CrewView
from kit.press.cleaning import cleaned
from kit.press.manuscript import Manuscript, as_json
from kit.press.setting import Printed, press

TEMPLATE = "crew.typ"


def job_pack(view: CrewView, *, withheld: tuple[str, ...] = ()) -> bytes:
    """Make the crew's paper.

    Parameters
    ----------
    view : CrewView
        All that the paper may say.
    withheld : tuple of str
        Texts that must not be found in it, such as prices.

    Returns
    -------
    bytes
        One PDF, the same bytes whenever the view is the same.

    Raises
    ------
    PaperError
        If a text cannot be printed, or the finished file fails the release gate.
    """
    return job_pack_with_pages(view, withheld=withheld, ppi=None).pdf


def job_pack_with_pages(
    view: CrewView, *, withheld: tuple[str, ...] = (), ppi: float | None
) -> Printed:
    """Make the crew's paper, and pictures of its pages where `ppi` is given.

    Raises
    ------
    PaperError
        As `job_pack` does.
    """
    view = cleaned(view)
    stamp = datetime.datetime.combine(view.dated, datetime.time(12), tzinfo=datetime.UTC)
    return press(
        _manuscript(view),
        stamp,
        title=view.title,
        author=view.firm,
        withheld=withheld,
        ppi=ppi,
    )


def _manuscript(view: CrewView) -> Manuscript:
    facts = asdict(view)
    facts["dated"] = [view.dated.year, view.dated.month, view.dated.day]
    source = resources.files("kit.jobpack").joinpath(TEMPLATE).read_bytes()
    return Manuscript({"main.typ": source, "view.json": as_json(facts)})
