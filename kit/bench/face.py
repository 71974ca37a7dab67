"""The screen's typeface, from the font package that is installed with the kit."""

from __future__ import annotations

from kit.ink import plex_sans_file


def plex_sans() -> bytes:
    """IBM Plex Sans upright: all weights and widths in one TrueType file."""
    return plex_sans_file().read_bytes()
