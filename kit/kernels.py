"""How kernels are compiled: once for each state of the source, kept in the user's cache.

``error_model="numpy"`` lets a division be vectorised and ``fastmath`` a sum; with
it NaN can no longer be tested for, so doors check before they call.

numba keeps a compiled kernel while the file it stands in is unchanged, even when a
kernel that was inlined into it from another file has changed. Its cache is
therefore kept in a folder named after the whole room's source.
"""

from __future__ import annotations

import hashlib
import os
import sys
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any, TypeVar, cast

import numba
from platformdirs import user_cache_path

_CONFIG: Any = numba.config
Kernel = TypeVar("Kernel", bound=Callable[..., Any])


def kernel(**options: Any) -> Callable[[Kernel], Kernel]:
    """Compile a function with numba on its first call and keep the result.

    Parameters
    ----------
    **options
        Passed to `numba.njit`: ``parallel``, ``forceinline``, ``inline``.
    """

    def compiled(function: Kernel) -> Kernel:
        before = _CONFIG.CACHE_DIR
        _CONFIG.CACHE_DIR = str(kept_in(_room_of(function)))
        try:
            jit = numba.njit(cache=True, fastmath=True, error_model="numpy", **options)
            return cast("Kernel", jit(function))
        finally:
            _CONFIG.CACHE_DIR = before

    return compiled


@cache
def kept_in(room: Path) -> Path:
    """Folder of the kernels compiled from the present source of `room`."""
    source = hashlib.sha256()
    for module in sorted(room.rglob("*.py")):
        source.update(module.read_bytes())
    return kernels_place() / f"{room.name}-{source.hexdigest()[:16]}"


def kernels_place() -> Path:
    """Where all compiled kernels are kept; ``NUMBA_CACHE_DIR`` moves it."""
    chosen = os.environ.get("NUMBA_CACHE_DIR")
    return Path(chosen) if chosen else user_cache_path("pourtable") / "kernels"


def _room_of(function: Callable[..., Any]) -> Path:
    return Path(sys.modules[function.__module__].__file__ or ".").resolve().parent
