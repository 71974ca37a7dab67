"""Loading what stays for good, and no more than is asked for."""

from __future__ import annotations

import gc
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from importlib import import_module
from types import ModuleType
from typing import Any


@contextmanager
def for_good() -> Iterator[None]:
    """Look for no garbage while this lasts; whatever is there then counts as old.

    Otherwise all that is loaded would be gone over several times before a first picture,
    and take a tenth of its time. Garbage that a caller has is found later, as ever.
    """
    collects = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if collects:
            if not gc.get_freeze_count():
                gc.freeze()
                gc.unfreeze()  # into the oldest generation
            gc.enable()


@contextmanager
def put_off(name: str, *functions: str) -> Iterator[None]:
    """Give those that import a module meanwhile one that loads it once something is asked.

    numba and pydantic import ``importlib.metadata``, and with it all of ``email``, to look
    for extensions of theirs that the kit does not let them look for.

    Parameters
    ----------
    name : str
        A module.
    *functions : str
        Functions of it that are taken by name; they load it when they are called.
    """
    if name in sys.modules:
        yield
        return
    later = sys.modules[name] = _Later(name, functions)
    try:
        yield
    finally:
        if sys.modules.get(name) is later:
            del sys.modules[name]


class _Later(ModuleType):
    def __init__(self, name: str, functions: tuple[str, ...]) -> None:
        super().__init__(name)
        self._functions = functions

    def __getattr__(self, asked: str) -> Any:
        if asked.startswith("__"):
            msg = f"module {self.__name__!r} is not loaded and has no {asked!r} yet"
            raise AttributeError(msg)
        if asked in self._functions:
            return partial(self._called, asked)
        return getattr(self._loaded(), asked)

    def _called(self, function: str, *given: Any, **named: Any) -> Any:
        return getattr(self._loaded(), function)(*given, **named)

    def _loaded(self) -> ModuleType:
        if sys.modules.get(self.__name__) is self:
            del sys.modules[self.__name__]
        return import_module(self.__name__)
