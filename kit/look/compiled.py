"""How the kernels of this room are compiled, and what they pass around."""

from __future__ import annotations

from typing import Any

from numpy.typing import NDArray

from kit.kernels import kernel, prange

__all__ = ["Grid", "Hit", "Rgb", "formula", "inlined", "loop", "prange"]

Grid = NDArray[Any]
"""Array of a kernel; shape and type stand in its docstring."""
Rgb = tuple[float, float, float]
"""Linear sRGB."""
Hit = tuple[float, int, float, float]
"""Distance, face, and the place on it."""

formula = kernel()
"""For one ray, facet or band."""

inlined = kernel(forceinline=True)
"""For one place of a strip, called often in a row: a call left in would undo wide loops."""

loop = kernel(parallel=True)
"""For many pixels; each writes its own place only, so threads change nothing."""
