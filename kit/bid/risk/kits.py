"""What whole kits cost as the need for resin grows: a staircase, walked once."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from kit.coats.order import NEGLIGIBLE_L, cheapest_kits
from kit.stock.records import Pack

MOST_STAIRS = 200
"""Stairs that are told apart; above them some are taken at once, at the price of the
upper one, so that a hall of any size is walked in twice as many steps."""


def kit_costs(packs: tuple[Pack, ...], needs_l: NDArray[np.float64]) -> NDArray[np.float64]:
    """Cost of the cheapest whole kits for each need, (N,) l to (N,) money.

    Need by need what `kit.coats.order.cheapest_kits` finds, within `MOST_STAIRS`.
    """
    tops_l, costs = _stairs(packs, float(needs_l.min()), float(needs_l.max()))
    return costs[np.searchsorted(tops_l, needs_l - NEGLIGIBLE_L)]


def _stairs(
    packs: tuple[Pack, ...], least_l: float, most_l: float
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Where each stair ends and what it costs, both (S,)."""
    tops_l: list[float] = []
    costs: list[float] = []
    need_l = least_l
    while True:
        # an order for a need costs the same for any need up to what it holds
        order = cheapest_kits(packs, need_l)
        tops_l.append(order.bought_l)
        costs.append(float(order.cost))
        if order.bought_l >= most_l - NEGLIGIBLE_L:
            return np.array(tops_l), np.array(costs)
        stride_l = (most_l - least_l) / MOST_STAIRS if len(costs) >= MOST_STAIRS else 0.0
        need_l = max(order.bought_l + 2.0 * NEGLIGIBLE_L, need_l + stride_l)
        need_l = min(need_l, most_l)
