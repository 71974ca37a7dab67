"""Standard architectural scales, and the largest at which a floor fits its frame."""

from __future__ import annotations

from dataclasses import dataclass

from kit.errors import MeasureError
from kit.units import M_PER_FT

PT_PER_IN = 72.0


@dataclass(frozen=True)
class Scale:
    """A scale as it is written on a plan, and what it makes of a metre."""

    words: str
    in_per_ft: float
    bar_ft: int

    @property
    def pt_per_m(self) -> float:
        """Points on paper for a metre of floor."""
        return self.in_per_ft * PT_PER_IN / M_PER_FT

    @property
    def bar_pt(self) -> float:
        """Length of the scale bar. [pt]"""
        return self.bar_ft * self.in_per_ft * PT_PER_IN


SCALES = (
    Scale("1/4″ = 1′", 1 / 4, 4),
    Scale("3/16″ = 1′", 3 / 16, 8),
    Scale("1/8″ = 1′", 1 / 8, 8),
    Scale("3/32″ = 1′", 3 / 32, 12),
    Scale("1/16″ = 1′", 1 / 16, 20),
    Scale("1/32″ = 1′", 1 / 32, 40),
    Scale("1″ = 50′", 1 / 50, 60),
    Scale("1″ = 100′", 1 / 100, 120),
)
"""From the largest; the fractional ones are those of an architect's scale rule."""


def largest_that_fits(
    wide_m: float, high_m: float, *, frame_pt: tuple[float, float], around_pt: float
) -> Scale:
    """Choose the largest scale at which a floor, with room around it, fits a frame.

    Parameters
    ----------
    wide_m, high_m : float
        Extent of the floor, > 0. [m]
    frame_pt : (float, float)
        Width and height to fit in. [pt]
    around_pt : float
        Room kept on each side for dimensions. [pt]

    Raises
    ------
    MeasureError
        If it fits at no scale.
    """
    for scale in SCALES:
        across = wide_m * scale.pt_per_m + 2 * around_pt
        down = high_m * scale.pt_per_m + 2 * around_pt
        if across <= frame_pt[0] and down <= frame_pt[1]:
            return scale
    raise MeasureError(
        "plan", found=f"{wide_m:.0f} x {high_m:.0f} m", expected="a floor that fits a page"
    )
