"""The cheapest whole kits that hold a volume."""

from __future__ import annotations

from decimal import Decimal
from functools import lru_cache

from kit.coats.system import KitOrder
from kit.errors import MeasureError
from kit.stock.records import Pack

NEGLIGIBLE_L = 1e-9
"""Float noise that may not cost a kit."""
SOLVER_L = 1e-6
"""How far HiGHS lets a row fall short; kits may not fall short at all."""


@lru_cache(maxsize=4096)
def cheapest_kits(packs: tuple[Pack, ...], needed_l: float) -> KitOrder:
    """Buy at least `needed_l` in whole kits for the least money.

    Parameters
    ----------
    packs : tuple of Pack
        Sizes on sale, any number of each.
    needed_l : float
        Volume to have on site, > 0. [l]

    Returns
    -------
    KitOrder
        The cheapest order; of equally cheap ones that with the least to spare. It
        is often neither the one with the least to spare nor largest kits first.

    Raises
    ------
    MeasureError
        If nothing is needed.

    Notes
    -----
    A covering problem in whole numbers, min Σ pᵢ xᵢ over Σ sᵢ xᵢ ≥ need, solved to
    proven optimality by HiGHS [Huangfu2018]_.
    """
    if needed_l <= 0.0:
        raise MeasureError("volume", found=f"{needed_l:g} l", expected="more than 0 l")
    asked_l = needed_l
    while True:
        order = _order(packs, _solved(packs, asked_l), needed_l)
        if order.spare_l >= -NEGLIGIBLE_L:
            return order
        asked_l += SOLVER_L


def _order(packs: tuple[Pack, ...], counts: list[int], needed_l: float) -> KitOrder:
    taken = tuple((pack, n) for pack, n in zip(packs, counts, strict=True) if n)
    bought_l = sum(pack.volume_l * n for pack, n in taken)
    cost = sum((pack.price * n for pack, n in taken), Decimal(0))
    return KitOrder(taken, needed_l, bought_l, cost)


def _solved(packs: tuple[Pack, ...], needed_l: float) -> list[int]:
    """How many of each pack."""
    import numpy as np
    from scipy.optimize import Bounds, LinearConstraint, milp

    sizes_l = np.array([pack.volume_l for pack in packs])
    most = np.ceil(needed_l / sizes_l)  # what covers alone; more would only add cost
    # Half a thousandth of a coin decides between orders at one price: less to spare.
    price = np.array([float(pack.price * 1000) for pack in packs])
    spare = 0.5 * sizes_l / (needed_l + sizes_l.max())
    answer = milp(
        price + spare,
        integrality=np.ones(len(packs)),
        bounds=Bounds(0, most),
        constraints=LinearConstraint(sizes_l[np.newaxis, :], lb=needed_l - NEGLIGIBLE_L),
        options={"mip_rel_gap": 0.0},
    )
    return [round(count) for count in answer.x]
