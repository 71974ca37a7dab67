"""The screen: the table an installer turns towards a client.

::

    page ── wishes ──→ visit ── choices ──→ state ──→ price, at once
     ↑                   │
     └── figures ────────┴── gallery ── painter ──→ picture, after

`state` and `choices` know no widgets; `figures` is all that the page is told.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

__all__ = ["Stage", "TableState", "Visit", "open_table", "serve"]

_HOMES = {
    "Stage": "kit.bench.stage",
    "TableState": "kit.bench.state",
    "Visit": "kit.bench.visit",
    "open_table": "kit.bench.opening",
    "serve": "kit.bench.serving",
}

if TYPE_CHECKING:
    from kit.bench.opening import open_table
    from kit.bench.serving import serve
    from kit.bench.stage import Stage
    from kit.bench.state import TableState
    from kit.bench.visit import Visit


def __getattr__(name: str) -> Any:
    if name not in _HOMES:
        msg = f"module 'kit.bench' has no attribute {name!r}"
        raise AttributeError(msg)
    return getattr(import_module(_HOMES[name]), name)
