"""Places asked about, checked and in the feet that blocks count in."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from kit.errors import PictureError
from kit.units import M_PER_FT

FAR_M = 10_000.0
"""Places farther than this from the plan's origin are no part of any view. [m]"""
MOST_SAMPLES = 8
"""Samples along a side of a pixel."""
MOST_PLACES = 50_000_000
"""Places asked about at once; larger pictures are asked for in strips."""
STRIP_PLACES = 1_000_000
"""Samples in a strip of a large picture, unless told otherwise."""
TILE = 16
"""Side of the tiles in which places of a plane are taken; 256 in a row of a line."""
BROAD_FT, WALK_FT = 0.05, 0.35
"""Width up to which a mesh tells all that is broad, and the walk and current only. [ft]"""
BROAD_TILES, WALK_TILES = (6, 5, 4, 3), (4, 3, 2)
"""Tiles along a side of a patch, which has a mesh of its own: the most that either width
lets through are taken."""
_SPANNED = 11.98
"""Cells of a patch: its nodes are a tile, three of them outside."""


class Mesh(NamedTuple):
    """How a grid of pixels is told what is broad, see `mesh`.

    Parameters
    ----------
    width_ft : float32
        From node to node; 0 where all is drawn place by place. [ft]
    tiles : int
        Along a side of a patch.
    """

    width_ft: np.float32
    tiles: int


EACH = Mesh(np.float32(0.0), 4)
"""The mesh of places that are drawn one by one."""


def mesh_of(pixel_ft: float) -> Mesh:
    """Give the mesh of a grid of pixels so wide. [ft]"""
    for widest_ft, sizes in ((BROAD_FT, BROAD_TILES), (WALK_FT, WALK_TILES)):
        for tiles in sizes:
            width_ft = (tiles * TILE - 1) / _SPANNED * pixel_ft
            if width_ft <= widest_ft:
                return Mesh(np.float32(width_ft), tiles)
    return EACH


def patch_px(pixel_m: float) -> int:
    """Side of a patch of such pixels: pictures cut along patches are to the bit the whole.

    Parameters
    ----------
    pixel_m : float
        Their side. [m]
    """
    return mesh_of(pixel_m / M_PER_FT).tiles * TILE


@dataclass(frozen=True, eq=False)
class Places:
    """Places on the floor as rows and columns, from the floor's south-west corner.

    Parameters
    ----------
    east, north, foot : (H, W) float32
        Where, and how wide a pixel is there; one row or column stands for all. [ft]
    shape : tuple of int
        Shape in which they were asked for.
    mesh : Mesh, optional
        That of a grid: they are the middles of square pixels, row 0 the northern one.
    """

    east: NDArray[np.float32]
    north: NDArray[np.float32]
    foot: NDArray[np.float32]
    shape: tuple[int, ...]
    mesh: Mesh | None = None

    @property
    def rows_and_columns(self) -> tuple[int, int]:
        """H and W."""
        return self.north.shape[0], self.east.shape[1]

    @property
    def tile_height(self) -> int:
        """Rows of a tile: neighbours lie near each other both ways, or in line only."""
        is_grid = self.mesh is not None
        return TILE if is_grid or min(self.rows_and_columns) >= TILE // 2 else 1


def places_at(
    x_m: ArrayLike, y_m: ArrayLike, footprint_m: ArrayLike, corner_m: tuple[float, float]
) -> Places:
    """Take places of any shape.

    Raises
    ------
    PictureError
        If shapes do not match, or a number is not finite or out of range.
    """
    x, y = np.asarray(x_m, np.float64), np.asarray(y_m, np.float64)
    if x.shape != y.shape or not 0 < x.size <= MOST_PLACES:
        raise PictureError(
            "places",
            found=f"x {x.shape} and y {y.shape}",
            expected=f"two arrays of one shape, 1 to {MOST_PLACES} places",
        )
    foot = np.asarray(footprint_m, np.float64)
    if foot.shape not in ((), x.shape):
        raise PictureError(
            "footprint_m", found=f"shape {foot.shape}", expected="one width, or one a place"
        )
    for about, plane, least in (
        ("x_m", x, -FAR_M),
        ("y_m", y, -FAR_M),
        ("footprint_m", foot, 0),
    ):
        # written so that a NaN fails it
        if not (plane.min() >= least and plane.max() <= FAR_M):
            raise PictureError(
                about, found="a number out of range", expected=f"{least:g} to {FAR_M:g} m"
            )
    rows = int(np.prod(x.shape[:-1], dtype=int))
    plane_shape = (rows, x.size // rows)
    # an array of its own: a read-only one would have the kernel compiled once more
    wide = np.empty(x.shape, np.float32)
    wide[...] = foot / M_PER_FT
    return Places(
        east=((x - corner_m[0]) / M_PER_FT).astype(np.float32).reshape(plane_shape),
        north=((y - corner_m[1]) / M_PER_FT).astype(np.float32).reshape(plane_shape),
        foot=wide.reshape(plane_shape),
        shape=x.shape,
    )


def places_on_grid(
    *, west_m: float, north_m: float, pixel_m: float, width_px: int, height_px: int,
    samples: int, corner_m: tuple[float, float],
) -> Places:  # fmt: skip
    """Take the centres of a grid of pixels, or of the samples in them; row 0 is north.

    Raises
    ------
    PictureError
        If a size is not possible.
    """
    check_counts(width_px=width_px, height_px=height_px, samples=samples)
    if width_px * height_px * samples**2 > MOST_PLACES:
        raise PictureError(
            "picture",
            found=f"{width_px} x {height_px} px, {samples} samples along a side",
            expected=f"at most {MOST_PLACES} samples at once; ask in strips",
        )
    check_view(west_m=west_m, north_m=north_m, pixel_m=pixel_m)
    step_m = pixel_m / samples
    columns, rows = (
        np.arange(width_px * samples) + 0.5,
        np.arange(height_px * samples) + 0.5,
    )
    east = ((west_m + columns * step_m - corner_m[0]) / M_PER_FT).astype(np.float32)
    north = ((north_m - rows * step_m - corner_m[1]) / M_PER_FT).astype(np.float32)
    return Places(
        east=east[None],
        north=north[:, None],
        foot=np.full((1, 1), step_m / M_PER_FT, np.float32),
        shape=(rows.size, columns.size),
        mesh=mesh_of(step_m / M_PER_FT),
    )


def rows_of_strips(
    width_px: int, height_px: int, samples: int, rows_px: int | None
) -> Iterator[tuple[int, int]]:
    """Cut a picture into strips: first row and rows of each.

    Raises
    ------
    PictureError
        If a size is not possible, or a single row is too much for one strip.
    """
    check_counts(width_px=width_px, height_px=height_px, samples=samples)
    if rows_px is None:
        rows_px = max(STRIP_PLACES // (width_px * samples**2), 1)
    check_counts(rows_px=rows_px)
    if width_px * rows_px * samples**2 > MOST_PLACES:
        raise PictureError(
            "strip",
            found=f"{width_px} x {rows_px} px, {samples} samples along a side",
            expected=f"at most {MOST_PLACES} samples in a strip",
        )
    rows = rows_px
    return ((first, min(rows, height_px - first)) for first in range(0, height_px, rows))


def check_counts(**counts: int) -> None:
    """Refuse counts of pixels, rows or samples that are none."""
    for about, found in counts.items():
        if not (isinstance(found, int | np.integer) and found >= 1):
            raise PictureError(about, found=found, expected="a whole number from 1")
    samples = counts.get("samples", 1)
    if samples > MOST_SAMPLES:
        raise PictureError(
            "samples", found=samples, expected=f"at most {MOST_SAMPLES} along a side"
        )


def check_view(*, west_m: float, north_m: float, pixel_m: float) -> None:
    """Refuse a corner or a pixel that is no place or size."""
    for about, number in (("west_m", west_m), ("north_m", north_m)):
        if not abs(number) <= FAR_M:
            raise PictureError(about, found=number, expected=f"within {FAR_M:g} m")
    if not 0.0 < pixel_m <= FAR_M:
        raise PictureError("pixel_m", found=pixel_m, expected=f"above 0 to {FAR_M:g} m")
