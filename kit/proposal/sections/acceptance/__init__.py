"""Acceptance: which design and finish, for how much; lines to sign, or a signature."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from kit.press.cleaning import opened
from kit.press.page import Picture
from kit.proposal.catalogue import words_in
from kit.proposal.lively import liveliest
from kit.proposal.shown import ClientView
from kit.proposal.signed import Signed, laid_out

PLACE = 70
FIELDS = ("client", "firm")
"""Who may sign on a computer, each in a field of that name."""

MOST_BOXES = 8
INK_PT = (170.0, 40.0)
"""Most that a signature may take of its line, and above it."""
BAND_PT = 112.0
ACROSS = 0.8
"""How much of the picture's width the band shows: more of it is sharper, less is nearer."""
FLOOR = (0.6, 0.97)
"""Where there is floor and little else, as shares of the picture's height from the top."""


def facts(view: ClientView) -> dict[str, Any]:
    """The choice to tick and the names under the lines; once signed, no choice is left."""
    assert view.price is not None, "no paper without a price"
    options = view.price.options if len(view.price.options) <= MOST_BOXES else ()
    taken = [one.name for one in view.price.extras if one.taken]
    taken += [one.name for one in view.price.allowances if one.taken]
    chosen = next((one for one in view.price.options if one.chosen), None)
    return {
        "total": view.price.total,
        "chosen": chosen.name if chosen else "",
        "design": view.design,
        "extras": words_in(view.language).listed(
            taken, apart=any("," in name for name in taken)
        ),
        "options": options if len(options) > 1 and not view.signed else (),
        "number": view.number,
        "date": view.date,
        "client": view.client,
        "firm": view.firm,
        "cancel": view.cancel,
        "signed": _given(view.signed),
        "fields": {name: name if name in fields(view) else "" for name in FIELDS},
        "picture": _band(view),
        "tall": BAND_PT,
        "colors": [
            {"name": one.name, "share": one.share, "part": one.part, "srgb": one.srgb}
            for one in view.swatches
        ],
    }


def fields(view: ClientView) -> dict[str, str]:
    """Fields that stand over the lines to sign, with what each is read aloud as."""
    if not view.has_fields:
        return {}
    say = words_in(view.language)
    names = {"firm": view.firm.person or view.firm.name}
    if view.signed is None:
        names["client"] = view.client.person or view.client.name
    return {key: say("acceptance.field", name=name) for key, name in names.items()}


def _band(view: ClientView) -> Picture | None:
    """The liveliest part of the floor of the room in the chosen finish, as a band."""
    shown = next((one.picture for one in view.sheens if one.chosen), None)
    if shown is None:
        return None
    picture = opened(shown, about="acceptance, picture")
    shape = BAND_PT / view.page.wide_pt * picture.width / picture.height
    high = min(ACROSS * shape, FLOOR[1] - FLOOR[0])
    across = high / shape
    left, top = liveliest(picture, across, high, within=FLOOR)
    return replace(shown, crop=(left, top, left + across, top + high))


def _given(signed: Signed | None) -> dict[str, Any] | None:
    if signed is None:
        return None
    ink = None
    if signed.strokes:
        strokes, wide, tall = laid_out(signed, widest_pt=INK_PT[0], tallest_pt=INK_PT[1])
        ink = {"strokes": strokes, "wide": wide, "tall": tall}
    return {"name": signed.name, "day": signed.day, "alt": signed.alt, "ink": ink}
