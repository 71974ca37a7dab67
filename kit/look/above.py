"""The whole floor from above, true to plan, as a photographer would light it.

One large soft light up left, even light from all round, and a pair of long
soft panes overhead whose mirror image tells matte from gloss.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from kit.lanes import room_for
from kit.look.bare import HELD, MOODS, POWER, Bare, bare_band, bare_floor, framed
from kit.look.compiled import Grid, formula, inlined, loop, prange
from kit.look.kept import Packed, packed, packed_film, strips_of, unpack
from kit.look.mixture import Mixture, mixture_of
from kit.look.near import add_ripples, are_even, fill_glints, grid_of
from kit.look.optics import fresnel
from kit.look.overhead import KEY, MIRROR_STEP, SheetFrame, middle_of
from kit.look.paints import Paints
from kit.look.relief import Grit
from kit.look.sheet import Sheet, WallShade
from kit.look.strip import CHUNK, OWN, RED, SIZE, N, add_flakes, scatter
from kit.look.tone import CODES, expose, write_codes
from kit.plan.floor import FloorPlan
from kit.pour.film import Film

Array = NDArray[np.float32]

BODY = 1.0
"""Weight of scattered light."""
BRIGHTEST = (16.0, 0.3)
"""Most light that a place's flakes are kept to mirror, and that meets them aslant."""

NEAR_M = 1e-3
"""In pixels finer than this single flakes stand out. [m]"""
DULL = 0.08
"""Roughness from which on a coat spreads the glint of a flake over its whole glow."""
_BACK = (-0.30, 0.22)
"""Slope of what mirrors a weaker light opposite the soft one."""
_LIT = OWN
_F = np.float32


@dataclass(frozen=True, eq=False)
class AboveView:
    """A floor poured on its sheet, as seen from above: all that no color changes.

    Parameters
    ----------
    bare : Bare
        The sheet before it was poured on.
    film : Packed, (strips, S, F, N)
        See `kept.film_strips`.
    flakes : Packed, (strips, S, 2, N)
        How flakes meet the soft lights: what they mirror, what meets them aslant.
    dull : Packed, optional
        The same without glints, in pixels finer than `NEAR_M`.
    """

    bare: Bare
    film: Packed
    flakes: Packed
    colours: int
    dull: Packed | None = None

    def flakes_under(self, alpha: float) -> Packed:
        """Flakes as a coat so rough shows them: a dull one spreads every glint."""
        return self.dull if self.dull is not None and alpha > DULL else self.flakes

    def shown(
        self, paints: Paints, alpha: float, index: float, grit: Grit, mood: str
    ) -> NDArray[np.uint8]:
        """Eight-bit sRGB (H, W, 3)."""
        here = self.bare
        warmth, exposure = MOODS[mood]
        out = here.ground(mood).copy()
        _show(
            self.film, self.flakes_under(alpha), here.light, here.edges, here.edge_of,
            here.coat(alpha, index, grit), here.pixels,
            mixture_of(paints, index), 1.0 - fresnel(1.0, index),
            np.array(warmth, dtype=np.float32), here.around(mood), exposure, CODES,
            out.reshape(-1),
        )  # fmt: skip
        return out

    @property
    def strips(self) -> Packed:
        """The film, to be painted."""
        return self.film


def view_above(poured: Any, plan: FloorPlan, sheet: Sheet, samples: int) -> AboveView:
    """Ask the pour for its film once, over walls that are drawn once for all pours."""
    return _view(poured, bare_floor(plan.surface, sheet), samples)


def view_band(
    poured: Any, plan: FloorPlan, sheet: Sheet, samples: int, shade: WallShade
) -> AboveView:
    """View a sheet, or a band of its rows, with the shade that was worked out for all."""
    return _view(poured, bare_band(plan.surface, sheet, shade), samples)


def _view(poured: Any, bare: Bare, samples: int) -> AboveView:
    sheet = bare.sheet
    fine_m = sheet.pixel_m / samples
    film = poured.film_grid(
        west_m=sheet.west_m,
        north_m=sheet.north_m - sheet.first_px * sheet.pixel_m,
        pixel_m=fine_m,
        width_px=sheet.width_px * samples,
        height_px=sheet.height_px * samples,
    )
    return kept_view(bare, film, samples)


def kept_view(bare: Bare, film: Film, samples: int = 1) -> AboveView:
    """Keep what is seen of a film laid out as a sheet."""
    places = _places(bare, samples)
    fine, met = framed(bare.sheet, samples), []
    for glinting in (True, False) if fine.pixel_m < NEAR_M else (True,):
        flakes = np.zeros(
            (strips_of(len(bare.pixels)), len(places), 2, N), dtype=np.float32
        )
        _meet_lights(film.lean.reshape(2, -1), places, fine, glinting, flakes)
        met.append(packed(flakes, np.array(BRIGHTEST)))
    return AboveView(bare, packed_film(film, places), met[0], len(film.shares), *met[1:])


def _places(bare: Bare, samples: int) -> NDArray[np.int64]:
    """Places (S, K) in the film of the pixels that show floor."""
    pixels, width = bare.pixels.astype(np.int64), bare.sheet.width_px
    if samples == 1:
        return pixels[None]
    row, col = np.divmod(pixels, width)
    sub = np.arange(samples * samples)[:, None]
    down, over = row * samples + sub // samples, col * samples + sub % samples
    places: NDArray[np.int64] = down * (width * samples) + over
    return places


@loop
def _meet_lights(
    lean: Grid, places: Grid, fine: SheetFrame, glinting: bool, out: Grid,
) -> None:  # fmt: skip
    """Fill `out` (strips, S, 2, N): light that flakes mirror, light that is off them."""
    size = fine.pixel_m
    level, blend = grid_of(size)
    side = 2.0**level
    samples, pixels = places.shape
    per_row = 1.0 / fine.width_px
    for strip in prange(len(out)):
        s = room_for(7 * N).reshape(7, N)
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
            if glinting and not are_even(size):
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
        s, here, met = room_for(SIZE), room_for(rows * N), room_for(2 * N)
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
            expose(s, _LIT, exposure, POWER, HELD)
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
