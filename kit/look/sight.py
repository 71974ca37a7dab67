"""What the eye will see of a poured floor: from above, in its room, as a chip.

A `Sight` keeps what was costly (film, walls, rays); `Sight.shown` only shades
it anew, for any palette of as many colours, any finish, by day or evening.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal, Protocol

import numpy as np
from numpy.typing import ArrayLike, NDArray

from kit.errors import PictureError
from kit.look.above import view_above, view_band
from kit.look.chip import view_chip
from kit.look.paints import Paints, paints_for
from kit.look.picture import MOST_BANDED_PX, Picture, checked_size
from kit.look.relief import Grit, grit_of
from kit.look.sheen import alpha_of
from kit.look.sheet import Part, Sheet, cut_out, fitted, wall_shade
from kit.plan.floor import FloorPlan
from kit.plan.views import Standing
from kit.pour.film import Film
from kit.pour.places import patch_px
from kit.stock.records import Finish

__all__ = [
    "MOODS",
    "Mood",
    "Paints",
    "Part",
    "Picture",
    "Pour",
    "Sight",
    "above",
    "above_in_bands",
    "in_room",
    "paints_for",
    "swatch",
]

Mood = Literal["day", "evening"]
MOODS: tuple[Mood, ...] = ("day", "evening")
BAND_PLACES = 1_000_000
"""Places of a band of a large picture."""


class Pour(Protocol):
    """A poured floor, as far as a picture needs it."""

    def film_at(self, x_m: ArrayLike, y_m: ArrayLike, footprint_m: ArrayLike) -> Film:
        """Film at places in metres; `footprint_m` is the width a pixel covers there."""
        ...

    def film_grid(
        self,
        *,
        west_m: float,
        north_m: float,
        pixel_m: float,
        width_px: int,
        height_px: int,
    ) -> Film:
        """Film at pixel centres, first row north, first column west."""
        ...


class View(Protocol):
    """A view that has been taken and can be lit."""

    @property
    def colours(self) -> int: ...

    def shown(
        self, paints: Paints, alpha: float, index: float, grit: Grit, mood: str
    ) -> NDArray[np.uint8]: ...


@dataclass(frozen=True, eq=False)
class Sight:
    """A floor seen from one place, ready to be shown in any colours, sheen and light."""

    view: View

    def shown(
        self, paints: Paints, finish: Finish, *, index: float = 1.5, mood: str = "day"
    ) -> Picture:
        """Shade what is kept; the film is not asked for again.

        Parameters
        ----------
        paints : Paints
            As many colours as the floor was poured with.
        finish : Finish
            Its gloss at 60° and texture are what is seen of it.
        index : float
            Refractive index of the wear coat, 1.3 to 1.8.
        mood : {"day", "evening"}

        Raises
        ------
        PictureError
            If the palette does not fit the floor, or a figure is out of range.
        """
        poured = self.view.colours
        if paints.count != poured:
            raise PictureError(
                "palette", found=paints.count, expected=f"{poured} colours, as poured"
            )
        if mood not in MOODS:
            raise PictureError("mood", found=mood, expected=" or ".join(MOODS))
        alpha = _alpha(finish.gloss_gu, index)
        return Picture(self.view.shown(paints, alpha, index, grit_of(finish), mood))


@lru_cache(maxsize=64)
def _alpha(gloss_gu: float, index: float) -> float:
    return alpha_of(gloss_gu, index)


def above(
    poured: Pour, plan: FloorPlan, *, width_px: int, height_px: int, samples: int = 1,
    part: Part | None = None,
) -> Sight:  # fmt: skip
    """See the whole floor within its walls, or a part of it, north up, to scale.

    Parameters
    ----------
    samples : int
        Places a pixel side, 1 to 4; 2 for a print, 1 while knobs move.
    part : Part, optional
        What to look at; the whole floor if left out.

    Raises
    ------
    PictureError
        If the size cannot be drawn, or the part is none of the floor.
    """
    checked_size(width_px, height_px, samples)
    sheet = _sheet(plan, part, int(width_px), int(height_px))
    return Sight(view_above(poured, plan, sheet, samples))


def above_in_bands(
    poured: Pour, plan: FloorPlan, *, width_px: int, height_px: int, samples: int = 1,
    part: Part | None = None,
) -> Iterator[Sight]:  # fmt: skip
    """See the floor from above a band of rows at a time, the northern one first.

    Shown and stacked, the bands are the picture that `above` takes, while memory is
    that of one band however large the picture.

    Raises
    ------
    PictureError
        As `above`, before the first band.
    """
    checked_size(width_px, height_px, samples, most_px=MOST_BANDED_PX)
    sheet = _sheet(plan, part, int(width_px), int(height_px))
    shade = wall_shade(plan.surface, sheet)
    # whole patches of the pour, so that its blocks are those of the whole picture
    patch = patch_px(sheet.pixel_m / samples)
    unit = patch // math.gcd(patch, samples)
    rows = max(1, BAND_PLACES // (sheet.width_px * samples**2 * unit)) * unit
    return (
        Sight(view_band(poured, plan, band, samples, shade))
        for first in range(0, sheet.height_px, rows)
        if (band := sheet.band(first, min(rows, sheet.height_px - first)))
    )


def _sheet(plan: FloorPlan, part: Part | None, width_px: int, height_px: int) -> Sheet:
    if part is None:
        return fitted(plan, width_px, height_px)
    return cut_out(plan, part, width_px, height_px)


def in_room(
    poured: Pour,
    plan: FloorPlan,
    *,
    width_px: int,
    height_px: int,
    samples: int = 1,
    standing: Standing = "room",
) -> Sight:
    """See the largest room as a client would, standing, with the floor in front.

    Parameters
    ----------
    standing : {"room", "doorway", "wall"}
        Towards the window, from the doorway, or along the long wall.
    samples : int
        Film places a pixel side, 1 to 4; edges of things are smooth either way.

    Raises
    ------
    PictureError
        If the size cannot be drawn.
    """
    # the room's kernels are not loaded for a floor that is seen from above only
    from kit.look.inroom import view_room

    checked_size(width_px, height_px, samples)
    return Sight(view_room(poured, plan, int(width_px), int(height_px), samples, standing))


def swatch(
    paints: Paints,
    finish: Finish,
    *,
    shares: tuple[float, ...] | None = None,
    width_px: int = 240,
    height_px: int = 120,
    index: float = 1.5,
    mood: str = "day",
) -> Picture:
    """Show a chip of one pigment, or of a palette in bands as wide as its shares.

    Parameters
    ----------
    shares : tuple of float, optional
        One for each colour, >= 0; equal if left out.

    Raises
    ------
    PictureError
        If the shares do not fit the paints or the size cannot be drawn.
    """
    checked_size(width_px, height_px)
    given = shares if shares is not None else (1.0,) * paints.count
    if (
        len(given) != paints.count
        or min(given) < 0.0
        or not 0.0 < sum(given) < float("inf")
    ):
        raise PictureError(
            "shares", found=given, expected=f"{paints.count} numbers, not all 0"
        )
    view = view_chip(tuple(given), int(width_px), int(height_px))
    return Sight(view).shown(paints, finish, index=index, mood=mood)
