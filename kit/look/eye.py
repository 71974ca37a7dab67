"""Where each pixel looks: floor places for the film, hits for all that stands on it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from kit.look.aim import FINE, place_seen, ray_at, spot_in
from kit.look.camera import Camera
from kit.look.compiled import Grid, loop, prange
from kit.look.grain import fill_glints
from kit.look.room import Room
from kit.look.skins import PANE, albedo
from kit.look.trace import MISS, Solids, hit

THIN_BARS_PX = 700
"""Pictures narrower than this may miss a window bar between two rays."""


class Hits(NamedTuple):
    """Where the rays of some pixels end; a named tuple because numba takes those.

    Parameters
    ----------
    pixel : (K,) int64 array
        Each pixel once, as row times width plus column.
    face : (K, S) int32 array
        Face that each of its S rays ends on, `trace.MISS` for none.
    uv : (K, S, 2) float64 array
        Places on them.
    """

    pixel: NDArray[np.int64]
    face: NDArray[np.int32]
    uv: NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Seen:
    """What a camera sees of a room, before any light.

    Parameters
    ----------
    pixels : (N,) int64 array
        Pixels that show floor, as row times width plus column.
    cover : (N,) float32 array
        Share of each that is floor.
    places : (N, 3) float64 array
        Floor place at the pixel's middle and its distance from the eye. [m]
    film_x, film_y, footprint : (N * samples²,) float64 arrays
        Where the film is asked for, and how wide a place is. [m]
    others : (Hits, Hits)
        What else is seen: by one ray a pixel, and by many along edges.
    """

    pixels: NDArray[np.int64]
    cover: NDArray[np.float32]
    places: NDArray[np.float64]
    film_x: NDArray[np.float64]
    film_y: NDArray[np.float64]
    footprint: NDArray[np.float64]
    others: tuple[Hits, Hits]
    size_px: tuple[int, int]

    def glints(self) -> NDArray[np.float32]:
        """Brightness of single flakes at the film's places."""
        out = np.empty(len(self.film_x), dtype=np.float32)
        fill_glints(self.film_x, self.film_y, self.footprint, 0.25, out)
        return out

    def nodes(self, step: int) -> tuple[NDArray[np.float64], int, int]:
        """Coarse picture places over the floor's rows; how many across; the first row."""
        width, height = self.size_px
        top = int(self.pixels.min()) // width if len(self.pixels) else 0
        across, down = width // step + 2, (height - top) // step + 2
        col, row = np.meshgrid(
            np.arange(across) * step + 0.5, top + np.arange(down) * step + 0.5
        )
        return np.stack([col.ravel(), row.ravel()], axis=1), across, top


def look(room: Room, camera: Camera, samples: int) -> Seen:
    """Trace one ray a pixel, and sixteen where an edge or a drawn line runs."""
    width, height = camera.width_px, camera.height_px
    face = np.empty((height, width), dtype=np.int32)
    uv = np.empty((height, width, 2))
    tone = np.empty((height, width), dtype=np.float32)
    row = camera.row()
    _first(row, room.solids, room.skins, room.doors, face, uv, tone)
    floor = len(room.solids.walls)
    edge = edges(face, tone)
    if width < THIN_BARS_PX:
        edge |= room.skins[face, 0] == PANE
    inner = ~edge & (face != floor)
    fine_pixel = np.flatnonzero(edge)
    fine_face = np.empty((len(fine_pixel), FINE * FINE), dtype=np.int32)
    fine_uv = np.empty((len(fine_pixel), FINE * FINE, 2))
    _again(row, room.solids, fine_pixel, fine_face, fine_uv)
    cover = (face == floor).astype(np.float32)
    cover.ravel()[fine_pixel] = (fine_face == floor).mean(axis=1)
    pixels = _in_tiles(np.flatnonzero(cover), width)
    places = np.empty((len(pixels), 3))
    film = np.empty((3, len(pixels), samples * samples))
    _floor_places(row, pixels, samples, places, film)
    fine_face[fine_face == floor] = MISS
    plain = np.flatnonzero(inner)
    return Seen(
        pixels=pixels,
        cover=cover.ravel()[pixels],
        places=places,
        film_x=film[0].ravel(),
        film_y=film[1].ravel(),
        footprint=film[2].ravel(),
        others=(
            Hits(plain, face.reshape(-1, 1)[plain], uv.reshape(-1, 1, 2)[plain]),
            Hits(fine_pixel, fine_face, fine_uv),
        ),
        size_px=(width, height),
    )  # fmt: skip


def _in_tiles(pixels: NDArray[np.int64], width: int) -> NDArray[np.int64]:
    """Order pixels tile by tile: neighbours in the list are neighbours on the floor."""
    row, col = np.divmod(pixels, width)
    return pixels[np.lexsort((col, row, col // 32, row // 8))]


def edges(face: NDArray[np.int32], tone: NDArray[np.float32]) -> NDArray[np.bool_]:
    """Pixels next to another face or another tone."""
    edge = np.zeros(face.shape, dtype=np.bool_)
    for axis in (0, 1):
        ahead = [slice(None), slice(None)]
        behind = [slice(None), slice(None)]
        ahead[axis], behind[axis] = slice(1, None), slice(None, -1)
        a, b = tuple(ahead), tuple(behind)
        differs = (face[a] != face[b]) | (np.abs(tone[a] - tone[b]) > 0.05)
        edge[a] |= differs
        edge[b] |= differs
    return edge


@loop
def _first(
    camera: Grid, solids: Solids, skins: Grid, doors: Grid, face: Grid, uv: Grid,
    tone: Grid,
) -> None:  # fmt: skip
    """Fill face (H, W), place on it and its tone for one ray a pixel."""
    height, width = face.shape
    floor = len(solids.walls)
    for row in prange(height):
        for col in range(width):
            dx, dy, dz = ray_at(col + 0.5, row + 0.5, camera)
            _, f, u, v = hit(camera[0], camera[1], camera[2], dx, dy, dz, solids)
            face[row, col], uv[row, col, 0], uv[row, col, 1] = f, u, v
            tone[row, col] = 0.0
            if f >= 0 and f != floor:
                tone[row, col] = albedo(f, u, v, skins, doors, solids.windows)[1]


@loop
def _again(camera: Grid, solids: Solids, pixels: Grid, face: Grid, uv: Grid) -> None:
    """Fill face (K, FINE²) and place for the rays in each of K pixels."""
    width = int(camera[6])
    for i in prange(len(pixels)):
        for k in range(FINE * FINE):
            across, down = spot_in(k)
            col, row = pixels[i] % width + across, pixels[i] // width + down
            dx, dy, dz = ray_at(col, row, camera)
            _, f, u, v = hit(camera[0], camera[1], camera[2], dx, dy, dz, solids)
            face[i, k], uv[i, k, 0], uv[i, k, 1] = f, u, v


@loop
def _floor_places(
    camera: Grid, pixels: Grid, samples: int, places: Grid, film: Grid,
) -> None:  # fmt: skip
    """Fill floor places (N, 3) and film places (3, N, samples²): x, y, footprint."""
    width = int(camera[6])
    for i in prange(len(pixels)):
        col, row = pixels[i] % width, pixels[i] // width
        x, y, far, _, _, _ = place_seen(col + 0.5, row + 0.5, camera)
        places[i, 0], places[i, 1], places[i, 2] = x, y, far
        for k in range(samples * samples):
            c = col + (k % samples + 0.5) / samples
            r = row + (k // samples + 0.5) / samples
            px, py, away, _, _, dz = place_seen(c, r, camera)
            foot = camera[5] * away / np.sqrt(max(-dz, 0.02)) / samples
            film[0, i, k], film[1, i, k], film[2, i, k] = px, py, foot
