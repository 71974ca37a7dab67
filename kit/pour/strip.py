"""A strip of seeds: a dozen distinct floors of one recipe, to choose from."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from kit.errors import PictureError
from kit.plan.floor import FloorPlan
from kit.pour.poured import PouredFloor
from kit.pour.recipe import SEEDS, Recipe

LONGEST = 48
"""Floors in a strip, at most."""
DISTINCT = 0.75
"""Least distance between two floors of a strip; unrelated ones are at 1 on average."""
TRIES = 8
"""Seeds looked at for each floor; of none that is distinct, the most distant is taken."""
PLACES = 768
"""Places of the floor at which two are compared."""
_ROUGHLY = 2_000
_NEXT = 2_654_435_761


def seed_strip(
    recipe: Recipe, plan: FloorPlan, count: int = 12, *, start: int | None = None
) -> tuple[Recipe, ...]:
    """Offer floors of the recipe that differ from it and from each other.

    Parameters
    ----------
    recipe : Recipe
        What is poured; only its seed is changed.
    plan : FloorPlan
    count : int
        Floors wanted. [1 to 48]
    start : int, optional
        Seed after which to look; the recipe's own if left out. The last seed of
        one strip is the start of the next.

    Raises
    ------
    PictureError
        If the count or the start is out of range.

    Notes
    -----
    Seeds are taken in the order of a multiplicative scatter [Knuth1998]_, and near
    twins passed over, so the same question always gets the same strip.
    """
    if not (isinstance(count, int) and 1 <= count <= LONGEST):
        raise PictureError(
            "count", found=count, expected=f"a whole number from 1 to {LONGEST}"
        )
    start = recipe.seed if start is None else start
    if not (isinstance(start, int) and 0 <= start < SEEDS):
        raise PictureError("start", found=start, expected=f"a seed from 0 to {SEEDS - 1}")
    seeds = _seeds_after(start, recipe.seed)
    kept = [recipe]
    maps = [colour_map(recipe, plan)]
    while len(kept) <= count:
        best, best_map, best_gap = recipe, maps[0], -1.0
        for _ in range(TRIES):
            candidate = recipe.changed(seed=next(seeds))
            here = colour_map(candidate, plan)
            gap = min(distance(here, other) for other in maps)
            if gap > best_gap:
                best, best_map, best_gap = candidate, here, gap
            if gap >= DISTINCT:
                break
        kept.append(best)
        maps.append(best_map)
    return tuple(kept[1:])


def colour_map(recipe: Recipe, plan: FloorPlan) -> NDArray[np.float32]:
    """Share of each colour, (P, M), at coarse places evenly over the floor."""
    spacing_m = float(np.sqrt(plan.surface.area / PLACES))
    floor = PouredFloor(recipe, plan, trued_on=_ROUGHLY)
    return floor.coarse_shares(PLACES, 0.1 * spacing_m)


def distance(one: NDArray[np.float32], other: NDArray[np.float32]) -> float:
    """How far apart two floors of the same shares lie: 0 the same, 1 unrelated.

    The pigment that would have to change place, over what would have to if the two
    had nothing to do with each other.
    """
    moved = np.abs(one - other).sum(axis=0).mean() / 2.0
    strangers = np.abs(one[:, :, None] - other[:, None, ::7]).sum(axis=0).mean() / 2.0
    return float(moved / max(strangers, 1e-9))


def _seeds_after(start: int, own: int) -> Iterator[int]:
    seed = start
    while True:
        seed = (seed + _NEXT) % SEEDS
        if seed != own:
            yield seed
