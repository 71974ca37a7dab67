"""A floor from above before anything is poured: all that no pour changes, kept for all.

Kept: which pixels show floor, what is wall and how walls shade it, and what a coat
mirrors there. Another pour or color draws and mirrors nothing of this again.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np
import shapely
from numpy.typing import NDArray

from kit.look.compiled import Grid, loop, prange
from kit.look.kept import Packed, packed, strips_of
from kit.look.overhead import Hung, SheetFrame, fill_slopes, hung_over, mirrored
from kit.look.relief import Grit
from kit.look.sheet import WALL_M, Sheet, WallShade, coverage, wall_shade
from kit.look.strip import N
from kit.look.tone import screen

Array = NDArray[np.float32]

PLASTER = (0.830, 0.812, 0.780)
WALL = (0.110, 0.106, 0.098)
"""Linear sRGB of the paper ground and of cut walls."""

MOODS = {
    # warmth of the light as linear sRGB, exposure
    "day": ((1.0, 1.0, 1.0), 3.0),
    "evening": ((1.10, 0.985, 0.83), 2.1),
}
POWER, HELD = 1.6, 0.25
"""Contrast in the shadows, and how early highlights are held back, see `tone.expose`."""
SMOOTH_KEEPS, GRAINED_KEEPS = 0.09, 0.85
"""Part of a coat's squared roughness that is its own, however near one looks: a grain
wears as dull a skin as the coat about it; by eye."""
CORE, HAZY = 0.5, 0.014
"""Roughness that blurs an edge seen close in a clear coat, over that of its gloss units,
and the roughness from which on it is all of it. Units count haze, peel and specks of dust
too, which pale a mirror image and leave its edges; by eye."""
MOST_COATS = 8
MOST_KEPT_PX = 1_500_000
"""Pixels of the largest sheet that is kept for the next pour: a stage, and no print."""
_SHEETS_KEPT = 4


@dataclass(frozen=True, eq=False)
class Bare:
    """A floor on a sheet, ready to be poured on in any colors, coat and light.

    Parameters
    ----------
    cover, wall : (H, W) float32 arrays
        Share of a pixel that is floor, and that is floor or wall.
    pixels : (N,) int32 array
        Pixels that show floor, row times width plus column.
    light : Packed, (strips, 1, N)
        Light that walls leave times cover.
    edges : (E, 2, N) float32 array
        For strips that are not all floor: what is none, and its part of wall.
    edge_of : (strips,) int32 array
        Which of the edges belongs to a strip; -1 for none.
    hung : Hung
        What the coat mirrors.
    """

    sheet: Sheet
    cover: Array
    wall: Array
    pixels: NDArray[np.int32]
    light: Packed
    edges: Array
    edge_of: NDArray[np.int32]
    hung: Hung
    coats: dict[tuple[float, float, Grit], NDArray[np.uint16]] = field(default_factory=dict)
    slopes: dict[Grit, Array] = field(default_factory=dict)
    grounds: dict[str, NDArray[np.uint8]] = field(default_factory=dict)

    @property
    def size_px(self) -> tuple[int, int]:
        """Width and height."""
        return self.sheet.width_px, self.sheet.height_px

    @property
    def floor_pixels(self) -> NDArray[np.int32]:
        """Pixels that show floor."""
        return self.pixels

    def around(self, mood: str) -> Array:
        """Light (2, 3) of the paper, and of cut walls, as exposed for a mood."""
        exposure = MOODS[mood][1]
        return np.array([PLASTER, WALL], dtype=np.float32) * np.float32(0.92 / exposure)

    def ground(self, mood: str) -> NDArray[np.uint8]:
        """The picture (H, W, 3) without its floor; not to be written to."""
        if mood not in self.grounds:
            exposure, around = MOODS[mood][1], self.around(mood)
            parts = np.linspace(0.0, 1.0, 256, dtype=np.float32)
            light = around[0] + parts[:, None] * (around[1] - around[0])
            told = screen(light[None], exposure, POWER, HELD)[0]
            parted = np.round(self.wall * 255.0).astype(np.uint8)
            self.grounds[mood] = np.take(told, parted, axis=0)
        return self.grounds[mood]

    def coat(self, alpha: float, index: float, grit: Grit) -> NDArray[np.uint16]:
        """What the coat mirrors at each floor pixel, (strips, N), see `mirrored`."""
        key = (alpha, index, grit)
        if key not in self.coats:
            if len(self.coats) >= MOST_COATS:
                self.coats.clear()
            out = np.empty((len(self.edge_of), N), dtype=np.uint16)
            keeps = GRAINED_KEEPS if grit.per_m2 else SMOOTH_KEEPS
            rough = self.hung.edged(alpha, CORE, HAZY)
            mirrored(self._sloped(grit), rough, index, self.hung.over(alpha), keeps, out)
            self.coats[key] = out
        return self.coats[key]

    def _sloped(self, grit: Grit) -> Array:
        """Slopes at which the coat sees straight up, see `overhead.fill_slopes`."""
        if grit not in self.slopes:
            out = np.empty((len(self.edge_of), 4, N), dtype=np.float32)
            hung = self.hung
            fill_slopes(
                self.pixels, framed(self.sheet), grit, hung.across, hung.along,
                hung.lowest_m, out,
            )  # fmt: skip
            self.slopes[grit] = out
        return self.slopes[grit]


def framed(sheet: Sheet, fine: int = 1) -> SheetFrame:
    """A sheet as the kernels read it, or the places in its pixels, `fine` a side."""
    return SheetFrame(
        sheet.west_m, sheet.north_m, sheet.pixel_m / fine, sheet.width_px * fine,
        sheet.tall_px * fine, sheet.first_px * fine,
    )  # fmt: skip


def bare_floor(surface: shapely.Polygon, sheet: Sheet) -> Bare:
    """Draw a floor's walls on a sheet, unless that was done for a pour before."""
    if sheet.width_px * sheet.height_px > MOST_KEPT_PX:
        return bare_band(surface, sheet, wall_shade(surface, sheet))
    return _kept(surface, sheet)


@lru_cache(maxsize=_SHEETS_KEPT)
def _kept(surface: shapely.Polygon, sheet: Sheet) -> Bare:
    return bare_band(surface, sheet, wall_shade(surface, sheet))


def bare_band(surface: shapely.Polygon, sheet: Sheet, shade: WallShade) -> Bare:
    """Draw the walls on a sheet, or on a band of it, with the shade of the whole."""
    solid = shapely.Polygon(surface.exterior)  # columns are cut through like walls
    wall = coverage(solid.buffer(WALL_M, join_style="mitre"), sheet)
    wide_m = sheet.pixel_m * max(sheet.width_px, sheet.tall_px)
    return bare(sheet, coverage(surface, sheet), wall, shade.on(sheet), hung_over(wide_m))


def bare(sheet: Sheet, cover: Array, wall: Array, shade: Array, hung: Hung) -> Bare:
    """Keep what is known of a sheet's walls.

    Parameters
    ----------
    cover, wall, shade : (H, W) float32 arrays
        Share of a pixel that is floor; that is floor or wall; light that walls leave.
    """
    pixels = np.flatnonzero(cover > 0.0).astype(np.int32)
    strips = strips_of(len(pixels))
    light = np.zeros((strips, 1, N), np.float32)
    edges = np.zeros((strips, 2, N), np.float32)
    edged = np.zeros(strips, np.bool_)
    _meet_walls(cover.ravel(), wall.ravel(), shade.ravel(), pixels, light, edges, edged)
    return Bare(
        sheet, cover, wall, pixels, packed(light, np.ones(1)), edges[edged],
        np.where(edged, np.cumsum(edged) - 1, -1).astype(np.int32), hung,
    )  # fmt: skip


@loop
def _meet_walls(
    cover: Grid, wall: Grid, shade: Grid, pixels: Grid, lit: Grid, edges: Grid, edged: Grid,
) -> None:  # fmt: skip
    """Fill light that walls leave (strips, 1, N), edges (strips, 2, N), and who has any."""
    for strip in prange(len(lit)):
        light, rest, walled = lit[strip, 0], edges[strip, 0], edges[strip, 1]
        most = np.float32(0.0)
        for i in range(min(N, len(pixels) - strip * N)):
            at = pixels[strip * N + i]
            rest[i] = np.float32(1.0) - cover[at]
            walled[i] = wall[at] * rest[i]
            light[i] = shade[at] * cover[at]
            most = max(most, rest[i])
        edged[strip] = most > np.float32(0.0)
