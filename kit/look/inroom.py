"""The room view: a film laid on the floor of a room that is seen, and lit anew.

A change of color, sheen or mood weighs the light that is kept; the room itself is kept
for every floor, see `stood`.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from kit.look.flakes import floor_albedo, straight_out
from kit.look.kept import Packed, Short, film_strips, light_from_short, packed_film
from kit.look.lights import joined
from kit.look.mixture import mixture_of
from kit.look.paints import Paints
from kit.look.relief import Grit
from kit.look.relit import floor_light, kept_floor_light, shown_again
from kit.look.shade import painted, painted_strips
from kit.look.stood import Stood, stood
from kit.plan.floor import FloorPlan
from kit.plan.views import Standing
from kit.pour.film import Film

Array = NDArray[np.float32]

ASKED, FEWEST_ASKED = 151, 2_000
"""Of so many film places one is asked how much light it returns; how many at the least,
for a small picture's few told its light by chance."""


@dataclass(frozen=True, eq=False)
class RoomView:
    """A floor in its room, as seen from one place."""

    stood: Stood
    film: Film
    lit_by: dict[tuple[float, str], Short] = field(default_factory=dict)

    @property
    def colours(self) -> int:
        """Colours the floor was poured with."""
        return len(self.film.shares)

    def shown(
        self, paints: Paints, alpha: float, index: float, grit: Grit, mood: str
    ) -> NDArray[np.uint8]:
        """Eight-bit sRGB (H, W, 3): `lit` from light that is kept, as a screen shows it."""
        here = self.stood
        return shown_again(
            self.strips, self.under(index, mood), here.rest(alpha, index, grit, mood),
            here.floor_pixels, here.beyond(mood), here.other_pixels,
            mixture_of(paints, index), self.touched(paints, alpha, index, mood),
            straight_out(alpha), *here.exposure(mood), here.size_px,
        )  # fmt: skip

    def touched(self, paints: Paints, alpha: float, index: float, mood: str) -> Array:
        """Weight by colour (3,) of light that touched a floor of these paints."""
        asked = len(self._asked_places)
        colours = painted_strips(self._asked, asked, mixture_of(paints, index))
        return self.stood.lit_room.light(mood).touched(floor_albedo(colours, index, alpha))

    @cached_property
    def strips(self) -> Packed:
        """The film, to be painted."""
        samples = len(self.stood.glints) // max(1, len(self.stood.seen.pixels))
        places = np.arange(len(self.stood.glints)).reshape(-1, samples).T
        return packed_film(self.film, np.ascontiguousarray(places))

    @cached_property
    def _asked_places(self) -> NDArray[np.intp]:
        """Places of the film, evenly, that tell how much light the floor returns."""
        count = len(self.stood.glints)
        return np.arange(0, count, max(1, min(ASKED, count // FEWEST_ASKED)))

    @cached_property
    def _asked(self) -> Array:
        return film_strips(self.film, self._asked_places[None, :])

    def under(self, index: float, mood: str) -> Short:
        """Light on body and flakes at every film place, see `relit`."""
        key = (index, mood)
        if key not in self.lit_by:
            here, seen = self.stood, self.stood.seen
            room, light = here.lit_room.room, here.lit_room.light(mood)
            flakes = here.lit_room.flakes(index, mood)
            self.lit_by[key] = kept_floor_light(
                here.camera.row(), (seen.film_x, seen.film_y),
                self.film.lean.reshape(2, -1), here.glints, seen.cover * here.shade(mood),
                room.faces.table, len(room.solids.walls), light.sides, flakes,
                light.lamps, light.finer, index,
            )  # fmt: skip
        return self.lit_by[key]

    def lit(
        self, paints: Paints, alpha: float, index: float, grit: Grit, mood: str
    ) -> tuple[Array, float, float, float]:
        """Linear light (H, W, 3), and the picture's exposure, power and softness."""
        here = self.stood
        colours = painted(self.film, paints, index)
        albedo = floor_albedo(colours[self._asked_places], index, alpha)
        touched = here.lit_room.light(mood).touched(albedo)
        under = floor_light(self.under(index, mood), colours, touched, index, alpha)
        rest = light_from_short(here.rest(alpha, index, grit, mood))
        rows = rest.reshape(len(rest), 7, -1).transpose(0, 2, 1).reshape(-1, 7)
        rows = rows[: len(under)]
        picture = joined(here.around(mood), touched)
        picture[here.seen.pixels] = under * rows[:, 6:] + joined(rows, touched)
        width, height = here.size_px
        return picture.reshape(height, width, 3), *here.exposure(mood)


def view_room(
    poured: Any, plan: FloorPlan, width_px: int, height_px: int, samples: int,
    standing: Standing = "room",
) -> RoomView:  # fmt: skip
    """Stand in the largest room and ask the pour for the film that is in view."""
    here = stood(plan, standing, width_px, height_px, samples)
    seen = here.seen
    film = poured.film_at(
        seen.film_x.astype(np.float64), seen.film_y.astype(np.float64), seen.footprint
    )
    return RoomView(here, film)
