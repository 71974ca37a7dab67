"""A firm's own typeface: one file that may be embedded and has what the paper says."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryDirectory

from fontTools.ttLib import TTFont, TTLibError

from kit.errors import PaperError
from kit.press.page import Face

MOST_BYTES = 10_000_000
SUFFIXES = (".ttf", ".otf")
RESTRICTED, NO_SUBSETTING, BITMAP_ONLY = 0x0002, 0x0100, 0x0200
"""Bits of fsType in table OS/2 [OpenType]; the lowest four name one permission."""
PERMISSIONS = 0x000F


def read_face(path: Path, *, needed: Iterable[str]) -> Face:
    """Read a typeface from a TrueType or OpenType file.

    Parameters
    ----------
    path : Path
    needed : iterable of str
        Texts whose every letter, figure and sign the typeface must have.

    Raises
    ------
    PaperError
        If it is no single typeface, its maker does not let it be embedded in part in a
        document, or it lacks a character. The file is named without its folder.
    """
    about = f"firm, font {path.name}"
    expected = "one typeface, .ttf or .otf"
    try:
        content = path.read_bytes()
    except (OSError, ValueError) as error:
        found = getattr(error, "strerror", None) or str(error)
        raise PaperError(about, found=found, expected=expected) from None
    if len(content) > MOST_BYTES:
        found = f"{len(content):,} bytes"
        raise PaperError(about, found=found, expected=f"at most {MOST_BYTES:,}")
    if path.suffix.lower() not in SUFFIXES:
        raise PaperError(about, found=f"*{path.suffix}", expected=expected)
    letters, permitted = _opened(content, about, expected)
    if forbids := _forbidden(permitted):
        wanted = "a license that lets part of it be embedded in a document"
        raise PaperError(about, found=forbids, expected=wanted)
    for letter in sorted(set("".join(needed))):
        if unicodedata.category(letter)[0] in "LNPS" and ord(letter) not in letters:
            found = f"no {letter} (U+{ord(letter):04X})"
            raise PaperError(about, found=found, expected="every letter the paper uses")
    return Face(_family(content, about, expected), content)


def _opened(content: bytes, about: str, expected: str) -> tuple[frozenset[int], int]:
    """Characters of a typeface, and its permission to be embedded."""
    try:
        with TTFont(BytesIO(content)) as font:
            return frozenset(font.getBestCmap() or ()), int(font["OS/2"].fsType)
    except (TTLibError, KeyError, ValueError, AssertionError, OSError) as error:
        found = f"no typeface ({type(error).__name__})"
        raise PaperError(about, found=found, expected=expected) from None
    except Exception as error:
        # its tables are unpacked by struct and read as they come
        found = f"a damaged typeface ({type(error).__name__})"
        raise PaperError(about, found=found, expected=expected) from None


def _forbidden(permitted: int) -> str:
    """What its maker forbids that a paper needs; nothing if all is allowed."""
    if permitted & PERMISSIONS == RESTRICTED:
        return "embedding forbidden by its maker"
    if permitted & NO_SUBSETTING:
        return "embedding in part forbidden by its maker"
    if permitted & BITMAP_ONLY:
        return "only its bitmaps may be embedded"
    return ""


def _family(content: bytes, about: str, expected: str) -> str:
    """Name by which the typesetter knows it."""
    import typst

    with TemporaryDirectory(prefix="face-") as folder:
        (Path(folder) / "own.ttf").write_bytes(content)
        families = typst.Fonts(
            include_system_fonts=False, include_embedded_fonts=False, font_paths=[folder]
        ).families()
    if len(families) != 1:
        raise PaperError(about, found=f"{len(families)} typefaces", expected=expected)
    return str(families[0])
