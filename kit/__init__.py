"""Pourtable: measure, show, price and propose a poured metallic floor.

The flow, read top to bottom, is `kit.job`. Importing the package loads none of
its heavy parts; each name below arrives when it is first used.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

__version__ = "0.1.0"

_HOMES = {
    "Job": "kit.job",
    "Workup": "kit.job",
    "workup": "kit.job",
    "read_shelf": "kit.stock",
    "KitError": "kit.errors",
    "Concern": "kit.errors",
}

__all__ = ["Concern", "Job", "KitError", "Workup", "read_shelf", "workup"]

if TYPE_CHECKING:
    from kit.errors import Concern, KitError
    from kit.job import Job, Workup, workup
    from kit.stock import read_shelf


def __getattr__(name: str) -> Any:
    if name not in _HOMES:
        msg = f"module 'kit' has no attribute {name!r}"
        raise AttributeError(msg)
    return getattr(import_module(_HOMES[name]), name)


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
