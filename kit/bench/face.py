"""The screen's typeface, from the font package that is installed with the kit."""

from __future__ import annotations

from importlib.resources import files


def plex_sans() -> bytes:
    """IBM Plex Sans upright, all weights and widths in one TrueType file."""
    folder = files("fontpkg_ibm_plex_sans").joinpath("files")
    return folder.joinpath("IBMPlexSans[wdth,wght].ttf").read_bytes()
