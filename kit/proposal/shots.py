"""The floor's pictures as the paper prints them: which, how large, how cut."""

from __future__ import annotations

from io import BytesIO
from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

from kit.plan.floor import FloorPlan
from kit.press.accent import Srgb
from kit.press.drawing import WALL_M, wall_over_picture_m, walls_only
from kit.press.page import GUTTER_PT, SIDE_PT, Page, Picture
from kit.proposal.shown import Pour

PX_PER_IN = 200
ROOM_PX = (2000, 1500)
DESIGN_PX = (760, 486)
"""Half the width of the matter, at the resolution of print."""
POUR_TALL_PT = 250.0
CHIP_TALL_PT = 50.0
CHIP_LEAST_PX = 48
LOWEST = 0.4
"""Share of a room's picture, from the top, above which the floor is not looked for."""


class Looks(Protocol):
    """Whoever can show the floor, such as `kit.job.Pictures`."""

    @property
    def paints(self) -> Any: ...
    @property
    def shelf(self) -> Any: ...
    def shown(
        self, view: Any, finish: str, *, width_px: int, height_px: int, samples: int
    ) -> Any: ...


def room_pair(
    looks: Looks, finishes: tuple[str, ...], alts: tuple[str, ...]
) -> list[Picture]:
    """See the floor in its largest room, in each finish, in the same light."""
    width, height = ROOM_PX
    seen = [
        looks.shown("room", finish, width_px=width, height_px=height, samples=1)
        for finish in finishes
    ]
    focus = reflection_at(seen[0].rgb, seen[-1].rgb)
    return [
        Picture(picture.jpeg(93), alt, focus=focus)
        for picture, alt in zip(seen, alts, strict=True)
    ]


def design_shot(looks: Looks, finish: str, *, alt: str) -> Picture:
    """See a kept design in its largest room, small, as one of several."""
    width, height = DESIGN_PX
    seen = looks.shown("room", finish, width_px=width, height_px=height, samples=1)
    return Picture(seen.jpeg(93), alt)


def reflection_at(one: NDArray[np.uint8], other: NDArray[np.uint8]) -> float:
    """Where two finishes of one view differ most, as a share of the width.

    That is where the edge should part them: elsewhere the halves look alike.
    """
    low = round(one.shape[0] * LOWEST)
    apart = np.abs(one[low:].astype(np.float32) - other[low:].astype(np.float32))
    columns = apart.mean(axis=(0, 2))
    reach = max(1, len(columns) // 12)
    smooth = np.convolve(columns, np.ones(reach) / reach, mode="same")
    if smooth.max() <= 0.0:
        return 0.5
    return float((int(np.argmax(smooth)) + 0.5) / len(columns))


def pour_within_walls(
    looks: Looks,
    plan: FloorPlan,
    finish: str,
    *,
    page: Page,
    alt: str,
    tall_pt: float = POUR_TALL_PT,
) -> Pour:
    """See the whole floor from above, cut to its walls, which are drawn over it."""
    west, south, east, north = plan.bounds_m
    wide, high = east - west + 2 * WALL_M, north - south + 2 * WALL_M
    pt_per_m = min(page.wide_pt / wide, tall_pt / high)
    walls = walls_only(plan, pt_per_m)
    px_per_m = pt_per_m * PX_PER_IN / 72
    width_px, height_px = (
        max(64, round(length * 1.12 * px_per_m)) for length in (wide, high)
    )
    picture = looks.shown(
        "above", finish, width_px=width_px, height_px=height_px, samples=2
    )
    cut = _cut(picture.rgb, plan, wall_over_picture_m(pt_per_m))
    return Pour(Picture(cut, alt), walls)


def chip(
    looks: Looks,
    pigment: str,
    tint: str,
    finish: str,
    *,
    part: float,
    page: Page,
    alt: str,
) -> tuple[Picture, Srgb]:
    """See one colour alone on the seal coat in a finish, and the mean of what is seen.

    ``part`` is its share of the strip of chips, which is as wide as the matter of a page.
    """
    from kit.look.sight import paints_for, swatch

    shelf = looks.shelf
    colour, coat = shelf.pigment(pigment), shelf.finish(finish, about="finish")
    wide_pt = page.width_pt - SIDE_PT - page.edge_pt - GUTTER_PT
    seen = swatch(
        paints_for((colour,), shelf.tint(tint)),
        coat,
        width_px=max(CHIP_LEAST_PX, round(part * wide_pt / 72 * PX_PER_IN)),
        height_px=round(CHIP_TALL_PT / 72 * PX_PER_IN),
        index=shelf.product(coat.product).index,
    )
    red, green, blue = (round(float(c)) for c in seen.rgb.mean(axis=(0, 1)))
    return Picture(seen.jpeg(93), alt), (red, green, blue)


def _cut(rgb: NDArray[np.uint8], plan: FloorPlan, wall_m: float) -> bytes:
    """White beyond the walls, cropped to them."""
    from PIL import Image

    from kit.look.sheet import coverage, fitted

    height, width, _ = rgb.shape
    sheet = fitted(plan, width, height)
    inside = coverage(plan.surface.buffer(wall_m / 2, join_style="mitre"), sheet)[..., None]
    on_white = rgb * inside + 255.0 * (1.0 - inside)
    west, south, east, north = plan.bounds_m
    box = (
        round((west - wall_m - sheet.west_m) / sheet.pixel_m),
        round((sheet.north_m - north - wall_m) / sheet.pixel_m),
        round((east + wall_m - sheet.west_m) / sheet.pixel_m),
        round((sheet.north_m - south + wall_m) / sheet.pixel_m),
    )
    out = BytesIO()
    Image.fromarray(np.round(on_white).astype(np.uint8)).crop(box).save(out, "PNG")
    return out.getvalue()
