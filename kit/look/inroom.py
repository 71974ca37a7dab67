"""The room view: what is kept of it, and how it is lit anew.

Kept: where every pixel looks, the film under the floor's pixels, the rays that
gather bounced light. A change of colour, sheen or mood traces at most the
coat's own mirror rays.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property, lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from kit.look.camera import Camera, camera_at
from kit.look.coat import Coat
from kit.look.direct import globe_light, lamp_light
from kit.look.eye import Seen, look
from kit.look.flakes import flake_light, floor_albedo, straight_out
from kit.look.floorlight import brought
from kit.look.kept import (
    Packed,
    Short,
    film_strips,
    in_strips,
    light_from_short,
    light_kept_short,
    packed_film,
)
from kit.look.lights import Bounces, Light, joined, lit_room, traced_bounces
from kit.look.mixture import mixture_of
from kit.look.paints import Paints
from kit.look.relief import Grit, broken, fill_facing
from kit.look.relit import floor_light, kept_floor_light, shown_again
from kit.look.room import Room, solid_room
from kit.look.shade import painted, painted_strips
from kit.look.strip import N
from kit.plan.floor import FloorPlan
from kit.plan.views import Standing
from kit.pour.film import Film

Array = NDArray[np.float32]

GREY = {"day": 0.60, "evening": 0.34}
"""Light the walls are exposed to, on the scale of `tone.screen`."""
OUTSIDE = {"day": 0.36, "evening": 9.0}
"""Exposure at which the view through the window is printed, so that it can be read."""
POWER = 1.32
SOFT = 0.24
"""Holds back what lamps and panes lay over a floor, so that its color stays, see `tone`."""
MOST_COATS = 8
ASKED = 151
"""Of so many film places one is asked how much light it returns."""
LAMP_SEEN = 0.2
"""Part of a lamp's light at which its face is printed, as the view outside is."""


@dataclass(frozen=True, eq=False)
class LitRoom:
    """A room with all that can be known of its light before a floor is chosen."""

    room: Room
    bounces: Bounces
    moods: dict[str, Light] = field(default_factory=dict)

    def light(self, mood: str) -> Light:
        """Light of a mood, solved once."""
        if mood not in self.moods:
            self.moods[mood] = lit_room(self.room, self.bounces, mood)
        return self.moods[mood]


_KEPT_ROOMS = 4


@lru_cache(maxsize=_KEPT_ROOMS)
def _lit(plan: FloorPlan) -> LitRoom:
    room = solid_room(plan, plan.largest_room)
    return LitRoom(room, traced_bounces(room))


@dataclass(frozen=True, eq=False)
class RoomView:
    """A room as seen from its best stand.

    Light is kept by how often it touched the floor, so that new colours weigh
    what is there and trace no ray, see `lights`.
    """

    lit_room: LitRoom
    camera: Camera
    seen: Seen
    film: Film
    glints: Array
    kept: dict[tuple[object, ...], Short] = field(default_factory=dict)
    around: dict[bool, Array] = field(default_factory=dict)
    grains: dict[Grit, tuple[Array, Array]] = field(default_factory=dict)

    @property
    def colours(self) -> int:
        """Colours the floor was poured with."""
        return len(self.film.shares)

    def shown(
        self, paints: Paints, alpha: float, index: float, grit: Grit, mood: str
    ) -> NDArray[np.uint8]:
        """Eight-bit sRGB (H, W, 3): `lit` from light that is kept, as a screen shows it."""
        return shown_again(
            self.strips, self.under(index, mood), self.rest(alpha, index, grit, mood),
            self.floor_pixels, self.beyond(mood), self.other_pixels,
            mixture_of(paints, index), self.touched(paints, alpha, index, mood),
            straight_out(alpha), *self.exposure(mood), self.size_px,
        )  # fmt: skip

    @property
    def size_px(self) -> tuple[int, int]:
        """Width and height."""
        return self.seen.size_px

    def exposure(self, mood: str) -> tuple[float, float, float]:
        """Exposure, power and softness of the picture, see `tone.expose`."""
        exposure = exposure_for(self.lit_room.room, self.lit_room.light(mood), mood)
        return exposure, POWER, SOFT

    def touched(self, paints: Paints, alpha: float, index: float, mood: str) -> Array:
        """Weight by colour (3,) of light that touched a floor of these paints."""
        asked = len(range(0, len(self.glints), ASKED))
        colours = painted_strips(self._asked, asked, mixture_of(paints, index))
        return self.lit_room.light(mood).touched(floor_albedo(colours, index, alpha))

    @cached_property
    def strips(self) -> Packed:
        """The film, to be painted."""
        samples = len(self.glints) // max(1, len(self.seen.pixels))
        places = np.arange(len(self.glints)).reshape(-1, samples).T
        return packed_film(self.film, np.ascontiguousarray(places))

    @cached_property
    def _asked(self) -> Array:
        """Every 151st place of the film, to tell how much light the floor returns."""
        return film_strips(self.film, np.arange(0, len(self.glints), ASKED)[None, :])

    @cached_property
    def floor_pixels(self) -> NDArray[np.int32]:
        """Pixels that show floor, (K,), row times width plus column."""
        return self.seen.pixels.astype(np.int32)

    @cached_property
    def other_pixels(self) -> NDArray[np.int32]:
        """All other pixels."""
        width, height = self.size_px
        bare = np.ones(width * height, dtype=np.bool_)
        bare[self.seen.pixels] = False
        return np.flatnonzero(bare).astype(np.int32)

    def under(self, index: float, mood: str) -> Short:
        """Light on body and flakes at every film place, see `relit`."""
        light, evening = self.lit_room.light(mood), mood == "evening"
        key = ("under", index, evening)
        if key not in self.kept:
            self._make_room(key)
            room, seen = self.lit_room.room, self.seen
            flakes = flake_light(
                room, light.sides * np.tile(light.colour, 2), index, evening
            )
            self.kept[key] = kept_floor_light(
                self.camera.row(), (seen.film_x, seen.film_y),
                self.film.lean.reshape(2, -1), self.glints, seen.cover,
                room.faces.table, len(room.solids.walls), light.sides, flakes,
                light.lamps, light.finer, index,
            )  # fmt: skip
        return self.kept[key]

    def rest(self, alpha: float, index: float, grit: Grit, mood: str) -> Short:
        """What the coat mirrors, and what stands before the floor, (strips, 7 * N)."""
        light, evening = self.lit_room.light(mood), mood == "evening"
        key = ("rest", alpha, index, grit, evening)
        if key not in self.kept:
            self._make_room(key)
            grain = np.empty(0, dtype=np.float32)
            if grit.per_m2 > 0.0:
                grain = broken(*self._grains(grit), alpha)
            rest = self._coat.shows(alpha, index, light, evening, grain)
            partly = self._partly
            before = self._around(light, evening)[self.seen.pixels[partly]]
            lanes = np.arange(6) * N + (partly % N)[:, None]
            here = (partly // N)[:, None], lanes
            rest[here] = light_kept_short(light_from_short(rest[here]) + before)
            self.kept[key] = rest
        return self.kept[key]

    def _grains(self, grit: Grit) -> tuple[Array, Array]:
        """Slopes of grains and their change of variance, see `relief.fill_facing`."""
        if grit not in self.grains:
            seen = self.seen
            facing, change = np.empty((2, len(seen.pixels)), dtype=np.float32)
            wide = seen.footprint.reshape(len(facing), -1)
            wide = wide.mean(axis=1) * np.sqrt(wide.shape[1])
            eye = (float(self.camera.x), float(self.camera.y))
            fill_facing(
                seen.places[:, 0], seen.places[:, 1], eye, wide, grit, facing, change
            )
            self.grains[grit] = facing, change
        return self.grains[grit]

    @cached_property
    def _partly(self) -> NDArray[np.int64]:
        """Which of the floor's pixels something stands before."""
        return np.flatnonzero(self.seen.cover < 1.0)

    @cached_property
    def _coat(self) -> Coat:
        """What coats mirror here."""
        seen = self.seen
        return Coat(self.lit_room.room, self.camera.row(), seen.pixels, seen.cover)

    def beyond(self, mood: str) -> Short:
        """Light of all pixels without floor, (strips, 6 * N)."""
        light, evening = self.lit_room.light(mood), mood == "evening"
        key = ("beyond", evening)
        if key not in self.kept:
            rows = self._around(light, evening)[self.other_pixels]
            strips = in_strips(rows.T)
            self.kept[key] = light_kept_short(strips.reshape(len(strips), -1))
        return self.kept[key]

    def _make_room(self, key: tuple[object, ...]) -> None:
        """Let the oldest of a kind go when there are many."""
        alike = [k for k in self.kept if k[0] == key[0]]
        if len(alike) >= MOST_COATS:
            del self.kept[alike[0]]

    def lit(
        self, paints: Paints, alpha: float, index: float, grit: Grit, mood: str
    ) -> tuple[Array, float, float, float]:
        """Linear light (H, W, 3), and the picture's exposure, power and softness."""
        evening, seen = mood == "evening", self.seen
        light = self.lit_room.light(mood)
        colours = painted(self.film, paints, index)
        touched = light.touched(floor_albedo(colours[::ASKED], index, alpha))
        under = floor_light(self.under(index, mood), colours, touched, index, alpha)
        rest = self.rest(alpha, index, grit, mood)
        rows = (
            light_from_short(rest)
            .reshape(len(rest), 7, -1)
            .transpose(0, 2, 1)
            .reshape(-1, 7)
        )
        picture = joined(self._around(light, evening), touched)
        rows = rows[: len(under)]
        picture[seen.pixels] = under * rows[:, 6:] + joined(rows, touched)
        width, height = seen.size_px
        exposure = exposure_for(self.lit_room.room, light, mood)
        return picture.reshape(height, width, 3), exposure, POWER, SOFT

    def _around(self, light: Light, evening: bool) -> Array:
        """Light of all but the floor, both sides, (H * W, 6)."""
        if evening not in self.around:
            room = self.lit_room.room
            mood = "evening" if evening else "day"
            held_back = min(1.0, OUTSIDE[mood] / exposure_for(room, light, mood))
            width, height = self.seen.size_px
            around = np.zeros((height * width, 6), dtype=np.float32)
            lamp, globe = LAMP_SEEN * lamp_light(evening), LAMP_SEEN * globe_light()
            brought(
                self.seen.others, room, light.sides, evening, held_back, lamp, globe, around
            )
            self.around[evening] = around
        return self.around[evening]


def exposure_for(room: Room, light: Light, mood: str) -> float:
    """Exposure that sets the walls to the mood's grey, whatever the floor's colour."""
    walls = room.faces.face < len(room.solids.walls)
    shine = light.orders[0][walls] @ np.array([0.2126, 0.7152, 0.0722], dtype=np.float32)
    return float(GREY[mood] / max(float(np.median(shine)) * 0.45, 1e-6))


def view_room(
    poured: Any, plan: FloorPlan, width_px: int, height_px: int, samples: int,
    standing: Standing = "room",
) -> RoomView:  # fmt: skip
    """Stand in the largest room and ask the pour for the film that is in view."""
    kept = _lit(plan)
    stand = kept.room.stands[standing]
    camera = camera_at(stand, width_px, height_px)
    seen = look(kept.room, camera, samples)
    film = poured.film_at(
        seen.film_x.astype(np.float64), seen.film_y.astype(np.float64), seen.footprint
    )
    return RoomView(kept, camera, seen, film, seen.glints())
