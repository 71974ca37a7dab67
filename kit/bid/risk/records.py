"""What may come of a floor: the spread of its cost, and what drives it. The owner's."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import sqrt

import numpy as np
from numpy.typing import NDArray

from kit.bid.risk.classes import EstimateClass


@dataclass(frozen=True)
class Driver:
    """One thing that may come out otherwise, and what that does to the cost.

    Parameters
    ----------
    key, name : str
    low, high : float
        Its factor at its own P10 and P90. [unitless]
    cost_low, cost_high : float
        Cost with it there and all else at its median, in money.
    correlation : float
        With the cost, over all draws. [unitless]
    """

    key: str
    name: str
    low: float
    high: float
    cost_low: float
    cost_high: float
    correlation: float

    @property
    def swing(self) -> float:
        """How far it moves the cost, in money."""
        return abs(self.cost_high - self.cost_low)


@dataclass(frozen=True, eq=False)
class Risk:
    """The spread of a floor's cost. Numbers with chance in them, no amounts to pay.

    Parameters
    ----------
    costs : (N,) float64
        Cost of each draw, overhead in, contingency out.
    days : (N,) float64
        Days on site of each draw.
    planned_days : int
    planned : float
        Cost as bid without contingency.
    contingency : float
        As bid.
    price : float
        Asked before tax.
    drivers : tuple of Driver
        The one that moves the cost most first.
    at_medians : float
        Cost with all of them at their medians.
    ripeness : EstimateClass
    currency : str
    seed : int
    notes : tuple of str
        What is held still, and how the rest is drawn.
    """

    costs: NDArray[np.float64]
    days: NDArray[np.float64]
    planned_days: int
    planned: float
    contingency: float
    price: float
    drivers: tuple[Driver, ...]
    at_medians: float
    ripeness: EstimateClass
    currency: str
    seed: int
    notes: tuple[str, ...]

    @property
    def draws(self) -> int:
        """How many floors were drawn."""
        return int(self.costs.size)

    @cached_property
    def quantiles(self) -> dict[int, float]:
        """Cost that so many percent of the draws stay below."""
        percents = (10, 50, 80, 90)
        found = np.quantile(self.costs, [percent / 100 for percent in percents])
        return dict(zip(percents, map(float, found), strict=True))

    @cached_property
    def mean(self) -> float:
        """Mean cost."""
        return float(self.costs.mean())

    @cached_property
    def chance_of_loss(self) -> float:
        """Share of the draws that cost more than is asked before tax."""
        return float(np.mean(self.costs > self.price))

    @property
    def sampling_error(self) -> float:
        """One sigma of `chance_of_loss` from the number of draws alone."""
        chance = self.chance_of_loss
        return sqrt(max(chance * (1.0 - chance), 1.0 / self.draws) / self.draws)

    @cached_property
    def chance_of_overrun(self) -> float:
        """Share of the draws that cost more than was bid, contingency in."""
        return float(np.mean(self.costs > self.planned + self.contingency))

    @cached_property
    def chance_of_more_days(self) -> float:
        """Share of the draws that take more days than planned."""
        return float(np.mean(self.days > self.planned_days))

    @property
    def contingency_for_p80(self) -> float:
        """What would have to be set aside so that four of five floors stay within."""
        return max(0.0, self.quantiles[80] - self.planned)
