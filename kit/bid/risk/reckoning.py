"""Draw a floor many times over, and tell what it may cost and why."""

from __future__ import annotations

import numpy as np

from kit.bid.records import BuildUp
from kit.bid.risk.classes import class_of
from kit.bid.risk.costing import Costing, Factors, Values
from kit.bid.risk.records import Driver, Risk
from kit.bid.risk.shapes import drawn, quantile
from kit.bid.risk.together import correlations, reordered
from kit.coats.system import System
from kit.errors import MeasureError, ShelfError
from kit.stock.shelf import Shelf
from kit.work.records import Work

DRAWS = 20_000
SEED = 20
FEWEST, MOST = 100, 2_000_000
NOTES = (
    "Kits and days are whole in every draw, as they are bought and worked.",
    "Overhead stays as bid, allowances are settled as found, and no rework of a whole "
    "floor is drawn.",
    "Correlations are of normal scores, put in by reordering (Iman and Conover 1982).",
)


def risk_of(
    system: System,
    work: Work,
    built: BuildUp,
    shelf: Shelf,
    *,
    slab_is_read: bool,
    draws: int = DRAWS,
    seed: int = SEED,
) -> Risk:
    """Draw a floor as it may come out.

    Parameters
    ----------
    system, work, built
        The floor as it is bid.
    shelf : Shelf
        Its spreads and ties, and the house.
    slab_is_read : bool
        Whether moisture readings were taken, for the class of the estimate.
    draws : int
        In [100, 2,000,000].
    seed : int
        The same seed draws the same floors.

    Raises
    ------
    MeasureError
        If there are too few or too many draws, or the seed is below 0.
    ShelfError
        If no spread is on the shelf, or correlations contradict each other.
    """
    if not FEWEST <= draws <= MOST:
        raise MeasureError("draws", found=draws, expected=f"{FEWEST} to {MOST:,}")
    if seed < 0:
        raise MeasureError("seed", found=seed, expected="0 or more")
    if not shelf.spreads:
        raise ShelfError("[spread]", found="none", expected="at least one to draw")
    factors = factors_of(shelf, draws=draws, seed=seed)
    costing = Costing(system, work, built, shelf)
    costs, days = costing.outcomes(factors)
    drivers, at_medians = _drivers(costing, shelf, factors, costs)
    return Risk(
        costs=costs,
        days=days,
        planned_days=work.days,
        planned=costing.planned,
        contingency=float(built.sum_of("contingency")),
        price=float(built.before_tax),
        drivers=drivers,
        at_medians=at_medians,
        ripeness=class_of(slab_is_read=slab_is_read),
        currency=shelf.house.currency,
        seed=seed,
        notes=NOTES,
    )


def factors_of(shelf: Shelf, *, draws: int, seed: int) -> Factors:
    """Draw every spread, tied as the shelf says: for each its factors, (draws,)."""
    chance = np.random.default_rng(seed)
    table = correlations(shelf.spreads, shelf.ties)
    rows = np.stack([drawn(spread, chance, draws) for spread in shelf.spreads])
    rows = reordered(rows, table, chance)
    return {spread.key: row for spread, row in zip(shelf.spreads, rows, strict=True)}


def _drivers(
    costing: Costing, shelf: Shelf, factors: Factors, costs: Values
) -> tuple[tuple[Driver, ...], float]:
    """Each spread from its P10 to its P90, others at their medians; then all at those."""
    keys = [spread.key for spread in shelf.spreads]
    ends = {one.key: (quantile(one, 0.1), quantile(one, 0.9)) for one in shelf.spreads}
    moved = {
        one.key: np.full(2 * len(keys) + 1, quantile(one, 0.5)) for one in shelf.spreads
    }
    for n, key in enumerate(keys):
        moved[key][2 * n : 2 * n + 2] = ends[key]
    told, _ = costing.outcomes(moved)
    drivers = [
        Driver(
            key=spread.key,
            name=spread.name,
            low=ends[spread.key][0],
            high=ends[spread.key][1],
            cost_low=float(low),
            cost_high=float(high),
            correlation=_correlation(factors[spread.key], costs),
        )
        for spread, (low, high) in zip(shelf.spreads, told[:-1].reshape(-1, 2), strict=True)
    ]
    return tuple(sorted(drivers, key=lambda driver: -driver.swing)), float(told[-1])


def _correlation(some: Values, others: Values) -> float:
    scale = some.std() * others.std()
    if scale == 0.0:
        return 0.0
    return float(np.mean((some - some.mean()) * (others - others.mean())) / scale)
