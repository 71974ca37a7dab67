"""Where a picture from above lies on the plan, and what of it is floor and wall."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from kit.errors import PictureError
from kit.plan.floor import FloorPlan

Array = NDArray[np.float32]

MARGIN = 0.04
WALL_M = 0.12


@dataclass(frozen=True)
class Sheet:
    """Where a picture from above lies on the plan."""

    west_m: float
    north_m: float
    pixel_m: float
    width_px: int
    height_px: int


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


def wall_shade(cover: Array, sheet: Sheet) -> Array:
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
