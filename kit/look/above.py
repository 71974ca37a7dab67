"""The whole floor from above, true to plan, as a photographer would light it.

One large soft light up left, even light from all round, and a pair of long
soft panes overhead whose mirror image tells matte from gloss.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

import numpy as np
import shapely
from numba import prange
from numpy.typing import NDArray

from kit.errors import PictureError
from kit.look.compiled import Grid, formula, loop
from kit.look.grain import fill_glints, peel
from kit.look.optics import fresnel, slope_box
from kit.look.paints import Paints
from kit.look.shade import painted
from kit.plan.floor import FloorPlan
from kit.pour.film import Film

Array = NDArray[np.float32]

MARGIN = 0.04
WALL_M = 0.12
PLASTER = (0.730, 0.708, 0.672)
WALL = (0.455, 0.440, 0.415)
"""Linear sRGB of the paper ground and of cut walls."""

MOODS = {
    # warmth of the light as linear sRGB, exposure
    "day": ((1.0, 1.0, 1.0), 1.9),
    "evening": ((1.10, 0.985, 0.83), 1.55),
}
POWER = 1.18
MOST_COATS = 8


@dataclass(frozen=True)
class Sheet:
    """Where a picture from above lies on the plan."""

    west_m: float
    north_m: float
    pixel_m: float
    width_px: int
    height_px: int


@dataclass(frozen=True, eq=False)
class AboveView:
    """What is kept of a view from above: film and walls, and the coats it was seen in.

    Parameters
    ----------
    cover, wall, shade : (H, W) float32 arrays
        Share of a pixel that is floor, that is floor or wall, and the light
        that walls leave on the floor.
    """

    sheet: Sheet
    film: Film
    glints: Array
    cover: Array
    wall: Array
    shade: Array
    samples: int
    kept: dict[tuple[float, float, float], Array] = field(default_factory=dict)

    @cached_property
    def needed(self) -> NDArray[np.bool_]:
        """Film places that are seen."""
        seen = self.cover > 0.0
        return np.repeat(np.repeat(seen, self.samples, 0), self.samples, 1).ravel()

    def lit(
        self, paints: Paints, alpha: float, index: float, texture_um: float, mood: str
    ) -> tuple[Array, float, float]:
        """Linear light (H, W, 3), exposure and power of the picture."""
        sheet = self.sheet
        key = (alpha, index, texture_um)
        if key not in self.kept:
            if len(self.kept) >= MOST_COATS:
                self.kept.clear()
            size = (sheet.height_px, sheet.width_px)
            self.kept[key] = coat_veil(size, sheet.pixel_m, alpha, index, texture_um * 1e-6)
        light = lit_film(
            self.film, self.glints, paints, self.samples, index, mood, self.kept[key],
            (self.shade, self.cover, self.wall), self.needed,
        )  # fmt: skip
        return light, MOODS[mood][1], POWER


def lit_film(
    film: Film, glints: Array, paints: Paints, samples: int, index: float, mood: str,
    veil: Array, walls: tuple[Array, Array, Array], needed: NDArray[np.bool_],
) -> Array:  # fmt: skip
    """Light a film seen straight down under its coat, (H, W, 3) linear.

    Parameters
    ----------
    veil : (H, W) array
        From `coat_veil`.
    walls : three (H, W) arrays
        Shade, cover, wall, see `AboveView`.
    """
    warmth, exposure = MOODS[mood]
    around = np.array([PLASTER, WALL], dtype=np.float32) * np.float32(0.8 / exposure)
    out = np.empty((*veil.shape, 3), dtype=np.float32)
    _light(
        painted(film, paints, index, needed), film.lean.reshape(2, -1), glints, samples,
        np.array(warmth), index, veil, *walls, around, out,
    )  # fmt: skip
    return out


def coat_veil(
    size_px: tuple[int, int], pixel_m: float, alpha: float, index: float, texture_m: float,
    panes: float = 1.0,
) -> Array:  # fmt: skip
    """What the coat mirrors, (H, W), with its `panes` as strong as asked."""
    out = np.empty(size_px, dtype=np.float32)
    _coat(out, pixel_m, alpha, index, texture_m, panes)
    return out


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
    return Sheet(
        west_m=0.5 * (west + east) - 0.5 * width_px * pixel_m,
        north_m=0.5 * (south + north) + 0.5 * height_px * pixel_m,
        pixel_m=pixel_m,
        width_px=width_px,
        height_px=height_px,
    )


def view_above(
    poured: Any, plan: FloorPlan, width_px: int, height_px: int, samples: int
) -> AboveView:
    """Ask the pour for its film once and draw the walls."""
    sheet = fitted(plan, width_px, height_px)
    fine_m = sheet.pixel_m / samples
    wide, high = width_px * samples, height_px * samples
    film = poured.film_grid(
        west_m=sheet.west_m,
        north_m=sheet.north_m,
        pixel_m=fine_m,
        width_px=wide,
        height_px=high,
    )
    cover = coverage(plan.surface, sheet)
    solid = shapely.Polygon(plan.surface.exterior)  # columns are cut through like walls
    wall = coverage(solid.buffer(WALL_M, join_style="mitre"), sheet)
    glints = np.empty(wide * high, dtype=np.float32)
    x = (sheet.west_m + (np.arange(wide) + 0.5) * fine_m).astype(np.float64)
    y = (sheet.north_m - (np.arange(high) + 0.5) * fine_m).astype(np.float64)
    grid_x, grid_y = np.meshgrid(x, y)
    foot = np.full(wide * high, fine_m)
    fill_glints(grid_x.ravel(), grid_y.ravel(), foot, 0.35, glints)
    return AboveView(sheet, film, glints, cover, wall, _wall_shade(cover, sheet), samples)


def coverage(shape: shapely.Polygon, sheet: Sheet) -> Array:
    """Share of each pixel inside a shape, (H, W) in [0, 1], four by four points a pixel."""
    from PIL import Image, ImageDraw

    fine = 4
    size = (sheet.width_px * fine, sheet.height_px * fine)
    image = Image.new("L", size, 0)
    pen = ImageDraw.Draw(image)
    scale = fine / sheet.pixel_m
    parts = shape.geoms if hasattr(shape, "geoms") else [shape]
    for part in parts:
        for ring, ink in ((part.exterior, 255), *((hole, 0) for hole in part.interiors)):
            points = [
                ((x - sheet.west_m) * scale - 0.5, (sheet.north_m - y) * scale - 0.5)
                for x, y in ring.coords
            ]
            pen.polygon(points, fill=ink)
    small = image.resize((sheet.width_px, sheet.height_px), Image.Resampling.BOX)
    return np.asarray(small, dtype=np.float32) / np.float32(255.0)


def _wall_shade(cover: Array, sheet: Sheet) -> Array:
    """Light that walls take from the floor at their foot, (H, W), 1 in the open."""
    from PIL import Image, ImageFilter

    inside = Image.fromarray(np.round(cover * 255.0).astype(np.uint8))
    near = inside.filter(ImageFilter.GaussianBlur(max(0.5, 0.05 / sheet.pixel_m)))
    far = inside.filter(ImageFilter.GaussianBlur(max(0.5, 0.25 / sheet.pixel_m)))
    open_near = np.asarray(near, dtype=np.float32) / np.float32(255.0)
    open_far = np.asarray(far, dtype=np.float32) / np.float32(255.0)
    lit = (0.70 + 0.30 * np.clip(2.0 * open_near - 1.0, 0.0, 1.0)) * (
        0.80 + 0.20 * open_far
    )
    return np.asarray(lit, dtype=np.float32)


@loop
def _light(
    colours: Grid, lean: Grid, glints: Grid, samples: int, warmth: Grid, index: float,
    veil: Grid, shade: Grid, cover: Grid, wall: Grid, around: Grid, out: Grid,
) -> None:  # fmt: skip
    """Fill `out` (H, W, 3): film boxed over its samples, coat, walls, ground."""
    height, width, _ = out.shape
    through = 1.0 - fresnel(1.0, index)
    for row in prange(height):
        light = np.empty(3)
        for col in range(width):
            share = cover[row, col]
            for c in range(3):
                light[c] = 0.0
            if share > 0.0:
                _add_film(colours, lean, glints, samples, row, col, width * samples, light)
            for c in range(3):
                coated = light[c] * through / (samples * samples) + veil[row, col]
                floor = coated * warmth[c] * shade[row, col]
                beyond = around[0, c] + wall[row, col] * (around[1, c] - around[0, c])
                out[row, col, c] = floor * share + beyond * (1.0 - share)


@formula
def _add_film(
    colours: Grid, lean: Grid, glints: Grid, samples: int, row: int, col: int, fine: int,
    light: Grid,
) -> None:  # fmt: skip
    """Add to `light` (3,) what the places of one pixel send up under the soft lights."""
    # slopes of flakes that mirror the soft light, and a weaker one opposite
    key_x, key_y, back_x, back_y = 0.16, -0.18, -0.30, 0.22
    for sub in range(samples * samples):
        i = (row * samples + sub // samples) * fine + col * samples + sub % samples
        key2 = (lean[0, i] - key_x) ** 2 + (lean[1, i] - key_y) ** 2
        back2 = (lean[0, i] - back_x) ** 2 + (lean[1, i] - back_y) ** 2
        sharp = 1.0 / ((1.0 + key2 * 14.8) * (1.0 + key2 * 14.8))
        broad = 1.0 / ((1.0 + key2 * 2.78) * (1.0 + key2 * 2.78))
        back = 1.0 / ((1.0 + back2 * 11.1) * (1.0 + back2 * 11.1))
        mirrored = (1.70 * sharp + 0.16 * broad + 0.16 * back + 0.05) * glints[i]
        off = 0.30 * (1.0 - broad)
        for c in range(3):
            body = 1.35 * colours[i, c] + off * colours[i, 6 + c]
            light[c] += body + mirrored * colours[i, 3 + c]


@loop
def _coat(
    out: Grid, pixel_m: float, alpha: float, index: float, texture_m: float,
    strength: float,
) -> None:  # fmt: skip
    """Fill `out` (H, W): even grey from all round and two long panes overhead."""
    height, width = out.shape
    far = 1.1 * pixel_m * max(width, height)
    mirror = fresnel(1.0, index)
    for row in prange(height):
        for col in range(width):
            x = (col - 0.5 * width) * pixel_m
            y = (0.5 * height - row) * pixel_m
            px, py, lost = peel(x, y, pixel_m)
            rough2 = alpha * alpha + 2.0 * lost + 2.5e-5 + (texture_m * 300.0) ** 2
            rough = math.sqrt(rough2)
            sx, sy = x / far * 0.5 + px, y / far * 0.5 + py
            u = (0.82 * sx + 0.57 * sy) / rough
            v = (-0.57 * sx + 0.82 * sy) / rough
            left, right = u - 0.05 / rough, u + 0.35 / rough
            panes = slope_box(left, right, v - 0.215 / rough, v - 0.135 / rough)
            panes += slope_box(left, right, v - 0.105 / rough, v - 0.025 / rough)
            haze = 1.0 - math.exp(-8.0 * rough)
            out[row, col] = mirror * (0.04 + 0.62 * haze + 1.6 * strength * panes)
