"""Curves of what may come out: how they are drawn, and their exact quantiles."""

from __future__ import annotations

from math import exp, log, sqrt

import numpy as np
from numpy.typing import NDArray

from kit.errors import MeasureError
from kit.stock.risks import Spread

Values = NDArray[np.float64]


def drawn(spread: Spread, chance: np.random.Generator, draws: int) -> Values:
    """Draw factors of a spread, (draws,)."""
    if spread.shape == "lognormal":
        mean, deviation = lognormal_of(*_moments(spread))
        return chance.lognormal(mean, deviation, draws)
    low, likely, high = _points(spread)
    if spread.shape == "triangular":
        return chance.triangular(low, likely, high, draws)
    alpha, beta = pert_shape(low, likely, high)
    return low + (high - low) * chance.beta(alpha, beta, draws)


def quantile(spread: Spread, share: float) -> float:
    """Factor of a spread that `share` of its draws stay below.

    Parameters
    ----------
    spread : Spread
    share : float
        In (0, 1). [unitless]
    """
    if not 0.0 < share < 1.0:
        raise MeasureError("quantile", found=share, expected="a share between 0 and 1")
    if spread.shape == "lognormal":
        return lognormal_quantile(share, *_moments(spread))
    points = _points(spread)
    if spread.shape == "triangular":
        return triangular_quantile(share, *points)
    return pert_quantile(share, *points)


def triangular_quantile(share: float, low: float, likely: float, high: float) -> float:
    """Quantile of a triangle, in closed form.

    >>> round(triangular_quantile(0.5, 90.0, 100.0, 130.0), 4)
    105.5051
    """
    wide = high - low
    if share * wide <= likely - low:
        return low + sqrt(share * wide * (likely - low))
    return high - sqrt((1.0 - share) * wide * (high - likely))


def pert_shape(low: float, likely: float, high: float) -> tuple[float, float]:
    """The two exponents of the beta curve of a PERT estimate [Malcolm1959]_.

    >>> pert_shape(90.0, 100.0, 130.0)
    (2.0, 4.0)
    """
    wide = high - low
    return 1.0 + 4.0 * (likely - low) / wide, 1.0 + 4.0 * (high - likely) / wide


def pert_quantile(share: float, low: float, likely: float, high: float) -> float:
    """Quantile of a PERT curve, through the inverse of the incomplete beta function.

    >>> round(pert_quantile(0.8, 90.0, 100.0, 130.0), 4)
    109.6077
    """
    from scipy.special import betaincinv

    return low + (high - low) * float(betaincinv(*pert_shape(low, likely, high), share))


def lognormal_of(mean: float, cv: float) -> tuple[float, float]:
    """Mean and standard deviation of the logarithm, from those of the factor itself.

    >>> round(lognormal_of(100.0, 0.10)[1], 7)
    0.0997513
    """
    deviation = sqrt(log(1.0 + cv * cv))
    return log(mean) - 0.5 * deviation**2, deviation


def lognormal_quantile(share: float, mean: float, cv: float) -> float:
    """Quantile of a lognormal curve of this mean and coefficient of variation.

    >>> round(lognormal_quantile(0.8, 100.0, 0.10), 4)
    108.218
    """
    from statistics import NormalDist

    middle, deviation = lognormal_of(mean, cv)
    return exp(middle + deviation * NormalDist().inv_cdf(share))


def _points(spread: Spread) -> tuple[float, float, float]:
    low, likely, high = spread.low, spread.likely, spread.high
    if low is None or likely is None or high is None:
        raise AssertionError(spread)
    return low, likely, high


def _moments(spread: Spread) -> tuple[float, float]:
    if spread.mean is None or spread.cv is None:
        raise AssertionError(spread)
    return spread.mean, spread.cv
