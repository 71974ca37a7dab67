"""The poured floor: what lies at any place of it, from the recipe and the plan alone."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from kit.errors import MeasureError
from kit.plan.floor import FloorPlan
from kit.pour.colours import Paint
from kit.pour.film import Film, Plane
from kit.pour.ground import Ground
from kit.pour.kernel import NO_FIELDS, fill_origins, fill_planes
from kit.pour.laid import Laid, lay
from kit.pour.paint import paint_of
from kit.pour.pigment import SAMPLES, even_places, trued
from kit.pour.places import (
    EACH,
    Places,
    check_view,
    places_at,
    places_on_grid,
    rows_of_strips,
)
from kit.pour.recipe import Flow, Recipe
from kit.units import M_PER_FT, square_feet

Metres = NDArray[np.float64]
_WORKED_KEPT = 8
"""Floors of which the strokes are kept: the one in hand and those it is compared with."""
LEAST_FLOOR_M2 = 0.01
"""Less than this is no floor. [m²]"""


@dataclass(frozen=True, eq=False)
class PouredFloor:
    """One floor as it will lie, at any place and any fineness.

    Nothing is drawn ahead: strokes are laid and the shares trued once, at the
    first question, and every place is then worked out on its own. Strokes laid
    lately are kept for every floor that is worked alike. Off the floor nothing lies;
    a place within two pixels of it may show what would.

    Parameters
    ----------
    recipe : Recipe
    plan : FloorPlan
    trued_on : int
        Places on which the shares are trued to those bought.

    Raises
    ------
    MeasureError
        If the plan has no floor.
    """

    recipe: Recipe
    plan: FloorPlan
    trued_on: int = SAMPLES

    def __post_init__(self) -> None:
        # written so that a NaN fails it
        if not self.plan.surface.area >= LEAST_FLOOR_M2:
            raise MeasureError(
                "floor",
                found=f"{square_feet(self.plan.surface.area):.3g} sq ft",
                expected=f"at least {square_feet(LEAST_FLOOR_M2):.2g} sq ft to pour on",
            )

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

    def film_strips(
        self, *, west_m: float, north_m: float, pixel_m: float, width_px: int,
        height_px: int, samples: int = 1, rows_px: int | None = None,
    ) -> Iterator[tuple[int, Film]]:  # fmt: skip
        """Tell what lies under a grid of pixels, a strip of rows at a time.

        However large the picture, memory is that of one strip.

        Parameters
        ----------
        west_m, north_m, pixel_m, width_px, height_px, samples
            As for `film_grid`.
        rows_px : int, optional
            Rows of a strip; as many as make a million samples if left out.

        Yields
        ------
        (int, Film)
            First row of the strip, and its film. The last may have fewer rows.

        Raises
        ------
        PictureError
            If a size is not possible; before the first strip.
        """
        strips = rows_of_strips(width_px, height_px, samples, rows_px)

        def film(first: int, rows: int) -> Film:
            return self.film_grid(
                west_m=west_m, north_m=north_m - first * pixel_m, pixel_m=pixel_m,
                width_px=width_px, height_px=rows, samples=samples,
            )  # fmt: skip

        check_view(west_m=west_m, north_m=north_m, pixel_m=pixel_m)
        return ((first, film(first, rows)) for first, rows in strips)

    def coarse_shares(self, count: int, footprint_m: float) -> Plane:
        """Shares of film and veil, (P, M), at about `count` even places of the floor.

        Parameters
        ----------
        footprint_m : float
            Width over which each place is averaged. [m]
        """
        film = self._film(even_places(self.plan, count, footprint_m), self._paint)
        laid = film.shares * film.thickness + film.veil_shares * film.veil
        shares: Plane = laid / laid.sum(axis=0)
        return shares

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
        return self._worked[1]

    @cached_property
    def _ground(self) -> Ground:
        return self._worked[0]

    @cached_property
    def _worked(self) -> tuple[Ground, Laid]:
        return _laid_over(self.plan, self.recipe.flow.moves, self.recipe.seed)

    @cached_property
    def _paint(self) -> Paint:
        """The recipe as the kernel reads it, trued to the palette's shares."""
        untrued = paint_of(self.recipe, float(self._ground.lie.scale_ft))
        lie = self._ground.lie
        return trued(self.plan, self.laid, lie, untrued, samples=self.trued_on)

    def _film(self, places: Places, paint: Paint) -> Film:
        colours = paint.share.size
        planes = np.empty((2 * colours + 4, *places.rows_and_columns), np.float32)
        fill_planes(
            places.east, places.north, places.foot, places.tile_height, places.mesh or EACH,
            self.laid, self._ground.lie, paint, planes, NO_FIELDS,
        )  # fmt: skip
        planes = planes.reshape(2 * colours + 4, *places.shape)
        return Film(
            shares=planes[:colours],
            veil_shares=planes[colours : 2 * colours],
            thickness=planes[2 * colours],
            veil=planes[2 * colours + 1],
            lean=planes[2 * colours + 2 :],
        )


@lru_cache(maxsize=_WORKED_KEPT)
def _laid_over(plan: FloorPlan, moves: Flow, seed: int) -> tuple[Ground, Laid]:
    """Lay the strokes of a flow's moves, whatever is poured under them."""
    ground = Ground(plan, moves, seed)
    return ground, lay(ground, moves.motions)
