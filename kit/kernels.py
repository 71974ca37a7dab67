"""How kernels are compiled: once for each state of the source, kept in the user's cache.

``error_model="numpy"`` lets a division be vectorised and ``fastmath`` a sum; with
it NaN can no longer be tested for, so doors check before they call.

numba keeps a compiled kernel while the file it stands in is unchanged, even when a
kernel that was inlined into it, or a figure, from another file has changed. Its cache is
therefore kept in a folder named after the source of the whole room and of every module
that the room imports, and they in turn; copies of one source share it. What is imported for
types alone, or within a function, no kernel draws on.

Processors with 512-bit vectors of the second generation lose no clock rate to them,
yet LLVM keeps to half their width unless told. It is told, for the whole process,
because numba knows one target a process; ``NUMBA_CPU_FEATURES`` overrules it.
"""

from __future__ import annotations

import hashlib
import os
import re
import sys
from collections.abc import Callable, Iterator
from functools import cache, cached_property
from pathlib import Path
from typing import Any, TypeVar, cast

from platformdirs import user_cache_path

from kit.compiler import CONFIG, CPUDispatcher, Kept, llvm, prange

__all__ = ["drawn_on", "features", "kept_in", "kernel", "kernels_place", "prange"]

_FULL_WIDTH = "+avx512vbmi2"
"""Told by processors since Ice Lake; Skylake's 512-bit vectors slow its clock."""
_HALF_WIDTH = "-prefer-256-bit"
_ALWAYS = {
    "nopython": True,
    "boundscheck": None,
    "fastmath": True,
    "error_model": "numpy",
}
_PACKAGE = Path(__file__).resolve().parent
_ITSELF = "__init__.py"
_IMPORTS = re.compile(
    rb"\n(?:from|import) (kit(?:\.\w+)*)((?: import (?:\([^)]*|[\w, ]*))?)"
)
"""Modules of the kit imported at module level, and what of them. Parsed, or looked for at
each line's beginning by ``^``, it would take several times as long."""
Kernel = TypeVar("Kernel", bound=Callable[..., Any])


def kernel(**options: Any) -> Callable[[Kernel], Kernel]:
    """Compile a function with numba on its first call and keep the result.

    Parameters
    ----------
    **options
        As for `numba.njit`: ``parallel``, ``forceinline``, ``inline``.
    """

    def compiled(function: Kernel) -> Kernel:
        return cast("Kernel", _Kernel(function, targetoptions={**_ALWAYS, **options}))

    return compiled


class _Kernel(CPUDispatcher):
    """A function that numba compiles; where it is kept is looked up when it is called."""

    def __init__(self, *given: Any, **named: Any) -> None:
        super().__init__(*given, **named)
        del self._cache

    def _compilation_chain_init_hook(self) -> None:
        """Look for no extensions of numba: what a kernel takes is known, and why wait."""

    @cached_property
    def _cache(self) -> Kept:
        before = CONFIG.CACHE_DIR
        CONFIG.CACHE_DIR = str(kept_in(_room_of(self.py_func.__module__)))
        try:
            return Kept(self.py_func)
        finally:
            CONFIG.CACHE_DIR = before


@cache
def kept_in(room: Path) -> Path:
    """Folder of the kernels compiled from the present source of `room`.

    Parameters
    ----------
    room : Path
        A folder of modules, or one module.
    """
    source = hashlib.sha256()
    for module in sorted(drawn_on(room)):
        source.update(_read(module)[0])
    return kernels_place() / f"{room.stem}-{source.hexdigest()[:16]}"


def drawn_on(room: Path) -> set[str]:
    """Files of which `room` is made, and of all modules of the kit that they import."""
    found: set[str] = set()
    waiting = {str(file) for file in room.rglob("*.py")} if room.is_dir() else {str(room)}
    while waiting:
        file = waiting.pop()
        found.add(file)
        for imported in _read(file)[1]:
            waiting.update(_files_of(*imported))
        waiting -= found
    return found


@cache
def _read(file: str) -> tuple[bytes, frozenset[tuple[bytes, bytes]]]:
    """Hash of a module's source; what it imports of the kit, and which names of it."""
    source = Path(file).read_bytes()
    return hashlib.sha256(source).digest(), frozenset(_IMPORTS.findall(b"\n" + source))


def _files_of(name: bytes, within: bytes) -> Iterator[str]:
    """File of a module, or of a package and of what is named of it that is a module."""
    if file := _file_of(name):
        yield file
        if file.endswith(_ITSELF):
            for part in re.findall(rb"\w+", within):
                yield from _files_of(name + b"." + part, b"")


@cache
def _file_of(name: bytes) -> str | None:
    place = _PACKAGE.joinpath(*name.decode().split(".")[1:])
    both = place.with_suffix(".py"), place / _ITSELF
    return next((str(file) for file in both if file.is_file()), None)


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
    if CONFIG.CPU_FEATURES is None and CONFIG.CPU_NAME is None:
        CONFIG.CPU_FEATURES = features(llvm.get_host_cpu_features().flatten())


@cache
def _room_of(module: str) -> Path:
    file = Path(sys.modules[module].__file__ or ".").resolve()
    return file if file.parent == _PACKAGE else file.parent


_target()
