"""How far a figure moves when it is seen again: conjugate updates, in closed form."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import fsum, sqrt


@dataclass(frozen=True)
class Belief:
    """What a figure is held to be, and how far off it may be (standard deviation)."""

    mean: float
    sd: float


def shrunk(prior: Belief, seen: Iterable[float], *, job_sd: float) -> Belief:
    """Update a normal belief by normal observations of known spread.

    Parameters
    ----------
    prior : Belief
        In any unit; ``sd`` more than 0.
    seen : iterable of float, shape (n,)
        What was observed, in the same unit; none leaves the prior as it is.
    job_sd : float
        Standard deviation of one observation, more than 0.

    Returns
    -------
    Belief
        Means weighted by their precision, 1/sd²; the precisions add up.

    References
    ----------
    [Gelman2013] section 2.5, normal data with known variance.
    """
    values = list(seen)
    if not values:
        return prior
    trust, weight = 1.0 / prior.sd**2, len(values) / job_sd**2
    mean = (trust * prior.mean + weight * (fsum(values) / len(values))) / (trust + weight)
    return Belief(mean, 1.0 / sqrt(trust + weight))


def next_job(belief: Belief, *, job_sd: float) -> Belief:
    """What the next single job may be: the belief's spread and a job's own together."""
    return Belief(belief.mean, sqrt(belief.sd**2 + job_sd**2))


def counted_rate(shape: float, rate: float, *, count: int, exposure: float) -> Belief:
    """Update a gamma belief about how often something happens by a Poisson count.

    Parameters
    ----------
    shape, rate : float
        Of the prior: shape/rate a unit of exposure; both more than 0.
    count : int
        How often it happened, such as defects, 0 or more.
    exposure : float
        In how much, such as m² of floor, 0 or more.

    References
    ----------
    [Gelman2013] section 2.6, Poisson data with a gamma prior.
    """
    a, b = shape + count, rate + exposure
    return Belief(a / b, sqrt(a) / b)


def counted_share(hits: float, misses: float, *, count: int, of: int) -> Belief:
    """Update a beta belief about a share, such as jobs that called back, by a count.

    Parameters
    ----------
    hits, misses : float
        Of the prior, as if seen before; both more than 0.
    count, of : int
        So many of so many, 0 to `of`.

    References
    ----------
    [Gelman2013] section 2.4, binomial data with a beta prior.
    """
    a, b = hits + count, misses + of - count
    total = a + b
    return Belief(a / total, sqrt(a * b / (total + 1.0)) / total)
