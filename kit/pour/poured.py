"""The poured floor: what lies at any place of it, from the recipe and the plan alone."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray

from kit.errors import PictureError
from kit.plan.floor import FloorPlan
from kit.pour.colours import Paint
from kit.pour.film import Film
from kit.pour.ground import Ground
from kit.pour.kernel import fill_origins, fill_planes
from kit.pour.laid import Laid, lay
from kit.pour.paint import paint_of, trued
from kit.pour.recipe import Recipe
from kit.units import M_PER_FT

Places = NDArray[np.float64]
FAR_M = 10_000.0
"""Places farther than this from the floor's corner are no part of any view. [m]"""
SAMPLES = 9_000
"""Places of the floor on which the shares are trued."""
SAMPLE_FOOT_M = 0.001
"""Fineness at which they are trued. [m]"""


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
        x, y, foot = _checked(x_m, y_m, footprint_m)
        return self._film(x, y, foot, self._paint)

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
        for about, found in (
            ("width_px", width_px),
            ("height_px", height_px),
            ("samples", samples),
        ):
            if not (isinstance(found, int | np.integer) and found >= 1):
                raise PictureError(about, found=found, expected="a whole number from 1")
        if samples > 8:
            raise PictureError("samples", found=samples, expected="at most 8 along a side")
        if not (np.isfinite(pixel_m) and pixel_m > 0.0):
            raise PictureError("pixel_m", found=pixel_m, expected="a width above 0 m")
        step_m = pixel_m / samples
        east = west_m + (np.arange(width_px * samples) + 0.5) * step_m
        south = north_m - (np.arange(height_px * samples) + 0.5) * step_m
        x_m, y_m = np.meshgrid(east, south)
        return self.film_at(x_m, y_m, step_m)

    def came_from(self, x_m: ArrayLike, y_m: ArrayLike) -> tuple[Places, Places]:
        """Tell where the film at given places was poured, before any stroke. [m]"""
        x, y, _ = _checked(x_m, y_m, 0.0)
        rows, columns, tile = _tiled(x.shape)
        east, north = self._ground.feet(x, y)
        origins = np.empty((2, rows, columns), np.float32)
        fill_origins(
            east.reshape(rows, columns), north.reshape(rows, columns), tile, self.laid,
            self._ground.lie.salts, origins,
        )  # fmt: skip
        west_m, south_m = self._ground.corner_m
        poured = origins.astype(np.float64) * M_PER_FT
        return (poured[0] + west_m).reshape(x.shape), (poured[1] + south_m).reshape(x.shape)

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
        x, y, inside = self._samples()
        foot = np.full(x.shape, SAMPLE_FOOT_M)
        untrued = paint_of(self.recipe, float(self._ground.lie.scale_ft))
        return trued(untrued, lambda paint: self._film(x, y, foot, paint), inside)

    def _samples(self) -> tuple[Places, Places, NDArray[np.bool_]]:
        """An even grid of places over the floor, and which of them lie on it."""
        west, south, east, north = self.plan.bounds_m
        step = np.sqrt(self.plan.surface.area / SAMPLES)
        x, y = np.meshgrid(
            np.arange(west + step / 2, east, step), np.arange(south + step / 2, north, step)
        )
        return x, y, shapely.contains_xy(self.plan.surface, x, y)

    def _film(self, x: Places, y: Places, foot: Places, paint: Paint) -> Film:
        rows, columns, tile = _tiled(x.shape)
        colours = paint.share.size
        east, north = self._ground.feet(x, y)
        feet = (foot / M_PER_FT).astype(np.float32)
        planes = np.empty((2 * colours + 4, rows, columns), np.float32)
        fill_planes(
            east.reshape(rows, columns), north.reshape(rows, columns),
            feet.reshape(rows, columns), tile, self.laid, self._ground.lie, paint, planes,
        )  # fmt: skip
        planes = planes.reshape(2 * colours + 4, *x.shape)
        return Film(
            shares=planes[:colours],
            veil_shares=planes[colours : 2 * colours],
            thickness=planes[2 * colours],
            veil=planes[2 * colours + 1],
            lean=planes[2 * colours + 2 :],
        )


def _tiled(shape: tuple[int, ...]) -> tuple[int, int, int]:
    """Rows, columns and tile height with which places of a shape are taken."""
    columns = shape[-1] if shape else 1
    rows = int(np.prod(shape[:-1], dtype=int)) if len(shape) > 1 else 1
    return rows, columns, 16 if rows >= 8 and columns >= 8 else 1


def _checked(
    x_m: ArrayLike, y_m: ArrayLike, footprint_m: ArrayLike
) -> tuple[Places, Places, Places]:
    """Places and footprints as float64 of one shape, finite and within reach."""
    x, y = np.asarray(x_m, np.float64), np.asarray(y_m, np.float64)
    if x.shape != y.shape or x.size == 0:
        raise PictureError(
            "places",
            found=f"x {x.shape} and y {y.shape}",
            expected="two arrays of one shape, not empty",
        )
    for about, plane in (("x_m", x), ("y_m", y)):
        if not np.isfinite(plane).all() or np.abs(plane).max() > FAR_M:
            raise PictureError(
                about, found="a place out of reach", expected=f"metres within {FAR_M:g} m"
            )
    foot = np.asarray(footprint_m, np.float64)
    if foot.shape not in ((), x.shape):
        raise PictureError(
            "footprint_m", found=f"shape {foot.shape}", expected="one width, or one a place"
        )
    if not np.isfinite(foot).all() or foot.min() < 0.0 or foot.max() > FAR_M:
        raise PictureError(
            "footprint_m", found="a width out of range", expected=f"0 to {FAR_M:g} m"
        )
    return x, y, np.ascontiguousarray(np.broadcast_to(foot, x.shape))
