"""The cover: two finishes parted at the wet edge, for whom, how much, until when."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from kit.press.cleaning import opened
from kit.press.page import Picture
from kit.proposal.shown import ClientView

PLACE = 10

TALL = 0.565
"""Height of the picture as a share of the page's."""
LEAST = 0.85
"""Least share of the picture that is shown, even if the reflection then misses the edge.

It is 2,000 pixels wide: less than this would be below 200 to an inch of a letter page.
"""


def facts(view: ClientView) -> dict[str, Any]:
    """Names, price and the halves of the picture, the reflection under the edge."""
    assert view.price is not None, "no paper without a price"
    page = view.page
    chosen = next((one.name for one in view.price.options if one.chosen), "")
    aspect = page.width_pt / (page.height_pt * TALL)
    return {
        "firm": view.firm,
        "title": view.title,
        "place": view.place,
        "client": view.client.name,
        "person": view.client.person,
        "date": view.date,
        "revision": view.revision,
        "changed": view.changed,
        "lacks": " ".join(view.cancel.lacks) if view.cancel else "",
        "price": view.price,
        "chosen": chosen,
        "kept_as": view.kept_as,
        "others": len(view.price.options) > 1,
        "colours": [{"part": one.part, "srgb": one.srgb} for one in view.swatches],
        "tall": TALL,
        "halves": [
            {"name": sheen.name, "picture": half}
            for sheen, half in zip(
                view.cover,
                _halves(view.cover, aspect, page.edge_pt / page.width_pt),
                strict=True,
            )
        ],
    }


def _halves(sheens: tuple[Any, ...], aspect: float, edge: float) -> list[Picture]:
    """Cut both pictures at the edge, the strongest reflection beneath it.

    A finish that is shown alone fills the page from side to side.
    """
    if len(sheens) == 1:
        return [_whole(sheens[0].picture, aspect)]
    if len(sheens) != 2:
        return []
    one, other = (sheen.picture for sheen in sheens)
    wide, tall = opened(one, about="cover, picture").size
    focus = min(max(one.focus, 0.0), 1.0)
    room = min(1.0, focus / edge, (1.0 - focus) / (1.0 - edge))
    width = min(max(room, LEAST), 1.0, tall * aspect / wide)
    height = width * wide / aspect / tall
    left = min(max(focus - edge * width, 0.0), 1.0 - width)
    parting = left + edge * width
    top = (1.0 - height) / 2
    return [
        replace(one, crop=(left, top, parting, top + height), widest_px=760),
        replace(other, crop=(parting, top, left + width, top + height), widest_px=1300),
    ]


def _whole(picture: Picture, aspect: float) -> Picture:
    wide, tall = opened(picture, about="cover, picture").size
    width = min(1.0, tall * aspect / wide)
    height = width * wide / aspect / tall
    left, top = (1.0 - width) / 2, (1.0 - height) / 2
    return replace(picture, crop=(left, top, left + width, top + height), widest_px=1900)
