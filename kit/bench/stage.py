"""The stage: the floor in one finish, or in two with the wet edge between them."""

from __future__ import annotations

from typing import Any

import anywidget
import traitlets as t

from kit.bench.page_modules import script, style
from kit.plan.views import FROM, VIEWS


class Stage(anywidget.AnyWidget):
    """Show pictures of a floor and let a finger draw the wet edge across them.

    The stage knows pictures and words, nothing of pours or prices: whoever owns
    it sets `pictures` and listens to `view`, `mood`, `compare` and
    `size_px`. The edge itself never asks Python.
    """

    _esm = script("stage.js")
    _css = style("theme.css", "stage.css")

    pictures = t.Dict().tag(sync=True)
    """``{"left": JPEG, "right": JPEG or b"", "says": words, "tags": [[name, words]],
    "view": view}``.

    Set whole, so that no tag is ever read over another finish. Python → browser.
    """

    words = t.Dict().tag(sync=True)
    """Words now true of a tag, by its name: they change without a new picture.

    Python → browser.
    """

    shades_itself = t.Bool(False).tag(sync=True)
    """Whether the page can shade plates, see `kit.bench.plates`. Browser → Python."""

    optics = t.Dict().tag(sync=True)
    """How every pigment and tint meets light, see `plates.optics`. Python → browser."""

    shades = t.Dict().tag(sync=True)
    """What the page shows of its plates, see `plates.Plates.looks`. Python → browser.

    With it ``"says"``, ``"tags"`` and ``"view"`` as in `pictures`, and ``"all"`` once
    the page holds whatever may be chosen next; empty while plates are not used.
    Each plate comes as a message ``{"plate": words}`` with its textures.
    """

    busy = t.Bool(False).tag(sync=True)
    """A newer picture is on its way; the last one stays sharp. Python → browser."""

    view = t.Enum(VIEWS, "room").tag(sync=True)
    """Where the floor is looked at from. Both ways."""

    standings = t.List(t.List(t.Unicode()), [list(pair) for pair in FROM.items()]).tag(
        sync=True
    )
    """Views from within the room, each with its words. Python → browser."""

    mood = t.Enum(("day", "evening"), "day").tag(sync=True)
    """Light. Both ways."""

    compare = t.Bool(False).tag(sync=True)
    """Whether the edge parts two finishes. Both ways."""

    edge = t.Float(0.52, min=0.0, max=1.0).tag(sync=True)
    """Where the edge stands, as a share of the width. Both ways, told on release."""

    size_px = t.List(t.Int(), [960, 628]).tag(sync=True)
    """Width and height of the stage in pixels of the screen. Browser → Python."""

    def __init__(self, **given: Any) -> None:
        unknown = sorted(given.keys() - set(self.trait_names()))
        if unknown:
            msg = f"Stage has no {', '.join(unknown)}"
            raise TypeError(msg)
        super().__init__(**given)
