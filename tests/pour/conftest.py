"""The floors that the tests of the pour are worked on."""

from __future__ import annotations

import pytest
from pour.pourings import FT, floor, plan_of
from shapely import Point, Polygon

from kit.plan.floor import FloorPlan
from kit.pour.poured import PouredFloor


@pytest.fixture(scope="session")
def ell() -> FloorPlan:
    """An L of about 640 sq ft with two round columns."""
    corners = [(0, 0), (32, 0), (32, 14), (18, 14), (18, 28), (0, 28)]
    surface = Polygon([(x * FT, y * FT) for x, y in corners])
    for x, y in ((11, 9), (20, 7)):
        surface = surface.difference(Point(x * FT, y * FT).buffer(0.6 * FT))
    return plan_of(surface)


@pytest.fixture(scope="session")
def hall() -> FloorPlan:
    """A hall of 80 by 50 ft."""
    return plan_of(Polygon([(0, 0), (80 * FT, 0), (80 * FT, 50 * FT), (0, 50 * FT)]))


@pytest.fixture(scope="session")
def ell_floor(ell: FloorPlan) -> PouredFloor:
    """Three colours on the L."""
    return floor(ell, 0.45, 0.35, 0.20)
