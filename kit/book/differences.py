"""What two states of a job differ in, as a person says it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from decimal import Decimal
from typing import Any

from kit.money import shown
from kit.record import spoken_path

FieldPath = tuple[int | str, ...]


def changed_fields(before: Any, after: Any) -> tuple[str, ...]:
    """Name each field that differs between two states given as JSON values.

    A list that grew or shrank is named itself, not item by item. A field that one state
    does not know yet is no difference while the other has nothing in it.

    >>> changed_fields({"finish": "matte", "seed": 7}, {"finish": "gloss", "seed": 7})
    ('finish',)
    """
    return tuple(spoken_path(path, after) for path in _differing(before, after, ()))


def _differing(before: Any, after: Any, path: FieldPath) -> Iterator[FieldPath]:
    if before == after:
        return
    if isinstance(before, dict) and isinstance(after, dict):
        for name in {**before, **after}:
            is_new = (name in before) != (name in after)
            if is_new and not (before.get(name) or after.get(name)):
                continue
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


def in_words(
    before: Any,
    after: Any,
    *,
    totals: tuple[Decimal | None, Decimal | None] = (None, None),
    called: Mapping[str, str] | None = None,
    currency: str = "USD",
) -> tuple[str, ...]:
    """Say each difference of two states given as JSON values, and of their prices.

    Parameters
    ----------
    before, after : JSON values
    totals : tuple of Decimal or None
        What each was priced at; the difference is told where both are known.
    called : mapping, optional
        Names of finishes and pigments by their keys.
    currency : str
        ISO 4217 code.

    >>> in_words({"finish": "matte"}, {"finish": "gloss"},
    ...          totals=(Decimal("7751.95"), Decimal("8163.95")))
    ('finish matte → gloss', '+$412')
    """
    said = [
        _said(spoken_path(path, after), _at(before, path), _at(after, path), called or {})
        for path in _differing(before, after, ())
    ]
    old, new = totals
    if old is not None and new is not None and old != new:
        said.append(difference_words(new - old, currency))
    return tuple(said)


def difference_words(amount: Decimal, currency: str = "USD") -> str:
    """``+$412`` or ``−$19.50``: a difference, without cents where there are none."""
    text = shown(abs(amount), currency)
    text = text.removesuffix(".00")
    return f"{'−' if amount < 0 else '+'}{text}"


def shown_value(value: Any) -> str:
    """A value in a few words: a long one by how much of it there is."""
    match value:
        case None:
            return "nothing"
        case bool():
            return "yes" if value else "no"
        case float():
            return f"{value:.6g}"
        case dict():
            return str(value.get("name") or f"{len(value)} fields")
        case list():
            return f"{len(value)} {'entry' if len(value) == 1 else 'entries'}"
    text = " ".join(str(value).split())
    return (text if len(text) <= _LONGEST else f"{text[: _LONGEST - 1]}…") or "blank"


_LONGEST = 48


def _said(name: str, old: Any, new: Any, called: Mapping[str, str]) -> str:
    if isinstance(old, list) and isinstance(new, list):
        told = [_items(new, old, "added", called), _items(old, new, "taken out", called)]
        if all(isinstance(part, str) for part in told) and any(told):
            return f"{name}: {', '.join(str(part) for part in told if part)}"
    if isinstance(new, dict) and old is None:
        return f"{name}: given"
    if isinstance(old, dict) and new is None:
        return f"{name}: taken off"
    one, other = (
        called.get(value, value) if isinstance(value, str) else value
        for value in (old, new)
    )
    return f"{name} {shown_value(one)} → {shown_value(other)}"


def _items(these: list[Any], those: list[Any], how: str, called: Mapping[str, str]) -> str:
    """Names of what is in one list and not in the other, and what became of them."""
    names = [
        [item.get("name") if isinstance(item, dict) else item for item in side]
        for side in (these, those)
    ]
    only = [name for name in names[0] if isinstance(name, str) and name not in names[1]]
    told = ", ".join(called.get(name, name) for name in only[:3])
    return f"{told} {how}" if told else ""


def _at(state: Any, path: FieldPath) -> Any:
    for step in path:
        try:
            state = state[step]
        except (KeyError, IndexError, TypeError):
            return None
    return state
