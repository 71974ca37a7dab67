"""From a manuscript to the bytes of a PDF: PDF/A-2a and PDF/UA-1, or none at all."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, Literal

from kit.errors import PaperError
from kit.proposal import faces
from kit.proposal.cleaning import cleaned
from kit.proposal.compose import Manuscript, compose
from kit.proposal.gate import check_release
from kit.proposal.shown import ClientView
from kit.writing import write_file

if TYPE_CHECKING:
    import typst

STANDARDS: tuple[Literal["a-2a"], Literal["ua-1"]] = ("a-2a", "ua-1")


PAGE_PPI = 144
"""Pixels per inch of a page on the screen: sharp at full width of a laptop."""


@dataclass(frozen=True)
class Printed:
    """A paper and how its pages look, both set from one manuscript.

    Parameters
    ----------
    pdf : bytes
    pages : tuple of bytes
        A PNG of each page, in order.
    """

    pdf: bytes
    pages: tuple[bytes, ...]


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


def typeset(manuscript: Manuscript, *, stamp: datetime.datetime) -> bytes:
    """Run the typesetter in a private folder; any warning is a failure."""
    with _compiler(manuscript) as compiler:
        return _pdf(compiler, stamp)


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
    manuscript = compose(view)
    with _compiler(manuscript) as compiler:
        pdf = _pdf(compiler, stamp)
        check_release(
            pdf, manuscript, title=view.title, author=view.firm.name, withheld=withheld
        )
        return Printed(pdf, () if ppi is None else _pages(compiler, stamp, ppi))


@contextmanager
def _compiler(manuscript: Manuscript) -> Iterator[typst.Compiler]:
    """The typesetter over a private folder that holds a manuscript and nothing else."""
    import typst

    with TemporaryDirectory(prefix="paper-") as folder:
        root = Path(folder)
        for name, content in manuscript.files.items():
            (root / name).write_bytes(content)
        try:
            yield typst.Compiler(
                root / "main.typ",
                root=root,
                font_paths=faces.for_typst(),
                ignore_system_fonts=True,
                package_path=root / "no-packages",
                package_cache_path=root / "no-packages",
            )
        except typst.TypstError as error:
            raise PaperError(f"typesetting, {_told(error)}") from error


def _pdf(compiler: typst.Compiler, stamp: datetime.datetime) -> bytes:
    made, warned = compiler.compile_with_warnings(
        format="pdf", pdf_standards=[*STANDARDS], timestamp=stamp
    )
    if warned:
        raise PaperError(f"typesetting, {_told(warned[0])}", expected="no warning")
    if not isinstance(made, bytes):
        raise PaperError("typesetting", expected="one PDF")
    return made


def _pages(
    compiler: typst.Compiler, stamp: datetime.datetime, ppi: float
) -> tuple[bytes, ...]:
    made = compiler.compile(format="png", ppi=ppi, timestamp=stamp)
    return (made,) if isinstance(made, bytes) else tuple(made or ())


def _told(error: Exception) -> str:
    """First words of what the typesetter said, without its view of our folders."""
    return str(getattr(error, "message", error)).splitlines()[0]
