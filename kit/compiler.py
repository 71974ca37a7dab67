"""numba, with no more of it than a kernel that is kept already asks for.

numba readies itself to compile before it loads a single kernel: it takes in all that it
can translate, and parses what it wrote down of each for the kernels that may call it.
Most of a first picture's wait would be that. Here it is put off until something is
compiled, which numba readies itself for again.

It is loaded here and nowhere else, so that what it only looks for to offer it is left out
whoever comes first.

Threads that wait for work sleep, unless ``OMP_WAIT_POLICY`` says otherwise: spinning
would take the processor from the browser that shows the picture, and cost milliseconds
wherever a loop is shared.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from types import ModuleType
from typing import Any, cast

from kit.loading import for_good, put_off

_OFFERED = {
    "scipy": "numba",
    "yaml": "numba.core.config",
    "coverage": "numba.misc.coverage_support",
}
"""What numba looks for as it starts and no kernel here asks for, by which of its modules:
its version, a file of settings, and the lines that a test covers."""


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

if Path(".numba_config.yaml").exists():
    del _OFFERED["yaml"]
with (
    for_good(),
    put_off("importlib.metadata", "entry_points"),
    _without(_OFFERED),
):
    import llvmlite.binding as llvm
    import numba
    import numpy as np
    from numba.core.caching import (
        CompileResultCacheImpl,
        FunctionCache,
        UserProvidedCacheLocator,
    )
    from numba.core.codegen import JITCodeLibrary
    from numba.core.registry import CPUDispatcher
    from numba.core.runtime import _nrt_python  # type: ignore[attr-defined]
    from numba.core.typing.typeof import typeof_impl
    from numba.np.numpy_support import from_dtype, map_layout

__all__ = ["CONFIG", "CPUDispatcher", "Kept", "llvm", "prange"]

CONFIG: Any = numba.config
prange = numba.prange
_CALLED_FROM_PYTHON = "_ZN7cpython"
"""How the name begins under which numba lets Python call a kernel."""


_type_of_any = typeof_impl.dispatch(np.ndarray)


@typeof_impl.register(np.ndarray)
def _type_of(array: Any, context: Any) -> Any:
    """As numba has it, which first loads masked arrays to ask whether this is one."""
    if type(array) is not np.ndarray or array.dtype.kind not in "biuf":
        return _type_of_any(array, context)
    dtype, layout = from_dtype(array.dtype), map_layout(array)
    return numba.types.Array(dtype, array.ndim, layout, readonly=not array.flags.writeable)


class _Library(JITCodeLibrary):
    """Machine code that was kept; what it was made from waits for one that links it."""

    _source: bytes

    @classmethod
    def _unserialize(cls, codegen: Any, state: tuple[str, str, tuple[bytes, bytes]]) -> Any:
        name, _, (machine, source) = state
        library = cls(codegen, name)
        library._source = source
        library.enable_object_caching()
        library._set_compiled_object(machine)
        library._finalize_final_module()
        return library

    def get_pointer_to_function(self, name: str) -> int:
        if name.startswith(_CALLED_FROM_PYTHON):
            return int(self._codegen._engine.get_function_address(name))
        self._get_module_for_linking()
        return int(super().get_pointer_to_function(name))

    def _get_module_for_linking(self) -> Any:
        if self._shared_module is None:
            self._shared_module = llvm.parse_bitcode(self._source)
            self._codegen._engine._load_defined_symbols(self._shared_module)
        return self._shared_module


class _BySource(UserProvidedCacheLocator):
    """The folder that numba is given, whichever copy of its source a kernel stands in.

    `kernels.kept_in` names it after that source, so that neither where a copy lies nor
    when it was written need be told: what one has compiled, the next finds.
    """

    def __init__(self, function: Any, file: str) -> None:
        super().__init__(function, file)
        self._cache_path = CONFIG.CACHE_DIR

    def get_source_stamp(self) -> str:
        return ""


class _Loading(CompileResultCacheImpl):
    _locator_classes = [_BySource]  # noqa: RUF012 (numba's own name and kind)

    def reduce(self, result: Any) -> Any:
        *most, environments = super().reduce(result)
        return (*most, tuple(one for one in environments if one.consts))

    def rebuild(self, target_context: Any, payload: Any) -> Any:
        codegen = target_context.codegen()
        as_it_was, codegen._library_class = codegen._library_class, _Library
        try:
            return super().rebuild(target_context, payload)
        finally:
            codegen._library_class = as_it_was


class Kept(FunctionCache):
    """Kernels of one function that were compiled and kept."""

    _impl_class = _Loading

    def load_overload(self, sig: Any, target_context: Any) -> Any:
        """Load what was compiled for a signature, or None; numba is made no readier."""
        _link_memory()
        with self._guard_against_spurious_io_errors():
            return self._load_overload(sig, target_context)


@cache
def _link_memory() -> None:
    """Tell machine code where numba's memory is taken and given back."""
    for name, address in _nrt_python.c_helpers.items():
        llvm.add_symbol(name if name.startswith("_") else f"NRT_{name}", address)
