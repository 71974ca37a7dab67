"""What a motion can ask about the floor it is worked on."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
import shapely
from numpy.typing import NDArray

from kit.pour.composition import Lie, compose, current_at
from kit.pour.noise import noise_at, salted
from kit.pour.walls import nearest, obstacles_ft
from kit.units import M_PER_FT

if TYPE_CHECKING:
    from kit.plan.floor import FloorPlan
    from kit.pour.recipe import Flow

Numbers = NDArray[np.float64]
SLACK = 0.5
"""Rise of the current's field over its largest moves that the pour's way outweighs."""


@dataclass(frozen=True, eq=False)
class Ground:
    """The floor under the trowel: its edges, its composition, its seed.

    Places are (N,) arrays in metres, as on the plan.
    """

    plan: FloorPlan
    flow: Flow
    seed: int

    @cached_property
    def lie(self) -> Lie:
        """The slow field that rules the whole floor."""
        flow = self.flow
        return compose(
            self.plan, self.obstacles_ft, self.seed, sweep=flow.sweep, calm=flow.calm
        )

    @cached_property
    def obstacles_ft(self) -> NDArray[np.float32]:
        """Walls and columns as capsules, from the floor's own corner. [ft]"""
        capsules = obstacles_ft(self.plan.surface)
        capsules[:, :2] -= np.array(self.corner_m) / M_PER_FT
        return capsules.astype(np.float32)

    @property
    def bounds_m(self) -> tuple[float, float, float, float]:
        """West, south, east, north of the floor. [m]"""
        return self.plan.bounds_m

    @property
    def corner_m(self) -> tuple[float, float]:
        """South-west corner, from which blocks count. [m]"""
        return self.bounds_m[:2]

    def feet(
        self, x_m: Numbers, y_m: Numbers
    ) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
        """Places as blocks count them: from the floor's corner. [ft]"""
        west_m, south_m = self.corner_m
        east, north = (x_m - west_m) / M_PER_FT, (y_m - south_m) / M_PER_FT
        return east.astype(np.float32), north.astype(np.float32)

    def current(self, x_m: Numbers, y_m: Numbers) -> tuple[Numbers, Numbers, Numbers]:
        """The composition's field and its slope; the film runs along contours. [1/ft]"""
        value, east, north, *_ = self._lie(x_m, y_m)
        return value, east, north

    def band(self, x_m: Numbers, y_m: Numbers) -> Numbers:
        """One in the current, falling to nothing in the calm. [0 to 1]"""
        band: Numbers = self._lie(x_m, y_m)[3]
        return band

    def pour(self, x_m: Numbers, y_m: Numbers) -> Numbers:
        """Heading in which the floor is poured there, to either end. [rad]"""
        *_, east, north = self._lie(x_m, y_m)
        heading: Numbers = np.arctan2(north, east)
        return heading

    def way(self, x_m: Numbers, y_m: Numbers) -> Numbers:
        """Heading along the current, and along the pour where it is slack. [rad]"""
        _, q_x, q_y, _, east, north = self._lie(x_m, y_m)
        scale_ft = float(self.lie.scale_ft)
        x, y = scale_ft * q_y, -scale_ft * q_x
        against = np.where(x * east + y * north < 0.0, -SLACK, SLACK)
        heading: Numbers = np.arctan2(y + against * north, x + against * east)
        return heading

    def noise(self, x_m: Numbers, y_m: Numbers, wave_m: float, salt: int) -> Numbers:
        """Gradient noise of one octave, about -1 to 1."""
        east, north = self.feet(x_m, y_m)
        wave = np.float32(wave_m / M_PER_FT)
        out = np.empty_like(east)
        noise_at(east / wave, north / wave, salted(self.seed, 100 + salt), out)
        return out.astype(np.float64)

    def walls(self, x_m: Numbers, y_m: Numbers) -> tuple[Numbers, Numbers]:
        """Distance to the nearest wall or column [m], below 0 off the floor; heading."""
        east, north = self.feet(x_m, y_m)
        distance_ft, heading = nearest(
            self.obstacles_ft.astype(np.float64), east.astype(float), north.astype(float)
        )
        inside = shapely.contains_xy(self.plan.surface, x_m, y_m)
        return np.where(inside, 1.0, -1.0) * np.abs(distance_ft) * M_PER_FT, heading

    def columns(self, x_m: Numbers, y_m: Numbers) -> Numbers:
        """Distance to the nearest column or island, infinite where there is none. [m]"""
        rings = shapely.MultiLineString(list(self.plan.surface.interiors))
        if rings.is_empty:
            return np.full(x_m.shape, np.inf)
        away: Numbers = shapely.distance(shapely.points(x_m, y_m), rings)
        return away

    def _lie(self, x_m: Numbers, y_m: Numbers) -> NDArray[np.float64]:
        east, north = self.feet(x_m, y_m)
        out = np.empty((6, east.size), np.float32)
        current_at(east, north, self.lie, out)
        return out.astype(np.float64)
