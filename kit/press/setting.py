"""From a manuscript to the bytes of a PDF: PDF/A-2a and PDF/UA-1, or none at all."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, Literal

from kit.errors import PaperError
from kit.press import faces
from kit.press.fields import with_fields
from kit.press.gate import check_release
from kit.press.manuscript import OWN_FACE, Manuscript

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


def press(
    manuscript: Manuscript,
    stamp: datetime.datetime,
    *,
    title: str,
    author: str,
    withheld: Iterable[str] = (),
    ppi: float | None = None,
) -> Printed:
    """Set a paper, see that nothing leaves with it that should not, and show its pages.

    Parameters
    ----------
    manuscript : Manuscript
    stamp : datetime.datetime
        When the paper says it was made; the same stamp gives the same bytes.
    title, author : str
        What the file's own description must say.
    withheld : iterable of str
        Texts that must not be found in it.
    ppi : float, optional
        Pixels per inch of the pages, > 0; without it no page is drawn.

    Raises
    ------
    PaperError
        If it cannot be set, or fails the release gate.
    """
    with _compiler(manuscript) as compiler:
        pdf = with_fields(_pdf(compiler, stamp), manuscript.fields)
        check_release(pdf, manuscript, title=title, author=author, withheld=withheld)
        return Printed(pdf, () if ppi is None else _pages(compiler, stamp, ppi))


def typeset(manuscript: Manuscript, *, stamp: datetime.datetime) -> bytes:
    """Run the typesetter in a private folder; any warning is a failure."""
    with _compiler(manuscript) as compiler:
        return _pdf(compiler, stamp)


def drawn_alone(manuscript: Manuscript) -> bytes:
    """Set a page that is to be drawn within another file: without structure of its own."""
    with _compiler(manuscript) as compiler:
        made = compiler.compile(format="pdf", pdf_tags=False)
    assert isinstance(made, bytes), "one page"
    return made


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
                font_paths=faces.with_own(root)
                if OWN_FACE in manuscript.files
                else faces.for_typst(),
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
