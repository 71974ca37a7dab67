"""Standard architectural scales, and the largest at which a floor fits its frame."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from kit.errors import MeasureError
from kit.units import M_PER_FT, M_PER_IN, feet_inches

PT_PER_IN = 72.0


@dataclass(frozen=True)
class Scale:
    """A scale as it is written on a plan, and what it makes of a metre.

    Parameters
    ----------
    words : str
        ``1/8″ = 1′`` or ``1:100``.
    ratio : float
        Lengths on the floor over lengths on paper, > 0.
    bar : int
        Length of the scale bar, in units of ``unit_m``.
    unit_m : float
        What lengths on the plan are counted in, > 0. [m]
    """

    words: str
    ratio: float
    bar: int
    unit_m: float

    @property
    def pt_per_m(self) -> float:
        """Points on paper for a metre of floor."""
        return PT_PER_IN / M_PER_IN / self.ratio

    @property
    def bar_pt(self) -> float:
        """Length of the scale bar. [pt]"""
        return self.bar * self.unit_m * self.pt_per_m

    @property
    def written(self) -> Callable[[float], str]:
        """Words for a length in metres, as plans of this scale bear them."""
        return feet_inches if self.unit_m == M_PER_FT else _metres


def _metres(length_m: float) -> str:
    return f"{length_m:.2f}"


def _feet(words: str, ratio: float, bar_ft: int) -> Scale:
    return Scale(words, ratio, bar_ft, M_PER_FT)


SCALES = (
    _feet("1/4″ = 1′", 48, 4),
    _feet("3/16″ = 1′", 64, 8),
    _feet("1/8″ = 1′", 96, 8),
    _feet("3/32″ = 1′", 128, 12),
    _feet("1/16″ = 1′", 192, 20),
    _feet("1/32″ = 1′", 384, 40),
    _feet("1″ = 50′", 600, 60),
    _feet("1″ = 100′", 1200, 120),
)
"""From the largest; the fractional ones are those of an architect's scale rule."""

METRIC_SCALES = tuple(
    Scale(f"1:{ratio}", ratio, bar, 1.0)
    for ratio, bar in (
        *((50, 2), (75, 2), (100, 4), (125, 4), (150, 4), (200, 8)),
        *((250, 8), (300, 12), (500, 20), (1000, 40)),
    )
)
"""From the largest; those of a metric scale rule and their halves between."""


def largest_that_fits(
    wide_m: float,
    high_m: float,
    *,
    frame_pt: tuple[float, float],
    around_pt: float,
    scales: Sequence[Scale] = SCALES,
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
    scales : sequence of Scale
        To choose from, the largest first.

    Raises
    ------
    MeasureError
        If it fits at no scale.
    """
    for scale in scales:
        across = wide_m * scale.pt_per_m + 2 * around_pt
        down = high_m * scale.pt_per_m + 2 * around_pt
        if across <= frame_pt[0] and down <= frame_pt[1]:
            return scale
    raise MeasureError(
        "plan", found=f"{wide_m:.0f} x {high_m:.0f} m", expected="a floor that fits a page"
    )
