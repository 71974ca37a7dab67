"""The cheapest whole kits that hold a volume."""

from __future__ import annotations

from decimal import Decimal
from functools import lru_cache

from kit.coats.system import KitOrder
from kit.errors import MeasureError
from kit.stock.records import Pack

NEGLIGIBLE_L = 1e-9
"""A microlitre's thousandth: less than float noise may not cost a kit."""


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
        The cheapest order; of equally cheap ones the one with the most to spare is
        not taken. Cheapest is neither least spare nor largest kits first.

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
        counts = _solved(packs, asked_l)
        bought_l = sum(
            pack.volume_l * count for pack, count in zip(packs, counts, strict=True)
        )
        if bought_l >= needed_l - NEGLIGIBLE_L:
            break
        # The solver may fall short of a row by its own tolerance; kits may not.
        asked_l += 2.0 * (needed_l - bought_l)
    taken = tuple((pack, n) for pack, n in zip(packs, counts, strict=True) if n)
    cost = sum((pack.price * n for pack, n in taken), Decimal(0))
    return KitOrder(taken, needed_l, bought_l, cost)


def _solved(packs: tuple[Pack, ...], needed_l: float) -> list[int]:
    import numpy as np
    from scipy.optimize import Bounds, LinearConstraint, milp

    sizes_l = np.array([pack.volume_l for pack in packs])
    most = np.ceil(needed_l / sizes_l)  # more of one size than covers alone only adds cost
    # Of two orders at one price, half a cent decides for less to spare.
    cents = np.array([float(pack.price * 100) for pack in packs])
    spare = 0.5 * sizes_l / (needed_l + sizes_l.max())
    answer = milp(
        cents + spare,
        integrality=np.ones(len(packs)),
        bounds=Bounds(0, most),
        constraints=LinearConstraint(sizes_l[np.newaxis, :], lb=needed_l - NEGLIGIBLE_L),
        options={"mip_rel_gap": 0.0},
    )
    return [round(count) for count in answer.x]
