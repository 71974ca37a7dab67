"""A colour chip: pigments on their seal coat, bent as a sample board is."""

from __future__ import annotations

import numpy as np

from kit.look.above import AboveView, kept_view
from kit.look.sheet import Sheet
from kit.pour.film import Film

WIDE_M = 0.30


def view_chip(shares: tuple[float, ...], width_px: int, height_px: int) -> AboveView:
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
    sheet = Sheet(0.0, height_px * pixel_m, pixel_m, width_px, height_px)
    full = np.ones(u.shape, dtype=np.float32)
    return kept_view(sheet, film, (full, full, full), panes=0.35)
