"""Where the demo sheet and the notebooks lie: in the wheel, or beside the source."""

from __future__ import annotations

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


def shipped(name: str) -> Path:
    """Folder `name` (``demo_assets``, ``notebooks``) wherever the kit was installed."""
    inside = _PACKAGE / name
    return inside if inside.is_dir() else _PACKAGE.parent / name
