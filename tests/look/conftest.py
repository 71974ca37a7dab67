"""A made-up floor of sines, so that light can be judged without a pour."""

from __future__ import annotations

import tomllib
from pathlib import Path

import numpy as np
import pytest
import shapely

from kit.plan.floor import FloorPlan, PlannedRoom, WayOut
from kit.pour.film import Film
from kit.stock.records import Finish, Pigment, Tint

SHELF = Path(__file__).parents[2] / "kit" / "stock" / "shelf"


class SineFloor:
    """Stands in for a poured floor: smooth bands, thin spots, leaning flakes."""

    def __init__(self, colours: int = 3) -> None:
        self.colours = colours
        self.asked = 0

    def film_at(self, x_m, y_m, footprint_m) -> Film:  # noqa: ARG002
        self.asked += 1
        x = np.asarray(x_m, dtype=np.float64)
        y = np.asarray(y_m, dtype=np.float64)
        u, v = x, y
        for k, f in enumerate((0.55, 1.1, 2.3, 4.9)):
            u, v = (
                u + 0.42 / f * np.sin(f * 1.7 * v + 1.3 * k + 0.4 * u),
                v + 0.42 / f * np.sin(f * 1.5 * u + 2.1 * k - 0.3 * v),
            )
        phases = 2 * np.pi * np.arange(self.colours) / self.colours
        logits = np.array([2.6 * np.sin(1.6 * u + 0.7 * v + p) for p in phases])
        veil_logits = np.array([2.2 * np.sin(1.2 * u - 1.1 * v + 1 + p) for p in phases])
        thickness = np.clip(0.95 + 0.5 * np.sin(2.1 * u) * np.sin(1.7 * v), 0, None)
        veil = np.clip(0.4 + 0.45 * np.sin(1.3 * u + 2) * np.sin(1.9 * v), 0, None)
        lean = 0.28 * np.array([np.sin(3.1 * v + u), np.sin(2.7 * u - v)])
        single = (a.astype(np.float32) for a in (
            _softmax(logits), thickness, _softmax(veil_logits), veil, lean
        ))  # fmt: skip
        return Film(*single)

    def film_grid(self, *, west_m, north_m, pixel_m, width_px, height_px) -> Film:
        x = west_m + (np.arange(width_px) + 0.5) * pixel_m
        y = north_m - (np.arange(height_px) + 0.5) * pixel_m
        return self.film_at(*np.meshgrid(x, y), pixel_m)


def _softmax(logits):
    e = np.exp(logits - logits.max(axis=0))
    return e / e.sum(axis=0)


def planned(outline, holes=(), columns=()) -> FloorPlan:
    shape = shapely.Polygon(outline)
    poured = shape
    for hole in (*holes, *columns):
        poured = poured.difference(hole)
    room = PlannedRoom(name="Studio", outline=shape, poured=poured)
    first = shapely.LineString(outline[:2])
    door = shapely.LineString([first.interpolate(0.5), first.interpolate(1.5)])
    return FloorPlan(
        rooms=(room,), thresholds=(), way_out=WayOut("Studio", door, 1.0), surface=poured
    )


def shelf(file: str, table: str, record):
    with (SHELF / f"{file}.toml").open("rb") as stream:
        return {k: record(key=k, **v) for k, v in tomllib.load(stream)[table].items()}


@pytest.fixture(scope="session")
def pigments():
    return shelf("pigments", "pigment", Pigment)


@pytest.fixture(scope="session")
def tints():
    return shelf("tints", "tint", Tint)


@pytest.fixture(scope="session")
def finishes():
    return shelf("finishes", "finish", Finish)


@pytest.fixture(scope="session")
def pour():
    """The made-up floor, to be poured anew by calling it."""
    return SineFloor


@pytest.fixture(scope="session")
def ell():
    """An L-shaped room with one round column."""
    outline = [(0, 0), (8.2, 0), (8.2, 4.2), (5.0, 4.2), (5.0, 6.6), (0, 6.6)]
    return planned(outline, columns=(shapely.Point(3.2, 3.6).buffer(0.16, quad_segs=16),))


@pytest.fixture(scope="session")
def cupboard():
    """A room too small to stand in, with a wall that leans."""
    return planned([(0, 0), (1.9, 0.2), (1.7, 2.4), (0, 2.1)])
