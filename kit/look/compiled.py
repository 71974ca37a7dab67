"""How the kernels of this room are compiled: once, kept on disk, exact about zero.

``error_model="numpy"`` lets a division be vectorised; ``fastmath`` lets sums
be. With it NaN can no longer be tested for, so doors check before they call.
"""

from __future__ import annotations

from typing import Any

from numba import njit
from numpy.typing import NDArray

Grid = NDArray[Any]
"""Array of a kernel; shape and type stand in its docstring."""
Rgb = tuple[float, float, float]
"""Linear sRGB."""
Hit = tuple[float, int, float, float]
"""Distance, face, and the place on it."""

formula = njit(cache=True, fastmath=True, error_model="numpy")
"""For one ray, facet or band."""

loop = njit(cache=True, fastmath=True, error_model="numpy", parallel=True)
"""For many pixels; each writes its own place only, so threads change nothing."""
