"""How kernels are compiled: once for each state of the source, kept in the user's cache.

``error_model="numpy"`` lets a division be vectorised and ``fastmath`` a sum; with
it NaN can no longer be tested for, so doors check before they call.

numba keeps a compiled kernel while the file it stands in is unchanged, even when a
kernel that was inlined into it from another file has changed. Its cache is
therefore kept in a folder named after the whole room's source.

Processors with 512-bit vectors of the second generation lose no clock rate to them,
yet LLVM keeps to half their width unless told. It is told, for the whole process,
because numba knows one target a process; ``NUMBA_CPU_FEATURES`` overrules it.

Threads that wait for work sleep, unless ``OMP_WAIT_POLICY`` says otherwise: spinning
would take the processor from the browser that shows the picture, and cost milliseconds
wherever a loop is shared.

numba is loaded whole, here, as its first kernel would load it, but without what it
looks for only to offer it: a first picture would wait for that.
"""

from __future__ import annotations

import gc
import hashlib
import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from types import ModuleType
from typing import Any, TypeVar, cast

from platformdirs import user_cache_path

_OFFERED = {
    "scipy.linalg.cython_blas": "numba.np.arraymath",
    "coverage": "numba.misc.coverage_support",
}
"""What numba looks for and no kernel here asks for, by which of its modules: linear
algebra, and the lines that a test covers."""


@contextmanager
def _uncollected() -> Iterator[None]:
    """Look for no garbage: what is loaded stays, and going over it takes a tenth."""
    collects = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if collects:
            gc.enable()


@contextmanager
def _without(offered: dict[str, str]) -> Iterator[None]:
    """Hide modules from those that look for them, unless either is loaded already."""
    hidden = [name for name, by in offered.items() if not {name, by} & sys.modules.keys()]
    for name in hidden:
        sys.modules[name] = cast("ModuleType", None)
    try:
        yield
    finally:
        for name in hidden:
            del sys.modules[name]


os.environ.setdefault("OMP_WAIT_POLICY", "passive")

with _uncollected(), _without(_OFFERED):
    import llvmlite.binding as llvm
    import numba
    from numba.core.registry import cpu_target

    cpu_target.target_context.refresh()
    cpu_target.typing_context.refresh()

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
        _CONFIG.CACHE_DIR = str(kept_in(_room_of(function.__module__)))
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


@cache
def _room_of(module: str) -> Path:
    return Path(sys.modules[module].__file__ or ".").resolve().parent


_target()
