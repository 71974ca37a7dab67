"""From a manuscript to the bytes of a PDF: PDF/A-2a and PDF/UA-1, or none at all."""

from __future__ import annotations

import datetime
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Literal

from kit.errors import PaperError
from kit.proposal import faces
from kit.proposal.cleaning import cleaned
from kit.proposal.compose import Manuscript, compose
from kit.proposal.gate import check_release
from kit.proposal.shown import ClientView
from kit.writing import write_file

STANDARDS: tuple[Literal["a-2a"], Literal["ua-1"]] = ("a-2a", "ua-1")


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
    pdf = typeset(manuscript, stamp=stamp)
    check_release(
        pdf, manuscript, title=view.title, author=view.firm.name, withheld=withheld
    )
    return pdf


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
    import typst

    with TemporaryDirectory(prefix="paper-") as folder:
        root = Path(folder)
        for name, content in manuscript.files.items():
            (root / name).write_bytes(content)
        compiler = typst.Compiler(
            root / "main.typ",
            root=root,
            font_paths=faces.for_typst(),
            ignore_system_fonts=True,
            package_path=root / "no-packages",
            package_cache_path=root / "no-packages",
        )
        try:
            made, warned = compiler.compile_with_warnings(
                format="pdf", pdf_standards=[*STANDARDS], timestamp=stamp
            )
        except typst.TypstError as error:
            raise PaperError(f"typesetting, {_told(error)}") from error
    if warned:
        raise PaperError(f"typesetting, {_told(warned[0])}", expected="no warning")
    if not isinstance(made, bytes):
        raise PaperError("typesetting", expected="one PDF")
    return made


def _told(error: Exception) -> str:
    """First words of what the typesetter said, without its view of our folders."""
    return str(getattr(error, "message", error)).splitlines()[0]
