"""A second opinion on an order that never sees its graph: the floor as small squares.

After each lane is wet, all that is not laid must still be in reach of somebody who
stands on dry floor and can walk out, and whoever laid the lane must stand there.
"""

from __future__ import annotations

import numpy as np
import shapely
from scipy import ndimage

SIDE_M = 0.07
BODY_M = 0.19
"""A hair less than the planner's, for squares are no lines."""
REACH_M = 1.45


class Squares:
    def __init__(self, plan) -> None:
        west, south, east, north = plan.bounds_m
        pad = 12
        xs = np.arange(west - pad * SIDE_M, east + pad * SIDE_M, SIDE_M) + SIDE_M / 2
        ys = np.arange(south - pad * SIDE_M, north + pad * SIDE_M, SIDE_M) + SIDE_M / 2
        self.x, self.y = np.meshgrid(xs, ys)
        floor = shapely.contains_xy(plan.surface, self.x, self.y)
        ways = [way.opening for way in plan.ways_out]
        porch = shapely.union_all([way.buffer(0.6, cap_style="flat") for way in ways])
        self.outside = shapely.contains_xy(porch, self.x, self.y) & ~floor
        # doorways without a wall's thickness are gaps of a line in the squares already
        self.floor = floor
        self.open = floor | self.outside

    def lane(self, shape):
        return shapely.contains_xy(shape.buffer(1e-6), self.x, self.y) & self.floor

    def standing(self, wet):
        """Where a person can stand and walk out from."""
        walls_away = ndimage.distance_transform_edt(self.open) * SIDE_M
        dry_away = ndimage.distance_transform_edt(self.open & ~wet) * SIDE_M
        free = (walls_away >= BODY_M - SIDE_M) & (dry_away >= BODY_M - SIDE_M)
        parts, _ = ndimage.label(free)
        out = set(np.unique(parts[self.outside & free])) - {0}
        return np.isin(parts, sorted(out))


def first_trapped(plan, order) -> str:
    """Say which lane traps somebody, or nothing."""
    squares = Squares(plan)
    wet = np.zeros_like(squares.floor)
    for lane in order.lanes:
        here = squares.lane(lane.shape)
        wet |= here
        standing = squares.standing(wet)
        away = ndimage.distance_transform_edt(~standing) * SIDE_M
        left = squares.floor & ~wet
        if left.any() and away[left].max() > REACH_M:
            return f"after lane {lane.number}, floor that nobody reaches"
        if away[here].min() > REACH_M:
            return f"whoever laid lane {lane.number}"
    return ""
