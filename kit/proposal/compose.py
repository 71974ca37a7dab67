"""Sections in their order, with their facts, as a manuscript for the press.

A section is a folder of `kit.proposal.sections`: its ``__init__.py`` has
``PLACE``, its order on the paper, and ``facts(view)``, what its template needs
or None if this job has nothing for it; ``section.typ`` defines
``section(facts)``. Adding a folder adds a section. Sections do not know each
other.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass, fields, is_dataclass
from functools import cache
from importlib import import_module, resources
from pkgutil import iter_modules
from typing import Any, Protocol, cast

from kit.errors import PaperError
from kit.proposal import sections
from kit.proposal.accent import accent_of, darkened, hexadecimal
from kit.proposal.cleaning import printed_jpeg
from kit.proposal.shown import GUTTER_PT, SIDE_PT, ClientView, Picture

HOUSE = "house.typ"
LANGUAGE = re.compile(r"([a-z]{2,3})(?:-([A-Z]{2}))?")


class Section(Protocol):
    """What a section's folder offers."""

    PLACE: int

    def facts(self, view: ClientView) -> Mapping[str, Any] | None:
        """What the template needs, or None."""


@dataclass(frozen=True)
class Manuscript:
    """All files of a document by name; ``main.typ`` is the one to typeset."""

    files: Mapping[str, bytes]


def section_names() -> tuple[str, ...]:
    """Names of the sections in the order of the paper."""
    return tuple(sorted(_sections(), key=lambda name: (_sections()[name].PLACE, name)))


def compose(view: ClientView) -> Manuscript:
    """Lay out what each section says of a view that was cleaned."""
    files: dict[str, bytes] = {HOUSE: _source(HOUSE)}
    facts: dict[str, Any] = {}
    for name in section_names():
        told = _sections()[name].facts(view)
        if told is not None:
            facts[name] = _plain(told, files, about=name)
            files[f"{name}.typ"] = _source("sections", name, "section.typ")
    files["house.json"] = _json(_house_facts(view))
    files["facts.json"] = _json(facts)
    files["main.typ"] = _main(tuple(facts)).encode()
    return Manuscript(files)


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


def _house_facts(view: ClientView) -> dict[str, Any]:
    assert view.dated is not None, "the gate before has seen to it"
    accent = accent_of(swatch.srgb for swatch in view.swatches)
    language = LANGUAGE.fullmatch(view.language)
    if language is None:
        raise PaperError("language", found=view.language, expected="a tag such as en-US")
    return {
        "width": view.page.width_pt,
        "height": view.page.height_pt,
        "side": SIDE_PT,
        "gutter": GUTTER_PT,
        "edge": view.page.edge_pt,
        "lang": language[1],
        "region": language[2],
        "title": view.title,
        "firm": view.firm.name,
        "client": view.client.name,
        "number": view.number,
        "date": view.date,
        "dated": [view.dated.year, view.dated.month, view.dated.day],
        "fill": hexadecimal(accent),
        "accent": hexadecimal(darkened(accent)),
    }


def _plain(value: Any, files: dict[str, bytes], *, about: str) -> Any:
    """Turn facts into plain values; pictures go to files and leave their names."""
    if isinstance(value, Picture):
        jpeg, (width, height) = printed_jpeg(value, about=f"{about}, picture")
        name = f"picture-{sum(known.endswith('.jpg') for known in files) + 1}.jpg"
        files[name] = jpeg
        return {"file": f"/{name}", "alt": value.alt, "width": width, "height": height}
    if is_dataclass(value) and not isinstance(value, type):
        return {
            f.name: _plain(getattr(value, f.name), files, about=about)
            for f in fields(value)
        }
    if isinstance(value, Mapping):
        return {
            key: _plain(item, files, about=f"{about}, {key}") for key, item in value.items()
        }
    if isinstance(value, tuple | list):
        return [_plain(item, files, about=about) for item in value]
    return value


def _json(value: object) -> bytes:
    return json.dumps(value, ensure_ascii=False, sort_keys=True, allow_nan=False).encode()


def _source(*path: str) -> bytes:
    return resources.files("kit.proposal").joinpath(*path).read_bytes()
