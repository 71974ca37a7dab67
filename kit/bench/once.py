"""A job begun at the table is begun once, though its answer may get lost."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from typing import TypeVar

Begun = TypeVar("Begun")


class Once:
    """Hands each beginning a mark, and the same one again until it was answered."""

    def __init__(self) -> None:
        self._marks: dict[str, str] = {}

    def __call__(self, what: str, begin: Callable[[str], Begun]) -> Begun:
        """Begin `what`, which names it among the others; see `Book.keep` for marks."""
        mark = self._marks.setdefault(what, secrets.token_hex(16))
        begun = begin(mark)
        del self._marks[what]
        return begun
