"""What the typesetter is given: files by name, with facts as plain values."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, field, fields, is_dataclass
from typing import Any

from kit.press.cleaning import printed_jpeg
from kit.press.page import Facsimile, Logo, Picture

OWN_FACE = "own-face.ttf"
"""File of a firm's own typeface, beside what is typeset."""


@dataclass(frozen=True)
class Manuscript:
    """All files of a document by name; ``main.typ`` is the one to typeset.

    Parameters
    ----------
    files : mapping of str to bytes
    fields : mapping of str to str
        What each empty field to sign in is for, by its name; most papers have none.
    """

    files: Mapping[str, bytes]
    fields: Mapping[str, str] = field(default_factory=dict)


def plain(value: Any, files: dict[str, bytes], *, about: str) -> Any:
    """Turn facts into plain values; pictures go to files and leave their names."""
    if isinstance(value, Picture):
        jpeg, (width, height) = printed_jpeg(value, about=f"{about}, picture")
        name = f"picture-{sum(known.endswith('.jpg') for known in files) + 1}.jpg"
        files[name] = jpeg
        return {"file": f"/{name}", "alt": value.alt, "width": width, "height": height}
    if isinstance(value, Logo):
        name = f"logo.{value.kind}"
        files[name] = value.image
        return {"file": f"/{name}", "alt": value.alt, "aspect": value.aspect}
    if isinstance(value, Facsimile):
        name = f"facsimile-{sum('facsimile' in known for known in files) + 1}.png"
        files[name] = value.image
        size = {"wide": value.wide_pt, "tall": value.tall_pt}
        return {"file": f"/{name}", "alt": value.words, **size}
    if is_dataclass(value) and not isinstance(value, type):
        return {
            f.name: plain(getattr(value, f.name), files, about=about) for f in fields(value)
        }
    if isinstance(value, Mapping):
        return {
            key: plain(item, files, about=f"{about}, {key}") for key, item in value.items()
        }
    if isinstance(value, tuple | list):
        return [plain(item, files, about=about) for item in value]
    return value


def as_json(value: object) -> bytes:
    """Write facts as a template reads them, the same bytes for the same facts."""
    return json.dumps(value, ensure_ascii=False, sort_keys=True, allow_nan=False).encode()
