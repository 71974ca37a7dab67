"""A room seen from one place: all that no floor changes, kept for every floor.

Kept: where every pixel looks, what stands there and how it is lit, and what a coat on
the floor mirrors of it. Another pour, color or sheen traces nothing of this again.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import NDArray

from kit.look.camera import Camera, camera_at
from kit.look.cast import Cast, cast_shadows
from kit.look.coat import Coat
from kit.look.contact import contact_shade
from kit.look.direct import globe_light, lamp_light
from kit.look.eye import Seen, look
from kit.look.flakes import Flakes, flake_light
from kit.look.floorlight import brought
from kit.look.kept import Short, in_strips, light_from_short, light_kept_short
from kit.look.lights import Bounces, Light, lit_room, traced_bounces
from kit.look.relief import Grit, broken, fill_facing
from kit.look.room import Room, solid_room
from kit.look.strip import N
from kit.plan.floor import FloorPlan
from kit.plan.views import Standing

Array = NDArray[np.float32]

GREY = {"day": 0.52, "evening": 0.34}
"""Light the walls are exposed to, on the scale of `tone.screen`."""
SEEN = 0.18
"""Part of their light at which lamps and the view outside are printed, so that they can be
read: no less than a coat of index 1.55 mirrors of them to looks of 70° or steeper."""
DARK_OUTSIDE = 9.0
"""Exposure at which the view outside is printed in the evening."""
POWER = 1.32
SOFT = 0.24
"""Holds back what lamps and panes lay over a floor, so that its color stays, see `tone`."""
MOST_COATS = 8


@dataclass(frozen=True, eq=False)
class LitRoom:
    """A room with all that can be known of its light before a floor is chosen."""

    room: Room
    bounces: Bounces
    moods: dict[str, Light] = field(default_factory=dict)
    tables: dict[tuple[float, str], Flakes] = field(default_factory=dict)
    casts: dict[str, Cast] = field(default_factory=dict)

    def light(self, mood: str) -> Light:
        """Light of a mood, solved once."""
        if mood not in self.moods:
            self.moods[mood] = lit_room(self.room, self.bounces, mood)
        return self.moods[mood]

    def cast(self, mood: str) -> Cast:
        """Shadows of a mood, thrown once."""
        if mood not in self.casts:
            self.casts[mood] = cast_shadows(self.room, self.light(mood))
        return self.casts[mood]

    def flakes(self, index: float, mood: str) -> Flakes:
        """Light that flakes meet under a coat of an index, worked out once a mood."""
        key = (index, mood)
        if key not in self.tables:
            light = self.light(mood)
            sides = light.sides * np.tile(light.colour, 2)
            self.tables[key] = flake_light(self.room, sides, index, mood == "evening")
        return self.tables[key]


_KEPT_ROOMS = 4


@lru_cache(maxsize=_KEPT_ROOMS)
def _lit(plan: FloorPlan) -> LitRoom:
    room = solid_room(plan, plan.largest_room)
    return LitRoom(room, traced_bounces(room))


@dataclass(frozen=True, eq=False)
class Stood:
    """A room as it is seen from one place, with a floor that is still to be laid.

    Light is kept by how often it touched the floor, so that a floor of any color
    weighs what is there and traces no ray, see `lights`.
    """

    lit_room: LitRoom
    camera: Camera
    seen: Seen
    kept: dict[tuple[object, ...], Short] = field(default_factory=dict)
    rounds: dict[str, Array] = field(default_factory=dict)
    grains: dict[Grit, tuple[Array, Array]] = field(default_factory=dict)
    shades: dict[str, Array] = field(default_factory=dict)

    @property
    def size_px(self) -> tuple[int, int]:
        """Width and height."""
        return self.seen.size_px

    def exposure(self, mood: str) -> tuple[float, float, float]:
        """Exposure, power and softness of the picture, see `tone.expose`."""
        exposure = exposure_for(self.lit_room.room, self.lit_room.light(mood), mood)
        return exposure, POWER, SOFT

    @cached_property
    def glints(self) -> Array:
        """Brightness of single flakes at the film's places."""
        return self.seen.glints()

    def shade(self, mood: str) -> Array:
        """Light at the floor's pixels over what texels tell, see `contact` and `cast`."""
        if mood not in self.shades:
            here, places = self.lit_room, self.seen.places
            self.shades[mood] = here.cast(mood).at(places) * contact_shade(
                here.room, here.light(mood), places, mood == "evening"
            )
        return self.shades[mood]

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
            before = self.around(mood)[self.seen.pixels[partly]]
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
        key = ("beyond", mood)
        if key not in self.kept:
            rows = self.around(mood)[self.other_pixels]
            strips = in_strips(rows.T)
            self.kept[key] = light_kept_short(strips.reshape(len(strips), -1))
        return self.kept[key]

    def _make_room(self, key: tuple[object, ...]) -> None:
        """Let the oldest of a kind go when there are many."""
        alike = [k for k in self.kept if k[0] == key[0]]
        if len(alike) >= MOST_COATS:
            del self.kept[alike[0]]

    def around(self, mood: str) -> Array:
        """Light of all but the floor, both sides, (H * W, 6)."""
        if mood not in self.rounds:
            room, light = self.lit_room.room, self.lit_room.light(mood)
            evening = mood == "evening"
            held_back = SEEN
            if evening:
                held_back = max(SEEN, min(1.0, DARK_OUTSIDE / self.exposure(mood)[0]))
            width, height = self.size_px
            around = np.zeros((height * width, 6), dtype=np.float32)
            lamp, globe = SEEN * lamp_light(evening), SEEN * globe_light()
            brought(
                self.seen.others, room, light.sides, evening, held_back, lamp, globe, around
            )
            self.rounds[mood] = around
        return self.rounds[mood]


def exposure_for(room: Room, light: Light, mood: str) -> float:
    """Exposure that sets the walls to the mood's grey, whatever the floor's colour."""
    walls = room.faces.face < len(room.solids.walls)
    shine = light.orders[0][walls] @ np.array([0.2126, 0.7152, 0.0722], dtype=np.float32)
    return float(GREY[mood] / max(float(np.median(shine)) * 0.45, 1e-6))


_KEPT_STANDS = 4


@lru_cache(maxsize=_KEPT_STANDS)
def stood(
    plan: FloorPlan, standing: Standing, width_px: int, height_px: int, samples: int
) -> Stood:
    """Stand in the largest room of a plan and look round; kept for the next floor."""
    lit = _lit(plan)
    camera = camera_at(lit.room.stands[standing], width_px, height_px)
    return Stood(lit, camera, look(lit.room, camera, samples))
