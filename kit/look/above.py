"""The whole floor from above, true to plan, as a photographer would light it.

One large soft light up left, even light from all round, and a pair of long
soft panes overhead whose mirror image tells matte from gloss.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from kit.look.compiled import Grid, formula, inlined, loop, prange
from kit.look.kept import Packed, packed, packed_film, strips_of, unpack
from kit.look.mixture import Mixture, mixture_of
from kit.look.near import add_ripples, are_even, fill_glints, grid_of
from kit.look.optics import fresnel
from kit.look.overhead import (
    KEY,
    MIRROR_STEP,
    Hung,
    SheetFrame,
    fill_slopes,
    hung_over,
    middle_of,
    mirrored,
)
from kit.look.paints import Paints
from kit.look.relief import Grit
from kit.look.sheet import WALL_M, Sheet, WallShade, coverage, wall_shade
from kit.look.strip import CHUNK, OWN, RED, SIZE, N, add_flakes, scatter
from kit.look.tone import CODES, expose, screen, write_codes
from kit.plan.floor import FloorPlan
from kit.pour.film import Film

Array = NDArray[np.float32]

PLASTER = (0.830, 0.812, 0.780)
WALL = (0.110, 0.106, 0.098)
"""Linear sRGB of the paper ground and of cut walls."""

MOODS = {
    # warmth of the light as linear sRGB, exposure
    "day": ((1.0, 1.0, 1.0), 1.9),
    "evening": ((1.10, 0.985, 0.83), 1.55),
}
POWER = 1.18
SMOOTH_KEEPS, GRAINED_KEEPS = 0.09, 0.85
"""Part of a coat's squared roughness that is its own, however near one looks: a grain
wears as dull a skin as the coat about it; by eye."""
MOST_COATS = 8
BODY = 1.35
"""Weight of scattered light."""
BRIGHTEST = (16.0, 0.3)
"""Most light that a place's flakes are kept to mirror, and that meets them aslant."""

_BACK = (-0.30, 0.22)
"""Slope of what mirrors a weaker light opposite the soft one."""
_LIT = OWN
_F = np.float32


@dataclass(frozen=True, eq=False)
class AboveView:
    """What is kept of a view from above: all that no colour, coat or mood changes.

    Parameters
    ----------
    cover, wall : (H, W) float32 arrays
        Share of a pixel that is floor, and that is floor or wall.
    pixels : (N,) int32 array
        Pixels that show floor, row times width plus column.
    film : Packed, (strips, S, F, N)
        See `kept.film_strips`.
    flakes : Packed, (strips, S, 2, N)
        How flakes meet the soft lights: what they mirror, what meets them aslant.
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
    film: Packed
    flakes: Packed
    light: Packed
    edges: Array
    edge_of: NDArray[np.int32]
    colours: int
    hung: Hung
    coats: dict[tuple[float, float, Grit], NDArray[np.uint16]] = field(default_factory=dict)
    slopes: dict[Grit, Array] = field(default_factory=dict)
    grounds: dict[str, NDArray[np.uint8]] = field(default_factory=dict)

    def shown(
        self, paints: Paints, alpha: float, index: float, grit: Grit, mood: str
    ) -> NDArray[np.uint8]:
        """Eight-bit sRGB (H, W, 3)."""
        warmth, exposure = MOODS[mood]
        if mood not in self.grounds:
            self.grounds[mood] = self._ground(mood)
        out = self.grounds[mood].copy()
        _show(
            self.film, self.flakes, self.light, self.edges, self.edge_of,
            self.coat(alpha, index, grit), self.pixels,
            mixture_of(paints, index), 1.0 - fresnel(1.0, index),
            np.array(warmth, dtype=np.float32), self.around(mood), exposure, CODES,
            out.reshape(-1),
        )  # fmt: skip
        return out

    @property
    def size_px(self) -> tuple[int, int]:
        """Width and height."""
        return self.sheet.width_px, self.sheet.height_px

    @property
    def strips(self) -> Packed:
        """The film, to be painted."""
        return self.film

    @property
    def floor_pixels(self) -> NDArray[np.int32]:
        """Pixels that show floor."""
        return self.pixels

    def around(self, mood: str) -> Array:
        """Light (2, 3) of the paper, and of cut walls, as exposed for a mood."""
        exposure = MOODS[mood][1]
        return np.array([PLASTER, WALL], dtype=np.float32) * np.float32(0.8 / exposure)

    def _ground(self, mood: str) -> NDArray[np.uint8]:
        """The picture without its floor."""
        exposure, around = MOODS[mood][1], self.around(mood)
        parts = np.linspace(0.0, 1.0, 256, dtype=np.float32)
        light = around[0] + parts[:, None] * (around[1] - around[0])
        told = screen(light[None], exposure, POWER)[0]
        return np.take(told, np.round(self.wall * 255.0).astype(np.uint8), axis=0)

    def coat(self, alpha: float, index: float, grit: Grit) -> NDArray[np.uint16]:
        """What the coat mirrors at each floor pixel, (strips, N), see `mirrored`."""
        key = (alpha, index, grit)
        if key not in self.coats:
            if len(self.coats) >= MOST_COATS:
                self.coats.clear()
            out = np.empty((len(self.edge_of), N), dtype=np.uint16)
            keeps = GRAINED_KEEPS if grit.per_m2 else SMOOTH_KEEPS
            mirrored(self._sloped(grit), alpha, index, self.hung.over(alpha), keeps, out)
            self.coats[key] = out
        return self.coats[key]

    def _sloped(self, grit: Grit) -> Array:
        """Slopes at which the coat sees straight up, see `overhead.fill_slopes`."""
        if grit not in self.slopes:
            out = np.empty((len(self.edge_of), 4, N), dtype=np.float32)
            hung = self.hung
            fill_slopes(
                self.pixels, _frame(self.sheet), grit, hung.across, hung.along,
                hung.lowest_m, out,
            )  # fmt: skip
            self.slopes[grit] = out
        return self.slopes[grit]


def _frame(sheet: Sheet, fine: int = 1) -> SheetFrame:
    """A sheet as the kernels read it, or the places in its pixels, `fine` a side."""
    return SheetFrame(
        sheet.west_m, sheet.north_m, sheet.pixel_m / fine, sheet.width_px * fine,
        sheet.tall_px * fine, sheet.first_px * fine,
    )  # fmt: skip


def view_above(poured: Any, plan: FloorPlan, sheet: Sheet, samples: int) -> AboveView:
    """Ask the pour for its film once and draw the walls."""
    return view_band(poured, plan, sheet, samples, wall_shade(plan.surface, sheet))


def view_band(
    poured: Any, plan: FloorPlan, sheet: Sheet, samples: int, shade: WallShade
) -> AboveView:
    """View a sheet, or a band of its rows, with the shade that was worked out for all."""
    fine_m = sheet.pixel_m / samples
    film = poured.film_grid(
        west_m=sheet.west_m,
        north_m=sheet.north_m - sheet.first_px * sheet.pixel_m,
        pixel_m=fine_m,
        width_px=sheet.width_px * samples,
        height_px=sheet.height_px * samples,
    )
    cover = coverage(plan.surface, sheet)
    solid = shapely.Polygon(plan.surface.exterior)  # columns are cut through like walls
    wall = coverage(solid.buffer(WALL_M, join_style="mitre"), sheet)
    wide_m = sheet.pixel_m * max(sheet.width_px, sheet.tall_px)
    return kept_view(
        sheet, film, (cover, wall, shade.on(sheet)), hung_over(wide_m), samples
    )


def _seen(cover: Array, samples: int) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Pixels that show floor, and their places (S, K) in the film."""
    pixels = np.flatnonzero(cover > 0.0)
    if samples == 1:
        return pixels, pixels[None]
    row, col = np.divmod(pixels, cover.shape[1])
    sub = np.arange(samples * samples)[:, None]
    down, over = row * samples + sub // samples, col * samples + sub % samples
    return pixels, down * (cover.shape[1] * samples) + over


def kept_view(
    sheet: Sheet, film: Film, walls: tuple[Array, Array, Array], hung: Hung,
    samples: int = 1,
) -> AboveView:  # fmt: skip
    """Keep what is seen of a film laid out as a sheet.

    Parameters
    ----------
    walls : three (H, W) arrays
        Share of a pixel that is floor; that is floor or wall; light that walls leave.
    """
    cover, wall, shade = walls
    pixels, places = _seen(cover, samples)
    strips = strips_of(len(pixels))
    flakes = np.zeros((strips, len(places), 2, N), dtype=np.float32)
    fine = _frame(sheet, samples)
    _meet_lights(film.lean.reshape(2, -1), places, fine, flakes)
    lit, edges = np.zeros((strips, 1, N), np.float32), np.zeros((strips, 2, N), np.float32)
    edged = np.zeros(strips, np.bool_)
    _meet_walls(cover.ravel(), wall.ravel(), shade.ravel(), pixels, lit, edges, edged)
    return AboveView(
        sheet, cover, wall, pixels.astype(np.int32), packed_film(film, places),
        packed(flakes, np.array(BRIGHTEST)), packed(lit, np.ones(1)), edges[edged],
        np.where(edged, np.cumsum(edged) - 1, -1).astype(np.int32), len(film.shares), hung,
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


@loop
def _meet_lights(lean: Grid, places: Grid, fine: SheetFrame, out: Grid) -> None:
    """Fill `out` (strips, S, 2, N): light that flakes mirror, light that is off them."""
    size = fine.pixel_m
    level, blend = grid_of(size)
    side = 2.0**level
    samples, pixels = places.shape
    per_row = 1.0 / fine.width_px
    for strip in prange(len(out)):
        s = np.zeros((7, N), np.float32)
        x, y, slope_x, slope_y, towards, glint, room = (
            s[0],
            s[1],
            s[2],
            s[3],
            s[4],
            s[5],
            s[6],
        )
        count = min(N, pixels - strip * N)
        for sub in range(samples):
            light, off = out[strip, sub, 0], out[strip, sub, 1]
            at = places[sub, strip * N : strip * N + count]
            for i in range(count):
                x[i], y[i] = middle_of(fine, at[i], per_row)
                slope_x[i], slope_y[i] = lean[0, at[i]], lean[1, at[i]]
            add_ripples(x, y, size, slope_x, slope_y)
            for i in range(N):
                light[i], off[i], towards[i] = lights_on(slope_x[i], slope_y[i])
            if not are_even(size):
                fill_glints(x, y, size, level, side, blend, towards, room, glint)
                for i in range(N):
                    light[i] *= glint[i]


@inlined
def lights_on(slope_x: Any, slope_y: Any) -> tuple[Any, Any, Any]:
    """Light that flakes of a slope mirror, light that meets them aslant.

    The third number tells how squarely they lean at the soft light, in [0, 1].
    """
    key_x, key_y = slope_x - _F(KEY[0]), slope_y - _F(KEY[1])
    back_x, back_y = slope_x - _F(_BACK[0]), slope_y - _F(_BACK[1])
    key2, back2 = key_x * key_x + key_y * key_y, back_x * back_x + back_y * back_y
    sharp = _F(1.0) / (_F(1.0) + key2 * _F(14.8))
    broad = _F(1.0) / (_F(1.0) + key2 * _F(2.78))
    back = _F(1.0) / (_F(1.0) + back2 * _F(11.1))
    sharp, broad, back = sharp * sharp, broad * broad, back * back
    light = _F(1.70) * sharp + _F(0.16) * broad + _F(0.16) * back + _F(0.05)
    return light, _F(0.30) * (_F(1.0) - broad), sharp


@loop
def _show(
    film: Packed, flakes: Packed, light: Packed, edges: Grid, edge_of: Grid, veil: Grid,
    pixels: Grid, mix: Mixture, through: float, warmth: Grid, around: Grid,
    exposure: float, codes: Grid, out: Grid,
) -> None:  # fmt: skip
    """Fill `out` (H * W * 3,) where there is floor: film, coat, walls, screen."""
    strips, samples, rows, _ = film.rows.shape
    share = np.float32(through / samples)
    for chunk in prange((strips + CHUNK - 1) // CHUNK):
        s = np.empty(SIZE, dtype=np.float32)
        here = np.empty(rows * N, dtype=np.float32)
        met = np.empty(2 * N, dtype=np.float32)
        for strip in range(chunk * CHUNK, min((chunk + 1) * CHUNK, strips)):
            for c in range(3):
                for i in range(N):
                    s[_LIT + c * N + i] = np.float32(MIRROR_STEP) * np.float32(
                        veil[strip, i]
                    )
            for sub in range(samples):
                unpack(film.rows[strip, sub], film.step, here)
                unpack(flakes.rows[strip, sub], flakes.step, met)
                scatter(s, here, mix)
                body = share * np.float32(BODY)
                for i in range(3 * N):
                    s[_LIT + i] += body * s[RED + i]
                add_flakes(s, here, mix, met[:N], met[N:], share, _LIT)
            _shade(s, light.rows[strip, 0], light.step[0], warmth)
            if edge_of[strip] >= 0:
                _add_around(s, edges[edge_of[strip]], around)
            expose(s, _LIT, exposure, POWER, 0.0)
            write_codes(
                s, _LIT, pixels, strip * N, min(N, len(pixels) - strip * N), codes, out
            )


@formula
def _shade(s: Grid, light: Grid, step: Any, warmth: Grid) -> None:
    """Take from the light what walls take, and tint it."""
    for c in range(3):
        tint, at = step * warmth[c], _LIT + c * N
        for i in range(N):
            s[at + i] *= tint * np.float32(light[i])


@formula
def _add_around(s: Grid, edge: Grid, around: Grid) -> None:
    """Add what of a pixel is no floor: paper, and wall."""
    for c in range(3):
        paper, wall, at = around[0, c], around[1, c] - around[0, c], _LIT + c * N
        for i in range(N):
            s[at + i] += edge[0, i] * paper + edge[1, i] * wall
