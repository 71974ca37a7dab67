"""The cheapest whole kits that hold a volume."""

from __future__ import annotations

from decimal import Decimal
from functools import lru_cache
from math import ceil

from kit.coats.system import KitOrder
from kit.errors import MeasureError
from kit.stock.records import Pack

NEGLIGIBLE_L = 1e-9
"""Float noise that may not cost a kit."""
SOLVER_L = 1e-6
"""How far HiGHS lets a row fall short; kits may not fall short at all."""
MOST_TRIED = 5000
"""Orders that are tried by hand before the solver is asked, which takes as long."""


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
    A covering problem in whole numbers, min Σ pᵢ xᵢ over Σ sᵢ xᵢ ≥ need: branch and
    bound [Land1960]_, and where sizes are priced so alike that too many orders would
    have to be tried, HiGHS [Huangfu2018]_; both to proven optimality.
    """
    if needed_l <= 0.0:
        raise MeasureError("volume", found=f"{needed_l:g} l", expected="more than 0 l")
    counts = searched(packs, needed_l)
    if counts is not None:
        return _order(packs, counts, needed_l)
    asked_l = needed_l
    while True:
        order = _order(packs, solved(packs, asked_l), needed_l)
        if order.spare_l >= -NEGLIGIBLE_L:
            return order
        asked_l += SOLVER_L


def _order(packs: tuple[Pack, ...], counts: list[int], needed_l: float) -> KitOrder:
    taken = tuple((pack, n) for pack, n in zip(packs, counts, strict=True) if n)
    bought_l = sum(pack.volume_l * n for pack, n in taken)
    cost = sum((pack.price * n for pack, n in taken), Decimal(0))
    return KitOrder(taken, needed_l, bought_l, cost)


def searched(packs: tuple[Pack, ...], needed_l: float) -> list[int] | None:
    """How many of each pack, by trying what could be cheapest; None if it is too much.

    Packs are filled up in the order of their price by volume. The rest then costs at
    least as much by volume as the next pack does, so that most orders need no try.
    """
    ranked = sorted(
        range(len(packs)), key=lambda i: float(packs[i].price) / packs[i].volume_l
    )
    sizes_l = [packs[i].volume_l for i in ranked]
    prices = [float(packs[i].price) for i in ranked]
    by_litre = [price / size for price, size in zip(prices, sizes_l, strict=True)]
    hair = 1e-9 * (1.0 + by_litre[-1] * (needed_l + max(sizes_l)))
    best = (float("inf"), float("inf"), [0] * len(packs))
    tried = 0

    def fill(at: int, rest_l: float, spent: float, counts: list[int]) -> None:
        nonlocal best, tried
        tried += 1
        most = max(0, ceil((rest_l - NEGLIGIBLE_L) / sizes_l[at]))
        for count in range(most, -1, -1):
            left_l = rest_l - count * sizes_l[at]
            cost = spent + count * prices[at]
            if left_l <= NEGLIGIBLE_L:
                found = (cost, -left_l, [*counts, count, *[0] * (len(packs) - at - 1)])
                cheaper = cost < best[0] - hair
                if cheaper or (cost <= best[0] + hair and found[1] < best[1]):
                    best = found
                continue
            if at + 1 == len(packs) or tried > MOST_TRIED:
                return
            if cost + left_l * by_litre[at + 1] > best[0] + hair:
                return
            fill(at + 1, left_l, cost, [*counts, count])

    fill(0, needed_l, 0.0, [])
    if tried > MOST_TRIED:
        return None
    by_pack = dict(zip(ranked, best[2], strict=True))
    return [by_pack[i] for i in range(len(packs))]


def solved(packs: tuple[Pack, ...], needed_l: float) -> list[int]:
    """How many of each pack, by a solver of whole-number programs."""
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
