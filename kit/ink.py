"""Colors and style of everything that is drawn as a chart, on screen and on paper."""

from __future__ import annotations

from pathlib import Path
from typing import Any

FAMILY = "IBM Plex Sans"
INK = {
    "raised": "#ffffff",
    "edge": "#7c766e",
    "ink": "#211f1c",
    "ink2": "#57524b",
    "chalk": "#2c4c97",
}
"""Colors of the light theme, as the table's page has them."""


def plex_sans_file() -> Path:
    """Where IBM Plex Sans upright is: all weights and widths in one TrueType file."""
    import fontpkg_ibm_plex_sans

    return Path(fontpkg_ibm_plex_sans.ROOT) / "files" / "IBMPlexSans[wdth,wght].ttf"


def chart_style() -> Any:
    """Settings of matplotlib: one bottom line with ticks inwards, no grid, no frame.

    The ground is opaque, so that dark ink is read in a dark notebook too.
    """
    from cycler import cycler
    from matplotlib import font_manager

    font_manager.fontManager.addfont(plex_sans_file())
    return {
        "font.family": FAMILY, "font.size": 10, "text.color": INK["ink"],
        "xtick.color": INK["ink2"], "ytick.color": INK["ink2"],
        "axes.labelcolor": INK["ink2"], "axes.titlesize": 10, "axes.titlelocation": "left",
        "axes.edgecolor": INK["edge"], "axes.linewidth": 0.8, "axes.grid": False,
        "axes.spines.top": False, "axes.spines.right": False, "axes.spines.left": False,
        "axes.facecolor": "none", "figure.facecolor": INK["raised"],
        "axes.prop_cycle": cycler(color=[INK["chalk"], INK["ink2"], INK["edge"]]),
        "xtick.direction": "in", "xtick.major.size": 6, "xtick.minor.size": 3,
        "ytick.major.size": 0, "ytick.minor.size": 0,
        "lines.linewidth": 1.6, "legend.frameon": False, "axes.unicode_minus": True,
        "svg.hashsalt": "pourtable", "svg.fonttype": "path",
    }  # fmt: skip
