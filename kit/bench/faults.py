"""What went wrong, told in words on the screen and written down in a file."""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Callable
from functools import wraps
from logging.handlers import RotatingFileHandler
from pathlib import Path
from traceback import walk_tb
from typing import Any

from platformdirs import user_log_path

from kit import __version__
from kit.bench.complaining import sentence
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

    def __init__(self, tell: Callable[..., None], folder: Path | None = None) -> None:
        self._tell = tell
        self._folder = folder or user_log_path("pourtable", appauthor=False)

    @property
    def path(self) -> Path:
        """The log file."""
        return self._folder / "table.log"

    def told(self, error: Exception, **how: str) -> None:
        """Say what happened; unforeseen faults are logged with their trace."""
        if isinstance(error, KitError):
            self._tell(sentence(error), **how)
            return
        kept = self._kept(error)
        says = f"Something went wrong here, and the last change may not show. {kept}"
        self._tell(says, **how)

    def guarded(self, callback: Callable[..., Any]) -> Callable[..., None]:
        """Wrap a callback so that what it raises is told instead of lost."""

        @wraps(callback)
        def guard(*args: Any, **kwargs: Any) -> None:
            try:
                callback(*args, **kwargs)
            except Exception as error:
                self.told(error)

        return guard

    def watch(self) -> None:
        """Tell what our timers and tasks raise, which nobody would hear of otherwise."""
        try:
            loop = asyncio.get_running_loop()
        except RuntimeError:
            return
        before = loop.get_exception_handler()

        def heard(loop: asyncio.AbstractEventLoop, context: dict[str, Any]) -> None:
            error = context.get("exception")
            if isinstance(error, Exception) and _is_ours(error):
                self.told(error)
            elif before is not None:
                before(loop, context)
            else:
                loop.default_exception_handler(context)

        loop.set_exception_handler(heard)

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
            log.error("pourtable %s: %s", __version__, error, exc_info=error)
        finally:
            handler.close()
        return f"It is written down in {self.path}."


def _is_ours(error: Exception) -> bool:
    """Whether it came by way of the kit; a notebook has tasks of its own."""
    places = (
        frame.f_globals.get("__name__", "") for frame, _ in walk_tb(error.__traceback__)
    )
    return any(str(place).partition(".")[0] == "kit" for place in places)
