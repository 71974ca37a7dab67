"""What went wrong, told in words on the screen and written down in a file."""

from __future__ import annotations

import logging
from collections.abc import Callable
from functools import wraps
from logging.handlers import RotatingFileHandler
from pathlib import Path
from typing import Any

from platformdirs import user_log_path

from kit.errors import KitError


class Faults:
    """Tell every exception in words; write what nobody foresaw into the log.

    Parameters
    ----------
    tell : callable
        Takes one or two sentences for the banner.
    folder : Path, optional
        Where ``table.log`` is kept; the user's log folder by default.
    """

    def __init__(self, tell: Callable[[str], None], folder: Path | None = None) -> None:
        self._tell = tell
        self._folder = folder or user_log_path("pourtable", appauthor=False)

    @property
    def path(self) -> Path:
        """The log file."""
        return self._folder / "table.log"

    def told(self, error: Exception) -> None:
        """Say what happened; unforeseen faults are logged with their trace."""
        if isinstance(error, KitError):
            self._tell(error.line)
            return
        kept = self._kept(error)
        self._tell(f"Something went wrong here, and the last change may not show. {kept}")

    def guarded(self, callback: Callable[..., Any]) -> Callable[..., None]:
        """Wrap a callback so that what it raises is told instead of lost."""

        @wraps(callback)
        def guard(*args: Any, **kwargs: Any) -> None:
            try:
                callback(*args, **kwargs)
            except Exception as error:
                self.told(error)

        return guard

    def _kept(self, error: Exception) -> str:
        try:
            self._folder.mkdir(parents=True, exist_ok=True)
            handler = RotatingFileHandler(
                self.path, maxBytes=1_000_000, backupCount=3, encoding="utf-8"
            )
        except OSError as refused:
            return f"It could not be written down in {self.path}: {refused.strerror}."
        log = logging.Logger("kit.bench")
        handler.setFormatter(logging.Formatter("%(asctime)s %(levelname)s %(message)s"))
        log.addHandler(handler)
        try:
            log.error("%s", error, exc_info=error)
        finally:
            handler.close()
        return f"It is written down in {self.path}."
