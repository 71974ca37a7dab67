"""From what the client may read to the bytes of a PDF, or none at all."""

from __future__ import annotations

import datetime
from pathlib import Path

from kit.errors import PaperError
from kit.press.cleaning import cleaned
from kit.press.setting import PAGE_PPI, Printed, press
from kit.proposal.compose import compose
from kit.proposal.shown import ClientView
from kit.writing import write_file


def propose(view: ClientView, *, withheld: tuple[str, ...] = ()) -> bytes:
    """Make the client's paper.

    Parameters
    ----------
    view : ClientView
        All that the paper may say.
    withheld : tuple of str
        Texts that must not be found in it, such as the owner's own figures.

    Returns
    -------
    bytes
        One PDF, the same bytes whenever the view is the same.

    Raises
    ------
    PaperError
        If price, date or client is missing (all that is missing is named), a
        text cannot be printed, or the finished file fails the release gate.
    """
    return _pressed(view, withheld, ppi=None).pdf


def propose_with_pages(
    view: ClientView, *, withheld: tuple[str, ...] = (), ppi: float = PAGE_PPI
) -> Printed:
    """Make the client's paper, and pictures of its pages to be looked at before it goes.

    The pages are set from the very manuscript of the PDF, and only once that has
    passed the release gate.

    Parameters
    ----------
    view, withheld
        As `propose` takes them.
    ppi : float
        Pixels per inch of the pages, > 0.

    Raises
    ------
    PaperError
        As `propose` does.
    """
    return _pressed(view, withheld, ppi=ppi)


def write_proposal(view: ClientView, path: Path, *, withheld: tuple[str, ...] = ()) -> Path:
    """Make the client's paper and put it at `path`, whole or not at all.

    Raises
    ------
    PaperError
        As `propose` does; nothing is written.
    OutputError
        If the file cannot be written.
    """
    return write_file(path, propose(view, withheld=withheld))


def _pressed(view: ClientView, withheld: tuple[str, ...], *, ppi: float | None) -> Printed:
    view = cleaned(view)
    if view.missing:
        lacks = ", ".join(view.missing)
        raise PaperError(
            f"proposal lacks {lacks}", expected="all of these before it goes out"
        )
    dated = view.dated
    assert dated is not None, "a missing date was named above"
    stamp = datetime.datetime.combine(dated, datetime.time(12), tzinfo=datetime.UTC)
    return press(
        compose(view),
        stamp,
        title=view.title,
        author=view.firm.name,
        withheld=withheld,
        ppi=ppi,
    )
