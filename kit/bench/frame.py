"""The frame around the stage: head, panel of the step in hand, and the price tape."""

from __future__ import annotations

from typing import Any

import anywidget
import traitlets as t
from ipywidgets import widget_serialization

from kit.bench.page_modules import script, style
from kit.bench.stage import Stage


class Frame(anywidget.AnyWidget):
    """Draw the table around its stage and carry what people ask for to Python.

    It holds no job. `figures` is all it shows, made by `kit.bench.figures` from
    what a client may see; each wish arrives as a message ``{"do": name, ...}``.
    """

    _esm = script("frame.js")
    _css = style(
        "theme.css",
        "frame.css",
        "controls.css",
        "panels.css",
        "ledger.css",
        "board.css",
        "rooms.css",
        "paper.css",
        "jobs.css",
        "both.css",
    )

    stage = t.Instance(Stage).tag(sync=True, **widget_serialization)
    """The stage, drawn in the middle."""

    figures = t.Dict().tag(sync=True)
    """Head, tape, colours, knobs, finishes, rooms and price as words. Python → browser."""

    pours: t.List[Any] = t.List().tag(sync=True)
    """Further pours: ``{"seed": int, "picture": JPEG}`` each. Python → browser."""

    kept: t.List[Any] = t.List().tag(sync=True)
    """Kept designs: ``{"name": str, "picture": JPEG}`` each. Python → browser."""

    notice = t.Dict().tag(sync=True)
    """What the banner says. Python → browser.

    ``{"says": words, "number": int, "offers": [[button, wish]], "passes": bool}``
    """

    def __init__(self, **given: Any) -> None:
        unknown = sorted(given.keys() - set(self.trait_names()))
        if unknown:
            msg = f"Frame has no {', '.join(unknown)}"
            raise TypeError(msg)
        super().__init__(**given)
