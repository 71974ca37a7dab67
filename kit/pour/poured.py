"""The poured floor: what lies at any place of it, from the recipe and the plan alone."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

from kit.plan.floor import FloorPlan
from kit.pour.colours import Paint
from kit.pour.film import Film
from kit.pour.ground import Ground
from kit.pour.kernel import fill_origins, fill_planes
from kit.pour.laid import Laid, lay
from kit.pour.paint import paint_of
from kit.pour.pigment import trued
from kit.pour.places import Places, places_at, places_on_grid
from kit.pour.recipe import Recipe
from kit.units import M_PER_FT

Metres = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class PouredFloor:
    """One floor as it will lie, at any place and any fineness.

    Nothing is drawn ahead: strokes are laid and the shares trued once, at the
    first question, and every place is then worked out on its own.

    Parameters
    ----------
    recipe : Recipe
    plan : FloorPlan
    """

    recipe: Recipe
    plan: FloorPlan

    def film_at(self, x_m: ArrayLike, y_m: ArrayLike, footprint_m: ArrayLike) -> Film:
        """Tell what lies at given places.

        Parameters
        ----------
        x_m, y_m : (...) arrays
            Places, east and north as on the plan. Neighbours in the last two
            axes should lie near each other. [m]
        footprint_m : float or (...) array
            Width of a pixel on the floor, >= 0; finer things are averaged. [m]

        Raises
        ------
        PictureError
            If places and footprints do not match, or are not finite.
        """
        return self._film(
            places_at(x_m, y_m, footprint_m, self._ground.corner_m), self._paint
        )

    def film_grid(
        self, *, west_m: float, north_m: float, pixel_m: float, width_px: int,
        height_px: int, samples: int = 1,
    ) -> Film:  # fmt: skip
        """Tell what lies under a grid of pixels, row 0 the northern one.

        Parameters
        ----------
        west_m, north_m : float
            North-west corner of the grid. [m]
        pixel_m : float
            Side of a pixel, > 0. [m]
        width_px, height_px : int
            Pixels across and down.
        samples : int
            Samples along each side of a pixel: the film comes ``samples`` times
            as wide and high, for light to be averaged after shading. [1 to 8]

        Raises
        ------
        PictureError
            If a size is not possible.
        """
        places = places_on_grid(
            west_m=west_m, north_m=north_m, pixel_m=pixel_m, width_px=width_px,
            height_px=height_px, samples=samples, corner_m=self._ground.corner_m,
        )  # fmt: skip
        return self._film(places, self._paint)

    def came_from(self, x_m: ArrayLike, y_m: ArrayLike) -> tuple[Metres, Metres]:
        """Tell where the film at given places was poured, before any stroke. [m]"""
        west_m, south_m = self._ground.corner_m
        places = places_at(x_m, y_m, 0.0, (west_m, south_m))
        origins = np.empty((2, *places.east.shape), np.float32)
        fill_origins(
            places.east, places.north, places.tile_height, self.laid,
            self._ground.lie.salts, origins,
        )  # fmt: skip
        east_m, north_m = origins.astype(np.float64).reshape(2, *places.shape) * M_PER_FT
        return east_m + west_m, north_m + south_m

    @cached_property
    def laid(self) -> Laid:
        """Strokes of every motion, ready for the walk back."""
        return lay(self._ground, self.recipe.flow.motions)

    @cached_property
    def _ground(self) -> Ground:
        return Ground(self.plan, self.recipe.flow, self.recipe.seed)

    @cached_property
    def _paint(self) -> Paint:
        """The recipe as the kernel reads it, trued to the palette's shares."""
        untrued = paint_of(self.recipe, float(self._ground.lie.scale_ft))
        ground = self._ground
        return trued(self.plan, ground.corner_m, self.laid, ground.lie, untrued)

    def _film(self, places: Places, paint: Paint) -> Film:
        colours = paint.share.size
        planes = np.empty((2 * colours + 4, *places.east.shape), np.float32)
        fill_planes(
            places.east, places.north, places.foot, places.tile_height, self.laid,
            self._ground.lie, paint, planes,
        )  # fmt: skip
        planes = planes.reshape(2 * colours + 4, *places.shape)
        return Film(
            shares=planes[:colours],
            veil_shares=planes[colours : 2 * colours],
            thickness=planes[2 * colours],
            veil=planes[2 * colours + 1],
            lean=planes[2 * colours + 2 :],
        )
