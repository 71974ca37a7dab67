"""Which fields two states of a job differ in, as a person names them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from kit.record import spoken_path

FieldPath = tuple[int | str, ...]


def changed_fields(before: Any, after: Any) -> tuple[str, ...]:
    """Name each field that differs between two states given as JSON values.

    A list that grew or shrank is named itself, not item by item.

    >>> changed_fields({"finish": "matte", "seed": 7}, {"finish": "gloss", "seed": 7})
    ('finish',)
    """
    return tuple(spoken_path(path, after) for path in _differing(before, after, ()))


def _differing(before: Any, after: Any, path: FieldPath) -> Iterator[FieldPath]:
    if before == after:
        return
    if isinstance(before, dict) and isinstance(after, dict):
        for name in {**before, **after}:
            yield from _differing(before.get(name), after.get(name), (*path, name))
    elif isinstance(before, list) and isinstance(after, list) and len(before) == len(after):
        for place, (old, new) in enumerate(zip(before, after, strict=True)):
            yield from _differing(old, new, (*path, place))
    else:
        yield path


def listed(names: tuple[str, ...], *, most: int = 3) -> str:
    """Join the first few names and count the rest.

    >>> listed(("finish", "valid_days", "title", "number"))
    'finish; valid_days; title and 1 more'
    """
    rest = len(names) - most
    return "; ".join(names[:most]) + (f" and {rest} more" if rest > 0 else "")
