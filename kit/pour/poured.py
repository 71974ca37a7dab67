"""The poured floor: what lies at any place of it, from the recipe and the plan alone."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray

from kit.errors import PictureError
from kit.plan.floor import FloorPlan
from kit.pour.film import Film
from kit.pour.ground import Ground
from kit.pour.kernel import film_of, poured_from
from kit.pour.laid import Laid, lay
from kit.pour.recipe import Recipe
from kit.units import M_PER_FT

FAR_M = 10_000.0
"""Places farther than this from the floor's corner are no part of any view. [m]"""
SAMPLES = 9_000
"""Places of the floor on which the shares are trued."""
ROUNDS = 14


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
        return self._film(x, y, foot, self._table)

    def film_grid(
        self, *, west_m: float, north_m: float, pixel_m: float, width_px: int, height_px: int,
        samples: int = 1,
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
        for about, found in (("width_px", width_px), ("height_px", height_px), ("samples", samples)):
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

    def came_from(self, x_m: ArrayLike, y_m: ArrayLike) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Tell where the film at given places was poured, before any stroke. [m]"""
        x, y, _ = _checked(x_m, y_m, 0.0)
        rows, columns, tile = _tiled(x.shape)
        east, north = self._ground.feet(x, y)
        out = np.empty((2, rows, columns), np.float32)
        poured_from(
            east.reshape(rows, columns), north.reshape(rows, columns), tile, *self._walk,
            self._ground.composition.salts, out,
        )  # fmt: skip
        west_m, south_m = self._ground.corner_m
        poured = out.astype(np.float64) * M_PER_FT
        return (poured[0] + west_m).reshape(x.shape), (poured[1] + south_m).reshape(x.shape)

    @cached_property
    def laid(self) -> Laid:
        """Strokes of every motion, ready for the walk back."""
        return lay(self._ground, self.recipe.flow.motions)

    @cached_property
    def _ground(self) -> Ground:
        return Ground(self.plan, self.recipe.flow, self.recipe.seed)

    @cached_property
    def _walk(self) -> tuple[object, ...]:
        laid = self.laid
        return (
            laid.records, laid.starts, laid.level_ints, laid.level_feet, laid.ripples,
            self._ground.obstacles_ft, laid.drift_ft,
        )  # fmt: skip

    @cached_property
    def _knobs(self) -> NDArray[np.float32]:
        flow = self.recipe.flow
        kappa = 4.2 * np.sqrt(self._ground.composition.scale_ft / 34.0) * (0.45 / flow.ribbon_m)
        return np.array(
            [kappa, flow.crisp, flow.meld, flow.wisps, flow.veil, flow.glow, flow.silk,
             flow.veins, flow.lace],
            np.float32,
        )  # fmt: skip

    @cached_property
    def _table(self) -> NDArray[np.float32]:
        """The palette's table, with head starts that bring the floor to its shares."""
        table = _table_of(self.recipe.palette.shares, self.recipe.seed)
        x, y, inside = self._samples()
        foot = np.full(x.shape, 0.003)
        wanted = np.array(self.recipe.palette.shares)
        for turn in range(ROUNDS):
            film = self._film(x, y, foot, table)
            have = shares_of(film, inside)
            table[1] += ((0.5 if turn < 8 else 0.25) * np.log(wanted / np.maximum(have, 1e-4))).astype(np.float32)
            table[1] -= table[1].mean()
        return table

    def _samples(self) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.bool_]]:
        """An even grid of places over the floor, and which of them lie on it."""
        west, south, east, north = self.plan.bounds_m
        step = np.sqrt(self.plan.surface.area / SAMPLES)
        x, y = np.meshgrid(np.arange(west + step / 2, east, step), np.arange(south + step / 2, north, step))
        return x, y, shapely.contains_xy(self.plan.surface, x, y)

    def _film(
        self, x: NDArray[np.float64], y: NDArray[np.float64], foot: NDArray[np.float64],
        table: NDArray[np.float32],
    ) -> Film:  # fmt: skip
        rows, columns, tile = _tiled(x.shape)
        colours = table.shape[1]
        east, north = self._ground.feet(x, y)
        planes = np.empty((2 * colours + 4, rows, columns), np.float32)
        composition = self._ground.composition
        film_of(
            east.reshape(rows, columns), north.reshape(rows, columns),
            (foot / M_PER_FT).astype(np.float32).reshape(rows, columns), tile, *self._walk,
            composition.lie, composition.salts, table, self._knobs, planes,
        )  # fmt: skip
        planes = planes.reshape(2 * colours + 4, *x.shape)
        return Film(
            shares=planes[:colours],
            veil_shares=planes[colours : 2 * colours],
            thickness=planes[2 * colours],
            veil=planes[2 * colours + 1],
            lean=planes[2 * colours + 2 :],
        )


def shares_of(film: Film, inside: NDArray[np.bool_]) -> NDArray[np.float64]:
    """Share of each colour in all the film of the places marked, veil and all."""
    lower = (film.shares * film.thickness)[:, inside].sum(axis=1, dtype=np.float64)
    upper = (film.veil_shares * film.veil)[:, inside].sum(axis=1, dtype=np.float64)
    total: NDArray[np.float64] = lower + upper
    return total / total.sum()


def _table_of(shares: tuple[float, ...], seed: int) -> NDArray[np.float32]:
    """Rows of the palette's table before truing: see `kit.pour.colours`.

    The two largest colours rule the two sides of the current, the third lives
    in it as an accent, further ones lean to one side.
    """
    count = len(shares)
    order = np.argsort(-np.array(shares), kind="stable")
    sign = 1.0 if seed % 2 else -1.0
    rules, lives = np.zeros(count), np.zeros(count)
    for place, side, inner in zip(order, (1.0, -1.0, 0.0, 0.5, -0.5, 0.0), (0, 0, 1, 0, 0, 1), strict=False):
        rules[place], lives[place] = sign * side, inner
    phase = 2.0 * np.pi * (np.arange(count) + 0.5) / count
    heading = 1.1 + 1.05 * np.arange(count)
    rows = [np.array(shares), np.zeros(count), rules, lives, np.cos(phase), np.sin(phase)]
    rows += [np.cos(heading) / 6.5, np.sin(heading) / 6.5]
    return np.array(rows, np.float32)


def _tiled(shape: tuple[int, ...]) -> tuple[int, int, int]:
    """Rows, columns and tile height with which places of a shape are taken."""
    columns = shape[-1] if shape else 1
    rows = int(np.prod(shape[:-1], dtype=int)) if len(shape) > 1 else 1
    return rows, columns, 16 if rows >= 8 and columns >= 8 else 1


def _checked(
    x_m: ArrayLike, y_m: ArrayLike, footprint_m: ArrayLike
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """Places and footprints as float64 of one shape, finite and within reach."""
    x, y = np.asarray(x_m, np.float64), np.asarray(y_m, np.float64)
    if x.shape != y.shape or x.size == 0:
        raise PictureError("places", found=f"x {x.shape} and y {y.shape}", expected="two arrays of one shape, not empty")
    for about, plane in (("x_m", x), ("y_m", y)):
        if not np.isfinite(plane).all() or np.abs(plane).max() > FAR_M:
            raise PictureError(about, found="a place out of reach", expected=f"metres within {FAR_M:g} m")
    foot = np.asarray(footprint_m, np.float64)
    if foot.shape not in ((), x.shape):
        raise PictureError("footprint_m", found=f"shape {foot.shape}", expected="one width, or one a place")
    if not np.isfinite(foot).all() or foot.min() < 0.0 or foot.max() > FAR_M:
        raise PictureError("footprint_m", found="a width out of range", expected=f"0 to {FAR_M:g} m")
    return x, y, np.ascontiguousarray(np.broadcast_to(foot, x.shape))
