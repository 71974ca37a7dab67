"""Your floor: the pour from above within its walls, colours, flow and sheen."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from kit.proposal.shown import ClientView

PLACE = 20


def facts(view: ClientView) -> dict[str, Any] | None:
    """The pour, the swatches in true shares, and the finishes side by side."""
    if not (view.pour or view.swatches or view.sheens):
        return None
    options = view.price.options if view.price else ()
    return {
        "chosen": next((one.name.lower() for one in options if one.chosen), ""),
        "pour": view.pour,
        "swatches": view.swatches,
        "reflects": view.reflects,
        "flow_name": view.flow_name,
        "flow": view.flow,
        # one finish alone is on the cover already, larger
        "sheens": [
            replace(one, picture=replace(one.picture, widest_px=520))
            for one in view.sheens
            if len(view.sheens) > 1
        ],
    }
