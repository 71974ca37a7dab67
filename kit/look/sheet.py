"""Where a picture from above lies on the plan, and what of it is floor and wall."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from kit.errors import PictureError
from kit.plan.floor import FloorPlan
from kit.units import M_PER_FT

Array = NDArray[np.float32]

MARGIN = 0.04
WALL_M = 0.12
NARROWEST_M, WIDEST_M = 0.05, 1000.0
"""Least and most of the floor that a picture of a part of it may be wide. [m]"""

_FINE = 4
_FOOT_M, _REACH_M = 0.05, 0.25
"""How far the dark foot of a wall and its wide shade reach. [m]"""
_SHADE_M = 0.02
_MOST_SHADES = 1200
"""Grid on which walls shade: its least step, and most steps along a side. [m]"""


@dataclass(frozen=True)
class Part:
    """A part of the floor to be seen from above.

    Parameters
    ----------
    east_m, north_m : float
        Its middle, on the plan. [m]
    wide_m : float
        What the picture's width covers. [m]
    """

    east_m: float
    north_m: float
    wide_m: float


@dataclass(frozen=True)
class Sheet:
    """Where a picture from above, or a band of its rows, lies on the plan.

    Parameters
    ----------
    west_m, north_m : float
        North-west corner of the whole picture. [m]
    pixel_m : float
        Side of a pixel. [m]
    width_px, height_px : int
        Columns, and rows of this band.
    first_px : int
        Rows of the whole picture above this band.
    whole_px : int
        Rows of the whole picture; 0 if this is the whole.
    """

    west_m: float
    north_m: float
    pixel_m: float
    width_px: int
    height_px: int
    first_px: int = 0
    whole_px: int = 0

    def band(self, first_px: int, rows: int) -> Sheet:
        """Take some rows of the whole."""
        return replace(self, first_px=first_px, height_px=rows, whole_px=self.tall_px)

    @property
    def tall_px(self) -> int:
        """Rows of the whole picture."""
        return self.whole_px or self.height_px


def fitted(plan: FloorPlan, width_px: int, height_px: int) -> Sheet:
    """Fit the whole surface with its walls into a picture, a margin all round."""
    west, south, east, north = plan.bounds_m
    wide, high = east - west + 2 * WALL_M, north - south + 2 * WALL_M
    if not (math.isfinite(wide * high) and wide > 0.3 and high > 0.3):
        raise PictureError(
            "floor", found=f"{wide:g} x {high:g} m", expected="a surface to draw"
        )
    room = 1.0 - 2.0 * MARGIN
    pixel_m = max(wide / (width_px * room), high / (height_px * room))
    return _about(0.5 * (west + east), 0.5 * (south + north), pixel_m, width_px, height_px)


def cut_out(plan: FloorPlan, part: Part, width_px: int, height_px: int) -> Sheet:
    """Lay a picture over a part of the floor.

    Raises
    ------
    PictureError
        If the part has no possible width, or none of it is floor.
    """
    # written so that a NaN fails it
    if not NARROWEST_M <= part.wide_m <= WIDEST_M:
        least, most = NARROWEST_M / M_PER_FT, WIDEST_M / M_PER_FT
        raise PictureError(
            "width of the view",
            found=f"{part.wide_m / M_PER_FT:.4g} ft",
            expected=f"{least:.2g} to {most:.0f} ft",
        )
    pixel_m = part.wide_m / width_px
    sheet = _about(part.east_m, part.north_m, pixel_m, width_px, height_px)
    seen = shapely.box(
        sheet.west_m, sheet.north_m - height_px * pixel_m,
        sheet.west_m + part.wide_m, sheet.north_m,
    )  # fmt: skip
    if not (math.isfinite(sheet.west_m + sheet.north_m) and seen.intersects(plan.surface)):
        raise PictureError(
            "middle of the view",
            found=f"{part.east_m / M_PER_FT:.4g} ft east, "
            f"{part.north_m / M_PER_FT:.4g} ft north",
            expected="a place on the floor",
        )
    return sheet


def _about(
    east_m: float, north_m: float, pixel_m: float, width_px: int, height_px: int
) -> Sheet:
    return Sheet(
        west_m=east_m - 0.5 * width_px * pixel_m,
        north_m=north_m + 0.5 * height_px * pixel_m,
        pixel_m=pixel_m,
        width_px=width_px,
        height_px=height_px,
    )


def coverage(shape: shapely.Polygon, sheet: Sheet, fine: int = _FINE) -> Array:
    """Share of each pixel inside a shape, (H, W) in [0, 1], fine by fine points a pixel."""
    from PIL import Image, ImageDraw

    image = Image.new("L", (sheet.width_px * fine, sheet.height_px * fine), 0)
    pen = ImageDraw.Draw(image)
    scale = fine / sheet.pixel_m
    parts = shape.geoms if hasattr(shape, "geoms") else [shape]
    for part in parts:
        for ring, ink in ((part.exterior, 255), *((hole, 0) for hole in part.interiors)):
            # whole numbers, so that a band of rows is drawn as in the whole
            points = [
                (
                    math.floor((x - sheet.west_m) * scale - 0.5),
                    math.floor((sheet.north_m - y) * scale - 0.5) - sheet.first_px * fine,
                )
                for x, y in ring.coords
            ]
            pen.polygon(points, fill=ink)
    return np.asarray(image.reduce(fine), dtype=np.float32) / np.float32(255.0)


@dataclass(frozen=True, eq=False)
class WallShade:
    """Light that walls leave the floor at their foot, on a coarse grid of the plan.

    It depends on the place in metres, and is the same in a picture and its bands.
    """

    light: Array
    west_m: float
    north_m: float
    step_m: float

    def on(self, sheet: Sheet) -> Array:
        """At every pixel, (H, W), 1 in the open."""
        rows = sheet.first_px + np.arange(sheet.height_px) + 0.5
        down, below = self._between(self.north_m - sheet.north_m + rows * sheet.pixel_m, 0)
        columns = np.arange(sheet.width_px) + 0.5
        over, beyond = self._between(
            sheet.west_m - self.west_m + columns * sheet.pixel_m, 1
        )
        along = (
            self.light[down] * (1 - below[:, None]) + self.light[down + 1] * below[:, None]
        )
        shade = along[:, over] * (1 - beyond) + along[:, over + 1] * beyond
        return np.asarray(shade, dtype=np.float32)

    def _between(self, far_m: NDArray[Any], axis: int) -> tuple[NDArray[np.int64], Array]:
        """Grid rows before places, and how far beyond them the places are."""
        at = np.clip(far_m / self.step_m - 0.5, 0.0, self.light.shape[axis] - 1.001)
        before = at.astype(np.int64)
        return before, (at - before).astype(np.float32)


def wall_shade(surface: shapely.Polygon, sheet: Sheet) -> WallShade:
    """Work out the light that walls leave for a sheet and a little around it."""
    from PIL import Image, ImageFilter

    around = 3.5 * _REACH_M
    wide = sheet.width_px * sheet.pixel_m + 2 * around
    high = sheet.tall_px * sheet.pixel_m + 2 * around
    step = max(sheet.pixel_m, _SHADE_M, max(wide, high) / _MOST_SHADES)
    grid = Sheet(
        sheet.west_m - around, sheet.north_m + around, step,
        math.ceil(wide / step) + 1, math.ceil(high / step) + 1,
    )  # fmt: skip
    inside = Image.fromarray(np.round(coverage(surface, grid, 2) * 255.0).astype(np.uint8))

    def open_to(reach_m: float) -> Array:
        seen = inside.filter(ImageFilter.GaussianBlur(max(0.5, reach_m / step)))
        return np.asarray(seen, dtype=np.float32) / np.float32(255.0)

    near, far = open_to(_FOOT_M), open_to(_REACH_M)
    lit = (0.70 + 0.30 * np.clip(2.0 * near - 1.0, 0.0, 1.0)) * (0.80 + 0.20 * far)
    return WallShade(lit.astype(np.float32), grid.west_m, grid.north_m, step)
