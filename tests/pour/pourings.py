"""Floors, recipes and places that the tests of the pour share."""

from __future__ import annotations

import numpy as np
import shapely
from shapely import LineString, Polygon

from kit.plan.floor import FloorPlan, PlannedRoom, WayOut
from kit.pour.palette import Palette
from kit.pour.poured import PouredFloor
from kit.pour.recipe import Flow, Recipe

FT = 0.3048


def plan_of(surface: Polygon) -> FloorPlan:
    room = PlannedRoom("Room", Polygon(surface.exterior), surface)
    door = WayOut("Room", LineString([(0, 0), (0.9, 0)]), 0.9)
    return FloorPlan((room,), (), door, surface)


def palette(*shares: float) -> Palette:
    names = ("deep", "kelp", "gull", "rust", "sand", "slate")
    colours = [{"pigment": n, "share": s} for n, s in zip(names, shares, strict=False)]
    return Palette.model_validate({"colours": colours, "tint": "soot"})


def floor(plan: FloorPlan, *shares: float, seed: int = 7, **flow: object) -> PouredFloor:
    return PouredFloor(Recipe(palette=palette(*shares), seed=seed, flow=Flow(**flow)), plan)


def places_on(plan: FloorPlan, count: int, seed: int = 1) -> tuple[np.ndarray, np.ndarray]:
    """Places of the floor at random, those near each other next to each other. [m]"""
    rng = np.random.default_rng(seed)
    west, south, east, north = plan.bounds_m
    x, y = rng.uniform(west, east, count), rng.uniform(south, north, count)
    on = shapely.contains_xy(plan.surface, x, y)
    x, y = x[on], y[on]
    order = np.lexsort((x // 1.0, y // 1.0))
    return x[order], y[order]
