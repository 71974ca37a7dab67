"""What the page may ask for, each wish tied to the choice it stands for."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from kit.bench import choices, designs
from kit.bench.complaining import Complaint
from kit.bench.measures import MEASURES
from kit.bench.state import TableState
from kit.errors import SheetError
from kit.job import Job
from kit.pour.recipe import Flow

Wish = dict[str, Any]
Granted = Callable[[Wish], Complaint | None]

_CHOICES: dict[str, tuple[Callable[..., Job], dict[str, type]]] = {
    "finish": (choices.with_finish, {"finish": str}),
    "extra": (choices.with_extra_switched, {"extra": str}),
    "tint": (choices.with_tint, {"tint": str}),
    "pigment": (choices.with_pigment, {"place": int, "pigment": str}),
    "add": (choices.with_added, {"pigment": str}),
    "remove": (choices.without, {"place": int}),
    "percent": (choices.with_percent, {"place": int, "percent": float}),
    "share": (choices.with_share, {"place": int, "text": str}),
    "border": (choices.with_border, {"place": int, "percent": float}),
    "knob": (choices.with_knob, {"name": str, "value": float}),
    "seed": (Job.with_seed, {"seed": int}),
    **designs.WISHES,
    **MEASURES,
}


def choices_of(state: TableState) -> dict[str, Granted]:
    """Every wish that changes the job; what it brings along is checked first."""
    granted: dict[str, Granted] = {name: _granted(state, name) for name in _CHOICES}
    granted["usual"] = lambda _: state.change(lambda job: choices.with_flow(job, Flow()))
    granted["undo"] = lambda _: state.undo()
    granted["redo"] = lambda _: state.redo()
    return granted


def _granted(state: TableState, name: str) -> Granted:
    choice, needs = _CHOICES[name]

    def grant(wish: Wish) -> Complaint | None:
        try:
            values = [given(wish, field, kind) for field, kind in needs.items()]
        except SheetError as error:
            return Complaint(error)
        return state.change(
            lambda job: choice(job, *values), gesture=str(wish.get("gesture", ""))
        )

    return grant


def given(wish: Wish, field: str, kind: type) -> Any:
    """Value of a wish, of the kind it must be; a whole number may stand for any number."""
    value = wish.get(field)
    if kind is float and isinstance(value, int) and not isinstance(value, bool):
        value = float(value)
    if not isinstance(value, kind) or isinstance(value, bool):
        words = {str: "words", int: "a whole number", float: "a number"}[kind]
        raise SheetError(field, found="nothing" if value is None else value, expected=words)
    return value
