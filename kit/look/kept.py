"""What is kept of a film so that it can be painted again in other colours."""

from __future__ import annotations

import math
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from kit.lanes import room_for
from kit.look.compiled import Grid, formula, inlined, loop, prange
from kit.look.mixture import VEIL_WEIGHT, pairs_of
from kit.look.strip import HIGH, LOW, SHARE, THICK, VEIL, N, flake_cover
from kit.pour.film import Film

Array = NDArray[np.float32]
Short = NDArray[np.uint16]

_ROOTS = 65535.0 / 8.0
_F = np.float32

_COUNTS = 65_535
_MOST = np.float32(65_534.5)
_THICKEST = 8.0
"""Thickest film told apart, in nominal builds."""


def film_strips(film: Film, places: NDArray[np.int64]) -> Array:
    """Gather a film's places in strips, nothing in them that a colour would change.

    Parameters
    ----------
    film : Film
        Any shape.
    places : (S, K) array
        Which places, counted along the film's flat shape: samples, then pixels.

    Returns
    -------
    (strips, S, F * N) float32 array
        For each strip of N pixels and each sample rows of film and veil's
        thickness and of the flakes in both; then, by pairs of colours, shares
        in the film and in the veil. The last colour is what is left to one.
    """
    count = len(film.shares)
    samples, pixels = places.shape
    rows = np.zeros((strips_of(pixels), samples, (4 + 4 * pairs_of(count)) * N), np.float32)
    _gather(
        film.shares.reshape(count, -1), film.veil_shares.reshape(count, -1),
        film.thickness.ravel(), film.veil.ravel(), places, rows,
    )  # fmt: skip
    return rows


def strips_of(pixels: int) -> int:
    """Strips that so many pixels take."""
    return (pixels + N - 1) // N


def in_strips(rows: Array) -> Array:
    """Cut rows (R, K) into strips (strips, R, N), the last one filled up with zeros."""
    count, pixels = rows.shape
    out = np.zeros((count, strips_of(pixels) * N), dtype=np.float32)
    out[:, :pixels] = rows
    return np.ascontiguousarray(out.reshape(count, -1, N).transpose(1, 0, 2))


def light_kept_short(light: Array) -> Short:
    """Keep light up to 64 in half the room, by its root: 0.1 % of a light of 0.05."""
    root = np.sqrt(np.maximum(light, _F(0.0))) * _F(_ROOTS)
    return np.asarray(np.minimum(root + _F(0.5), 65535.0), dtype=np.uint16)


def light_from_short(kept: Short) -> Array:
    """Turn what `light_kept_short` gave back into light."""
    root = kept.astype(np.float32) * _F(1.0 / _ROOTS)
    return np.asarray(root * root)


@inlined
def light_again(kept: Any) -> Any:
    """Light that `light_kept_short` kept."""
    root = _F(kept) * _F(1.0 / _ROOTS)
    return root * root


@inlined
def light_short(light: Any) -> Any:
    """One light as `light_kept_short` keeps it."""
    root = math.sqrt(max(_F(light), _F(0.0))) * _F(_ROOTS)
    return np.uint16(min(root + _F(0.5), _F(65535.0)))


@loop
def _gather(
    shares: Grid, veiled: Grid, thickness: Grid, veil: Grid, places: Grid, rows: Grid,
) -> None:  # fmt: skip
    """Fill `rows`, see `film_strips`."""
    for strip in prange(len(rows)):
        for sub in range(len(places)):
            _gather_strip(
                shares, veiled, thickness, veil, places[sub, strip * N :], rows[strip, sub]
            )


@loop
def _gather_counts(
    shares: Grid, veiled: Grid, thickness: Grid, veil: Grid, places: Grid, per: Grid,
    out: Grid,
) -> None:  # fmt: skip
    """Fill `out` (strips, S, F, N), see `packed_film`."""
    for strip in prange(len(out)):
        row = room_for(len(per) * N)
        for sub in range(len(places)):
            _gather_strip(shares, veiled, thickness, veil, places[sub, strip * N :], row)
            _count_strip(row.reshape(len(per), N), per, out[strip, sub])


@formula
def _gather_strip(
    shares: Grid, veiled: Grid, thickness: Grid, veil: Grid, places: Grid, row: Grid,
) -> None:  # fmt: skip
    """Fill the first lanes of a strip's rows (F * N,) with as many of some places."""
    for i in range(min(N, len(places))):
        at = places[i]
        for p in range(len(shares) - 1):
            to = SHARE + p // 2 * 4 * N + p % 2 * N + i
            row[to] = shares[p, at]
            row[to + 2 * N] = veiled[p, at]
        row[THICK + i] = thickness[at]
        row[VEIL + i] = veil[at] * np.float32(VEIL_WEIGHT)
        row[LOW + i], row[HIGH + i] = flake_cover(thickness[at], veil[at])


class Packed(NamedTuple):
    """Rows of strips in sixteen bits: half the memory to fetch for every new colour.

    Parameters
    ----------
    rows : (strips, ..., R, N) uint16 array
    step : (R,) float32 array
        What one count is of each row.
    """

    rows: NDArray[np.uint16]
    step: Array


def packed(rows: Array, most: NDArray[np.float64]) -> Packed:
    """Pack rows (strips, ..., R, N) that reach from nothing up to `most` (R,).

    What is more is told as `most`; the error is half of `most` over 65535.
    """
    step = _step(most)
    counts = np.empty(rows.shape, dtype=np.uint16)
    shape = (-1, *rows.shape[-2:]) if rows.size else (0, *rows.shape[-2:])
    _count(rows.reshape(shape), np.float32(1.0) / step, counts.reshape(shape))
    return Packed(counts, step)


def packed_film(film: Film, places: NDArray[np.int64]) -> Packed:
    """`film_strips` in sixteen bits, (strips, S, F, N)."""
    count = len(film.shares)
    samples, pixels = places.shape
    most = np.ones(4 + 4 * pairs_of(count))
    most[[THICK // N, VEIL // N]] = _THICKEST
    step = _step(most)
    counts = np.empty((strips_of(pixels), samples, len(most), N), dtype=np.uint16)
    _gather_counts(
        film.shares.reshape(count, -1), film.veil_shares.reshape(count, -1),
        film.thickness.ravel(), film.veil.ravel(), places, np.float32(1.0) / step, counts,
    )  # fmt: skip
    return Packed(counts, step)


def _step(most: NDArray[np.float64]) -> Array:
    return (most / _COUNTS).astype(np.float32)


@loop
def _count(rows: Grid, per: Grid, out: Grid) -> None:
    """Fill `out` (K, R, N) from rows by so many counts a unit of each."""
    for k in prange(len(rows)):
        _count_strip(rows[k], per, out[k])


@formula
def _count_strip(rows: Grid, per: Grid, out: Grid) -> None:
    """Fill `out` (R, N), see `_count`."""
    for row in range(len(per)):
        for i in range(N):
            count = rows[row, i] * per[row]
            out[row, i] = min(max(count, np.float32(0.0)), _MOST) + np.float32(0.5)


@formula
def unpack(rows: Grid, step: Grid, out: Grid) -> None:
    """Fill `out` (R * N,) from rows (R, N) of sixteen bits."""
    for row in range(len(step)):
        one, to = step[row], row * N
        for i in range(N):
            out[to + i] = one * np.float32(rows[row, i])
