"""How kernels are compiled: once for each state of the source, kept in the user's cache.

``error_model="numpy"`` lets a division be vectorised and ``fastmath`` a sum; with
it NaN can no longer be tested for, so doors check before they call.

numba keeps a compiled kernel while the file it stands in is unchanged, even when a
kernel that was inlined into it from another file has changed. Its cache is
therefore kept in a folder named after the whole room's source.

Processors with 512-bit vectors of the second generation lose no clock rate to them,
yet LLVM keeps to half their width unless told. It is told, for the whole process,
because numba knows one target a process; ``NUMBA_CPU_FEATURES`` overrules it.
"""

from __future__ import annotations

import hashlib
import os
import sys
from collections.abc import Callable
from functools import cache
from importlib import import_module
from pathlib import Path
from types import ModuleType
from typing import Any, TypeVar, cast

import llvmlite.binding as llvm
import numba
from platformdirs import user_cache_path

_CONFIG: Any = numba.config
_FULL_WIDTH = "+avx512vbmi2"
"""Told by processors since Ice Lake; Skylake's 512-bit vectors slow its clock."""
_HALF_WIDTH = "-prefer-256-bit"
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


def features(host: str) -> str:
    """Features to compile for, from those of the host as LLVM lists them.

    Parameters
    ----------
    host : str
        Names with ``+`` or ``-`` before each, commas between.

    Returns
    -------
    str
        The same, with full-width vectors allowed where they cost no clock rate.
    """
    names = host.split(",")
    if _FULL_WIDTH in names and _HALF_WIDTH not in names:
        names.append(_HALF_WIDTH)
    return ",".join(names)


def kernels_place() -> Path:
    """Where all compiled kernels are kept; ``NUMBA_CACHE_DIR`` moves it."""
    chosen = os.environ.get("NUMBA_CACHE_DIR")
    return Path(chosen) if chosen else user_cache_path("pourtable") / "kernels"


def _target() -> None:
    """Settle what kernels are compiled for, unless the environment does."""
    if _CONFIG.CPU_FEATURES is None and _CONFIG.CPU_NAME is None:
        _CONFIG.CPU_FEATURES = features(llvm.get_host_cpu_features().flatten())


def _load_without_scipy() -> None:
    """Load numba's array maths without scipy's linear algebra, which doubles its start.

    numba looks for it to offer ``np.cov`` in kernels, and no kernel here asks for that;
    what else needs it looks again when it is compiled.
    """
    if "scipy.linalg" in sys.modules or "numba.np.arraymath" in sys.modules:
        return
    hidden = "scipy.linalg.cython_blas"
    sys.modules[hidden] = cast("ModuleType", None)
    try:
        import_module("numba.np.arraymath")
    finally:
        del sys.modules[hidden]


def _room_of(function: Callable[..., Any]) -> Path:
    return Path(sys.modules[function.__module__].__file__ or ".").resolve().parent


_target()
_load_without_scipy()
