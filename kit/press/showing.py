"""Records that hold what they declare, exactly, and texts that know their length."""

from __future__ import annotations

import types
from collections.abc import Callable
from dataclasses import dataclass
from typing import (
    Annotated,
    Any,
    Literal,
    TypeVar,
    Union,
    get_args,
    get_origin,
    get_type_hints,
)

from kit.errors import PaperError


@dataclass(frozen=True)
class Limit:
    """Most characters of a text."""

    characters: int


Line = Annotated[str, Limit(120)]
Sentence = Annotated[str, Limit(300)]
Prose = Annotated[str, Limit(900)]
Passage = Annotated[str, Limit(4000)]
Words = Annotated[str, Limit(12_000)]
"""All that is written on a page."""


class Shown:
    """A part of the client's view; holds nothing but what its fields declare."""

    __slots__ = ()

    def __post_init__(self) -> None:
        for name, declared in declared_fields(type(self)).items():
            value = getattr(self, name)
            if not _fits(value, declared):
                about = f"{type(self).__name__}, {name}"
                expected = _spoken(declared)
                raise PaperError(
                    about, found=f"a {type(value).__name__}", expected=expected
                )


def declared_fields(kind: type[Shown]) -> dict[str, Any]:
    """Types of the fields of a part, by name."""
    if kind not in _DECLARED:
        _DECLARED[kind] = get_type_hints(kind, include_extras=True)
    return _DECLARED[kind]


_DECLARED: dict[type[Shown], dict[str, Any]] = {}


PartT = TypeVar("PartT", bound=Shown)
Rewrite = Callable[[str, str, int], str]
"""What a text becomes: from where it stands, itself and its limit."""


def rewritten(part: PartT, rewrite: Rewrite, *, about: str = "") -> PartT:
    """Make a part anew with every text of it, however deep, rewritten."""
    made = {}
    for name, declared in declared_fields(type(part)).items():
        where = f"{about}, {name}" if about else name
        made[name] = _rewritten(getattr(part, name), declared, rewrite, where)
    return type(part)(**made)


def texts(part: Shown) -> list[tuple[str, str]]:
    """List every text of a part with where it stands."""
    found: list[tuple[str, str]] = []

    def note(where: str, text: str, _: int) -> str:
        found.append((where, text))
        return text

    rewritten(part, note)
    return found


def _rewritten(value: Any, declared: Any, rewrite: Rewrite, where: str) -> Any:
    if isinstance(value, Shown):
        return rewritten(value, rewrite, about=where)
    if isinstance(value, tuple):
        inner = get_args(declared)[0]
        return tuple(
            _rewritten(item, inner, rewrite, f"{where} {place}")
            for place, item in enumerate(value, start=1)
        )
    if get_origin(declared) is Annotated:
        _, limit = get_args(declared)
        return rewrite(where, value, limit.characters)
    return value


def _fits(value: object, declared: Any) -> bool:
    """Tell whether a value is exactly of its declared type, all the way down."""
    origin, inner = get_origin(declared), get_args(declared)
    if origin is Annotated:
        return type(value) is inner[0]
    if origin is Literal:
        return type(value) is str and value in inner
    if origin is tuple:
        if type(value) is not tuple:
            return False
        if len(inner) == 2 and inner[1] is ...:
            return all(_fits(item, inner[0]) for item in value)
        return len(value) == len(inner) and all(map(_fits, value, inner))
    if origin in (Union, types.UnionType):
        return any(_fits(value, choice) for choice in inner)
    return type(value) is declared


def _spoken(declared: Any) -> str:
    if get_origin(declared) is Annotated:
        return "formatted text"
    return getattr(declared, "__name__", None) or str(declared)
