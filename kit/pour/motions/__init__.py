"""The menu of motions: every file in this folder that holds one adds it."""

from __future__ import annotations

from functools import cache
from importlib import import_module
from pkgutil import iter_modules

from kit.errors import SheetError
from kit.pour.motions.motion import Motion, Ripple, Strokes

__all__ = ["Motion", "Ripple", "Strokes", "every_motion", "read_motions", "usual_motions"]


@cache
def every_motion() -> tuple[type[Motion], ...]:
    """List the motions of the menu in the usual order of work."""
    kinds: list[type[Motion]] = []
    for module in iter_modules(__path__, f"{__name__}."):
        for thing in vars(import_module(module.name)).values():
            is_motion = isinstance(thing, type) and issubclass(thing, Motion)
            if is_motion and "place" in vars(thing) and thing.__module__ == module.name:
                kinds.append(thing)
    return tuple(sorted(kinds, key=lambda kind: (kind.place, kind.__name__)))


def usual_motions() -> tuple[Motion, ...]:
    """The usual motions of the menu once each, as they stand at first."""
    return tuple(kind.model_validate({}) for kind in every_motion() if kind.usual)


def read_motions(given: object) -> object:
    """Turn stored tables into the motions they name; leave all else as it is.

    Raises
    ------
    SheetError
        If a table names no motion of the menu.
    """
    if not isinstance(given, list | tuple):
        return given
    menu = {kind.model_fields["kind"].default: kind for kind in every_motion()}
    motions = []
    for table in given:
        if not isinstance(table, dict):
            motions.append(table)
            continue
        kind = menu.get(table.get("kind"))
        if kind is None:
            raise SheetError(
                "motion, kind",
                found=table.get("kind"),
                expected=f"one of {', '.join(menu)}",
            )
        motions.append(kind.model_validate(table))
    return tuple(motions)
