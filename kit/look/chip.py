"""A colour chip: pigments on their seal coat, bent as a sample board is."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from kit.look.above import MOODS, POWER, coat_veil, lit_film
from kit.look.grain import fill_glints
from kit.look.paints import Paints
from kit.pour.film import Film

Array = NDArray[np.float32]

WIDE_M = 0.30


@dataclass(frozen=True, eq=False)
class ChipView:
    """An even film of the palette, leaning with the curve of the board."""

    film: Film
    glints: Array
    width_px: int
    height_px: int
    pixel_m: float

    def lit(
        self, paints: Paints, alpha: float, index: float, texture_um: float, mood: str
    ) -> tuple[Array, float, float]:
        """Linear light (H, W, 3), exposure and power of the picture."""
        size = (self.height_px, self.width_px)
        veil = coat_veil(size, self.pixel_m, alpha, index, texture_um * 1e-6, panes=0.35)
        open_floor = np.ones(size, dtype=np.float32)
        every = np.ones(self.glints.size, dtype=np.bool_)
        walls = (open_floor, open_floor, open_floor)
        light = lit_film(self.film, self.glints, paints, 1, index, mood, veil, walls, every)
        return light, MOODS[mood][1], POWER


def view_chip(shares: tuple[float, ...], width_px: int, height_px: int) -> ChipView:
    """Lay the colours side by side as bands by share, each as thick as it is poured."""
    count = len(shares)
    pixel_m = WIDE_M / width_px
    u, v = np.meshgrid(
        (np.arange(width_px) + 0.5) / width_px, (np.arange(height_px) + 0.5) / height_px
    )
    bounds = np.cumsum(np.asarray(shares, dtype=np.float64))
    band = np.minimum(np.searchsorted(bounds / bounds[-1], u.ravel()), count - 1).reshape(
        u.shape
    )
    own = (np.arange(count)[:, None, None] == band).astype(np.float32)
    sway = 0.05 * np.sin(9.0 * u + 4.0 * v) + 0.03 * np.sin(23.0 * u - 7.0 * v)
    lean = np.stack([0.55 * (u - 0.45) + sway, 0.28 * (v - 0.6) + 0.5 * sway]).astype(
        np.float32
    )
    thick = np.full(u.shape, 1.1, dtype=np.float32)
    film = Film(own, thick, own, np.full_like(thick, 0.15), lean)
    x, y = (u * WIDE_M).ravel(), (v * height_px * pixel_m).ravel()
    glints = np.empty(u.size, dtype=np.float32)
    fill_glints(x, y, np.full(u.size, pixel_m), 0.18, glints)
    return ChipView(film, glints, width_px, height_px, pixel_m)
