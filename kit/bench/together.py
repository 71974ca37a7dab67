"""What two windows both changed, as it is asked at the table: field by field."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from kit.bench.knob_words import knob_name
from kit.book import Conflict, Merged, Side
from kit.book.differences import FieldPath, shown_value
from kit.errors import SheetError
from kit.knobs import knobs_of
from kit.pour.recipe import Flow
from kit.stock import Shelf
from kit.stock.extras import Extra
from kit.stock.records import Finish, Pigment, Tint

_SAID: dict[FieldPath, str] = {
    ("recipe", "palette"): "Colors",
    ("recipe", "seed"): "Pour",
    ("signed",): "Signature",
    ("valid_days",): "Days the price holds",
}
"""Fields by what the table calls them; the others go by their own names."""
_MOST_ALSO = 4


def asked_of_both(put: Merged, shelf: Shelf, *, once_more: bool = False) -> dict[str, Any]:
    """What the page shows so that each field in conflict can be decided.

    Parameters
    ----------
    put : Merged
        With at least one conflict.
    shelf : Shelf
    once_more : bool
        Whether it was decided before, but the other window kept something newer.
    """
    decided = tuple(conflict.field for conflict in put.conflicts)

    def also(said: tuple[str, ...]) -> list[str]:
        rest = [words for words in said if not words.startswith(decided)]
        more = len(rest) - _MOST_ALSO
        return rest[:_MOST_ALSO] + ([f"{more} more"] if more > 0 else [])

    return {
        "who": put.latest.who,
        "seen": put.latest.number,
        "once_more": once_more,
        "asks": [_asked(conflict, shelf) for conflict in put.conflicts],
        "theirs": also(put.theirs),
        "mine": also(put.mine),
    }


def decisions(wish: Mapping[str, Any]) -> tuple[dict[str, Side], int]:
    """Whose to take by field, and the revision that this was decided against.

    Raises
    ------
    SheetError
        If a decision is neither mine nor theirs.
    """
    take = wish.get("take") or {}
    if not isinstance(take, Mapping):
        raise SheetError("take", found="something else", expected="a side by field")
    for field, side in take.items():
        if side not in {"mine", "theirs"}:
            raise SheetError(str(field)[:80], found=side, expected="mine or theirs")
    seen = wish.get("seen")
    return dict(take), seen if isinstance(seen, int) else 0


def called_on(shelf: Shelf) -> dict[str, str]:
    """Names by their keys of all that a job may choose from the shelf."""
    rows: tuple[Iterable[Finish | Pigment | Tint | Extra], ...] = (
        shelf.finishes, shelf.pigments, shelf.tints, shelf.extras,
    )  # fmt: skip
    return {thing.key: thing.name for things in rows for thing in things}


def _asked(conflict: Conflict, shelf: Shelf) -> dict[str, Any]:
    before, mine, theirs = (
        _value(conflict.path, value, called_on(shelf)) for value in conflict.values
    )
    return {
        "field": conflict.field,
        "name": _name(conflict.path),
        "before": before,
        "mine": mine,
        "theirs": theirs,
    }


def _name(path: FieldPath) -> str:
    if path in _SAID:
        return _SAID[path]
    if path[:2] == ("recipe", "flow"):
        knob = next((k for k in knobs_of(Flow) if k.name == path[-1]), None)
        return f"Flow, {knob_name(knob)}" if knob else "Flow"
    words = [
        f"{step + 1}" if isinstance(step, int) else step.replace("_", " ")
        for step in path
        if step not in {"site", "recipe"}
    ]
    name = ", ".join(words) or "Rooms"
    return name[:1].upper() + name[1:]


def _value(path: FieldPath, value: Any, called: Mapping[str, str]) -> str:
    if path == ("recipe", "palette"):
        shares = ", ".join(
            f"{called.get(c['pigment'], c['pigment'])} {100 * c['share']:.0f} %"
            for c in value["color"]
        )
        return f"{shares} on {called.get(value['tint'], value['tint'])}"
    if path == ("signed",) and value:
        return f"{value['name']}, {value['day']}"
    if path[:2] == ("site", "room") and value:
        corners = value.get("corners") or ()
        return ", ".join(value.get("walls") or ()) or f"{len(corners)} corners"
    if isinstance(value, str):
        value = called.get(value, value)
    return shown_value(value)
