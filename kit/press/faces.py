"""The two typefaces of the paper: where they are, what they can print, how wide it is."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

import fontpkg_ibm_plex_sans
import fontpkg_source_serif_4
from fontTools.ttLib import TTFont

if TYPE_CHECKING:
    import typst

SANS = "IBM Plex Sans"
SERIF = "Source Serif 4"


def folders() -> tuple[Path, Path]:
    """Folders of the font files, sans first."""
    return (
        Path(fontpkg_ibm_plex_sans.ROOT) / "files",
        Path(fontpkg_source_serif_4.ROOT) / "files",
    )


@cache
def for_typst() -> typst.Fonts:
    """Our two faces and no others, so that no machine's own fonts change the paper."""
    return _faces_in(*folders())


def with_own(folder: Path) -> typst.Fonts:
    """Our two faces and the one that is in a folder."""
    return _faces_in(*folders(), folder)


def _faces_in(*places: Path) -> typst.Fonts:
    import typst

    return typst.Fonts(
        include_system_fonts=False,
        include_embedded_fonts=False,
        font_paths=[str(place) for place in places],
    )


@cache
def printable() -> frozenset[int]:
    """Characters that either face has a glyph for."""
    return frozenset().union(*(_upright(folder).getBestCmap() for folder in folders()))


def width_pt(words: str, size_pt: float) -> float:
    """Width of a line set in the sans at its regular weight. [pt]"""
    advances, per_em = _advances()
    unknown = per_em // 2
    return sum(advances.get(ord(letter), unknown) for letter in words) * size_pt / per_em


@cache
def _advances() -> tuple[dict[int, int], int]:
    font = _upright(folders()[0])
    metrics = font["hmtx"].metrics
    widths = {code: metrics[glyph][0] for code, glyph in font.getBestCmap().items()}
    return widths, font["head"].unitsPerEm


@cache
def _upright(folder: Path) -> TTFont:
    (path,) = (path for path in folder.glob("*.ttf") if "Italic" not in path.name)
    return TTFont(path, lazy=True)
