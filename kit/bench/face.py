"""The screen's typeface, from the font package that is installed with the kit."""

from __future__ import annotations

from pathlib import Path

import fontpkg_ibm_plex_sans


def plex_sans_file() -> Path:
    """Where IBM Plex Sans upright is: all weights and widths in one TrueType file."""
    return Path(fontpkg_ibm_plex_sans.ROOT) / "files" / "IBMPlexSans[wdth,wght].ttf"


def plex_sans() -> bytes:
    """The same as bytes."""
    return plex_sans_file().read_bytes()
