"""A colour chip: pigments on their seal coat, bent as a sample board is."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from kit.look.above import BODY, AboveView, kept_view, lights_on
from kit.look.bare import HELD, MOODS, POWER, bare
from kit.look.colour import luminance, rgb_of_bands
from kit.look.mixture import VEIL_WEIGHT
from kit.look.optics import fresnel, fresnel_inside
from kit.look.overhead import (
    ACROSS,
    ALONG,
    KEY,
    KEY_POWER,
    LOWEST_M,
    SOFT,
    long_panes,
    panes_seen,
)
from kit.look.paints import Paints
from kit.look.sheen import alpha_of
from kit.look.sheet import Sheet
from kit.look.strip import flake_cover
from kit.pour.film import Film
from kit.stock.records import Finish

Exact = NDArray[np.float64]

WIDE_M = 0.30
THICK, VEIL = 1.1, 0.15
"""Film and veil of a chip, in nominal builds."""
PANES = 0.35
"""Strength of the panes mirrored in a chip."""


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
    thick = np.full(u.shape, THICK, dtype=np.float32)
    veil = np.full_like(thick, VEIL)
    film = Film(own, thick, own, veil, _bent(u, v).astype(np.float32))
    sheet = Sheet(0.0, height_px * pixel_m, pixel_m, width_px, height_px)
    full = np.ones(u.shape, dtype=np.float32)
    return kept_view(bare(sheet, full, full, full, long_panes(PANES)), film)


def _bent(u: Exact, v: Exact) -> Exact:
    """Lean (2, ...) of the flakes of a chip at shares of its width and height."""
    sway = 0.05 * np.sin(9.0 * u + 4.0 * v) + 0.03 * np.sin(23.0 * u - 7.0 * v)
    return np.stack([0.55 * (u - 0.45) + sway, 0.28 * (v - 0.6) + 0.5 * sway])


def chip_line(paints: Paints, finish: Finish, *, index: float, steps: int) -> Exact:
    """Colours along the middle of a chip of one pigment, without kernels for pictures.

    For a screen that needs a chip at once, beside whatever picture is being made.

    Returns
    -------
    (steps, 3) array
        Linear sRGB as a screen shows it, in [0, 1].
    """
    u = (np.arange(steps) + 0.5) / steps
    lean = _bent(u, np.full(steps, 0.5))
    low, high = flake_cover(np.float32(THICK), np.float32(VEIL))
    inside, through = fresnel_inside(index), 1.0 - fresnel(1.0, index)
    film = paints.film_reflectance((1.0,), THICK + VEIL_WEIGHT * VEIL)
    film = (1.0 - inside) * film / (1.0 - inside * film)
    body = (1.0 - low - high) * np.maximum(rgb_of_bands(film), 0.0)
    lit, off = np.array([lights_on(*lean[:, k])[:2] for k in range(steps)]).T[..., None]
    flakes = (low + high) * (lit * paints.face[0] + off * paints.flop[0])
    coat = _mirrored(u, alpha_of(finish.gloss_gu, index), index)
    light = through * (BODY * body + flakes) + coat[:, None]
    exposure = MOODS["day"][1]
    bright = np.maximum(luminance(light) * exposure, 1e-7)[:, None]
    held = bright / (1.0 + HELD * bright)
    told = 1.0 - np.exp(-(held**POWER))
    vivid = light * exposure / bright * told
    over = np.maximum(vivid.max(axis=1, keepdims=True), 1.0)
    keep = np.where(over > 1.0, (1.0 - told) / np.maximum(over - told, 1e-6), 1.0)
    return np.asarray(told + (vivid - told) * keep)


def _mirrored(u: Exact, alpha: float, index: float) -> Exact:
    """What the coat mirrors along the middle of a chip, see `overhead.mirrored`."""
    rough = math.sqrt(alpha * alpha + SOFT)
    slope = (u - 0.5) * WIDE_M / LOWEST_M * 0.5
    seen = [panes_seen(ACROSS[0] * s, ALONG[0] * s, rough) for s in slope]
    haze = 1.0 - math.exp(-8.0 * rough)
    key2 = KEY[0] ** 2 + KEY[1] ** 2
    aside = KEY_POWER / math.pi * (rough / (rough * rough + key2)) ** 2
    light = 0.04 + 0.62 * haze + 1.6 * PANES * np.array(seen) + aside
    return np.asarray(fresnel(1.0, index) * light)
