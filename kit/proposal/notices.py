"""A firm's own official notice of cancellation, a text or a PDF; the kit has none."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from kit.errors import PaperError
from kit.press import outside
from kit.press.outside import checked_outside, sheets
from kit.press.page import Facsimile

if TYPE_CHECKING:
    from kit.job import Firm

MOST_BYTES = 20_000
PDF = ".pdf"
EXPECTED = "a text file (.txt, UTF-8) or a PDF of the official notice"
MUST = ("date", "last_day")
FILLED_IN = ("seller", "seller_address", "buyer", *MUST)
"""What a notice may leave to be filled in: a text as {seller}, a PDF in such a field."""


@dataclass(frozen=True)
class Notice:
    """A firm's own notice as paragraphs, or as pages and whether these are filled in."""

    paragraphs: tuple[str, ...] = ()
    pages: tuple[Facsimile, ...] = ()
    is_filled: bool = True


def notice_of(firm: Firm, given: Mapping[str, str], tag: str) -> Notice:
    """Take in the firm's own notice and fill it in.

    Parameters
    ----------
    firm : Firm
    given : mapping of str to str
        What each place of `FILLED_IN` says.
    tag : str
        Language of the paper, such as ``es-MX``.

    Raises
    ------
    PaperError
        If it cannot be read or filled in.
    """
    if not firm.cancel_notice:
        return Notice()
    path = notice_file(firm.cancel_notice, tag)
    if path.suffix.lower() != PDF:
        return Notice(paragraphs=_filled(read_notice(path), given))
    content, names = _read_pdf(path)
    filled = {name: given[name] for name in FILLED_IN if name in names}
    pages = _pages(content, tuple(filled.items()), _about(path))
    return Notice(pages=pages, is_filled=bool(filled))


def _filled(text: str, given: Mapping[str, str]) -> tuple[str, ...]:
    """Paragraphs of a notice with its places filled in; the first is its caption."""
    places = set(re.findall(r"\{(\w+)\}", text))
    if unknown := sorted(places - given.keys()):
        known = ", ".join(f"{{{name}}}" for name in FILLED_IN)
        found = f"{{{unknown[0]}}}"
        raise PaperError("firm, cancel_notice", found=found, expected=f"only {known}")
    for name in MUST:
        if name not in places:
            found = f"no {{{name}}} in it"
            raise PaperError(
                "firm, cancel_notice", found=found, expected=f"a place for {{{name}}}"
            )
    filled = re.sub(r"\{(\w+)\}", lambda place: given[place[1]], text)
    parts = (" ".join(part.split()) for part in re.split(r"\n\s*\n", filled))
    return tuple(part for part in parts if part)


@lru_cache(maxsize=4)
def _pages(
    content: bytes, filled: tuple[tuple[str, str], ...], about: str
) -> tuple[Facsimile, ...]:
    """Pages of a PDF; the table asks for the same ones after every change."""
    return tuple(
        Facsimile(sheet.image, sheet.words, sheet.wide_pt, sheet.tall_pt)
        for sheet in sheets(content, dict(filled), about=about)
    )


def notice_file(named: str, tag: str) -> Path:
    """File of the notice in the language of a tag such as ``es-MX``."""
    return Path(named.replace("{language}", tag.split("-", maxsplit=1)[0])).expanduser()


def check_notice(path: Path) -> None:
    """See that a notice can be read, before a paper asks for it.

    Raises
    ------
    PaperError
        As `read_notice` does; a PDF also if it is damaged, encrypted, too long, or has a
        script or an attachment in it.
    """
    if path.suffix.lower() == PDF:
        _read_pdf(path)
    else:
        read_notice(path)


def read_notice(path: Path) -> str:
    """Text of the firm's official notice of cancellation.

    Raises
    ------
    PaperError
        If it is no text file of at most 20,000 bytes.
    """
    content = _content(path, MOST_BYTES)
    try:
        return content.decode("utf-8-sig")
    except UnicodeError:
        raise PaperError(_about(path), found="no text", expected=EXPECTED) from None


def _read_pdf(path: Path) -> tuple[bytes, frozenset[str]]:
    """A PDF and the names of its fields, of which it has none or those that it must."""
    content = _content(path, outside.MOST_BYTES)
    names = checked_outside(content, about=_about(path))
    missing = [name for name in MUST if name not in names]
    if names and missing:
        raise PaperError(
            _about(path),
            found="fields to fill in, but none named " + ", ".join(missing),
            expected="these among " + ", ".join(FILLED_IN) + ", or no fields",
        )
    return content, names


def _content(path: Path, most: int) -> bytes:
    try:
        content = path.read_bytes()
    except (OSError, ValueError) as error:
        found = getattr(error, "strerror", None) or str(error)
        raise PaperError(_about(path), found=found, expected=EXPECTED) from None
    if len(content) > most:
        found = f"{len(content):,} bytes"
        raise PaperError(_about(path), found=found, expected=f"at most {most:,}")
    return content


def _about(path: Path) -> str:
    return f"firm, cancel_notice {path.name}"
