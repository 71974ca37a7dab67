"""Sections in their order, with their facts, as a manuscript for the press.

A section is a folder of `kit.proposal.sections`: its ``__init__.py`` has
``PLACE``, its order on the paper, and ``facts(view)``, what its template needs
or None if this job has nothing for it; ``section.typ`` defines
``section(facts)``. Adding a folder adds a section. Sections do not know each
other.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from functools import cache
from importlib import import_module, resources
from pkgutil import iter_modules
from typing import TYPE_CHECKING, Any, Protocol, cast

from kit.press.accent import Srgb, accent_of, darkened, hexadecimal
from kit.press.manuscript import OWN_FACE, Manuscript, as_json, plain
from kit.press.page import FOOT_PT, GUTTER_PT, SIDE_PT, TOP_PT
from kit.proposal import sections
from kit.proposal.catalogue import words_in
from kit.proposal.sections import acceptance
from kit.proposal.shown import ClientView

if TYPE_CHECKING:
    from kit.proposal.change_order.shown import ChangeView

HOUSE = "house.typ"


class Section(Protocol):
    """What a section's folder offers."""

    PLACE: int

    def facts(self, view: ClientView) -> Mapping[str, Any] | None:
        """What the template needs, or None."""


def section_names() -> tuple[str, ...]:
    """Names of the sections in the order of the paper."""
    return tuple(sorted(_sections(), key=lambda name: (_sections()[name].PLACE, name)))


def compose(view: ClientView) -> Manuscript:
    """Lay out what each section says of a view that was cleaned."""
    files: dict[str, bytes] = {HOUSE: source(HOUSE)}
    facts: dict[str, Any] = {}
    for name in section_names():
        told = _sections()[name].facts(view)
        if told is not None:
            facts[name] = plain(told, files, about=name)
            files[f"{name}.typ"] = source("sections", name, "section.typ")
    if view.face is not None:
        files[OWN_FACE] = view.face.font
    files["house.json"] = as_json(
        house_facts(view, _accent(view), _days(view), revision=view.revision)
    )
    files["words.json"] = as_json(dict(words_in(view.language).said))
    files["facts.json"] = as_json(facts)
    files["main.typ"] = _main(tuple(facts)).encode()
    return Manuscript(files, acceptance.fields(view))


@cache
def _sections() -> dict[str, Section]:
    names = sorted(found.name for found in iter_modules(sections.__path__) if found.ispkg)
    return {n: cast("Section", import_module(f"{sections.__name__}.{n}")) for n in names}


def _main(names: tuple[str, ...]) -> str:
    lines = [
        f'#import "/{HOUSE}": house',
        "#show: house",
        '#let facts = json("/facts.json")',
    ]
    for name in names:
        lines.append(f'#import "/{name}.typ" as {name}-section')
        lines.append(f'#{name}-section.section(facts.at("{name}"))')
    return "\n".join(lines) + "\n"


def house_facts(
    view: ClientView | ChangeView, accent: Srgb, days: str, *, revision: str = ""
) -> dict[str, Any]:
    """What the page itself is set by, whichever paper of ours it belongs to.

    Parameters
    ----------
    view : ClientView or ChangeView
    accent : (int, int, int)
        sRGB in 0..255.
    days : str
        Pattern of the days that are told, each to stand in one line.
    revision : str
        Of the paper, if it is not the first.
    """
    assert view.dated is not None, "the gate before has seen to it"
    language, _, region = words_in(view.language).tag.partition("-")
    return {
        "width": view.page.width_pt,
        "height": view.page.height_pt,
        "side": SIDE_PT,
        "top": TOP_PT,
        "foot": FOOT_PT,
        "gutter": GUTTER_PT,
        "edge": view.page.edge_pt,
        "lang": language,
        "region": region,
        "title": view.title,
        "firm": view.firm.name,
        "client": view.client.name,
        "number": view.number,
        "revision": revision,
        "date": view.date,
        "days": days,
        "dated": [view.dated.year, view.dated.month, view.dated.day],
        "face": view.face.family if view.face else "",
        "fill": hexadecimal(accent),
        "accent": hexadecimal(darkened(accent)),
    }


def _days(view: ClientView) -> str:
    told = {view.date}
    if view.price:
        told.add(view.price.open_until)
    if view.signed:
        told.add(view.signed.day)
    if view.cancel:
        told.update(row.last_day for row in view.cancel.rows)
    return days_pattern(told)


def days_pattern(told: Iterable[str]) -> str:
    """Pattern of the days that a paper tells; without any, one that nothing fits."""
    plain_days = sorted(day for day in told if re.fullmatch(r"[\w, ]{6,40}", day))
    return "|".join(plain_days) or r"[^\s\S]"


def _accent(view: ClientView) -> Srgb:
    """Of the firm, if it has a color of its own; else of the floor."""
    return own_accent(view.accent) or accent_of(swatch.srgb for swatch in view.swatches)


def own_accent(color: str) -> Srgb | None:
    """Read the color of a firm, ``#1f4e79``; None if it has none."""
    if not re.fullmatch(r"#[0-9a-fA-F]{6}", color):
        return None
    red, green, blue = bytes.fromhex(color[1:])
    return red, green, blue


def source(*path: str) -> bytes:
    """Read a template of ours."""
    return resources.files("kit.proposal").joinpath(*path).read_bytes()
