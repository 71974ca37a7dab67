"""How the floor was last looked at, kept beside the server: a reload asks no one again."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from traitlets import TraitError

from kit.bench.stage import Stage

KEPT = ("view", "mood", "edge")
"""What a reload gives back; all else follows from the job or from the step in hand."""


def looked_at(stage: Stage, place: Path) -> None:
    """Show the stage as it was last seen, and keep how it is seen from here on.

    A place that cannot be read or written is no reason to stop a visit.
    """
    for name, value in _read(place).items():
        try:
            setattr(stage, name, value)
        except TraitError:
            continue

    def keep(_: object) -> None:
        try:
            place.write_text(json.dumps({name: getattr(stage, name) for name in KEPT}))
        except OSError:
            return

    stage.observe(keep, names=KEPT)


def _read(place: Path) -> dict[str, Any]:
    try:
        found = json.loads(place.read_text("utf-8"))
    except (OSError, ValueError):
        return {}
    if not isinstance(found, dict):
        return {}
    return {name: found[name] for name in KEPT if name in found}
