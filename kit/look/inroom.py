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

from kit.look.aim import places_seen
from kit.look.camera import Camera, camera_at
from kit.look.direct import LAMP_GLOW, LAMP_RGB, pane_light
from kit.look.eye import Seen, look
from kit.look.flakes import Flakes, flake_light, floor_albedo
from kit.look.floorlight import floor_light, surround_light
from kit.look.glow import rough, spread
from kit.look.kept import film_strips, in_strips
from kit.look.lights import (
    Bounces,
    Light,
    joined,
    lit_room,
    traced_bounces,
)
from kit.look.mirror import ROUGH_FROM, mirror
from kit.look.mixture import mixture_of
from kit.look.paints import Paints
from kit.look.relief import Grit
from kit.look.relit import kept_floor_light, shown_again
from kit.look.room import Room, solid_room
from kit.look.shade import painted, painted_strips
from kit.plan.floor import FloorPlan
from kit.pour.film import Film

Array = NDArray[np.float32]

GREY = {"day": 0.46, "evening": 0.30}
"""Light the walls are exposed to, on the scale of `tone.screen`."""
OUTSIDE = {"day": 0.48, "evening": 9.0}
"""Exposure at which the view through the window is printed, so that it can be read."""
POWER = 1.32
TEXTURE_ALPHA_PER_M = 420.0
"""Roughness that a metre of aggregate relief would add; judged by eye."""
MOST_COATS = 8
ASKED = 61
"""Of so many film places one is asked how much light it returns."""


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
    kept: dict[tuple[object, ...], Array] = field(default_factory=dict)

    @property
    def colours(self) -> int:
        """Colours the floor was poured with."""
        return len(self.film.shares)

    def shown(
        self, paints: Paints, alpha: float, index: float, grit: Grit, mood: str
    ) -> NDArray[np.uint8]:
        """Eight-bit sRGB (H, W, 3): `lit` from light that is kept, as a screen shows it."""
        light, evening = self.lit_room.light(mood), mood == "evening"
        mix = mixture_of(paints, index)
        asked = painted_strips(self._asked, len(range(0, len(self.glints), ASKED)), mix)
        under = self._under(light, index, evening)
        rest = self._rest(light, alpha, index, grit.relief_m, evening)
        pixels, others = self._order
        exposure = exposure_for(self.lit_room.room, light, mood)
        return shown_again(
            self._strips, under, rest, pixels, self._beyond(light, evening), others, mix,
            light.touched(floor_albedo(asked)), exposure, POWER, self.seen.size_px,
        )  # fmt: skip

    @cached_property
    def _strips(self) -> Array:
        """The film, to be painted."""
        samples = len(self.glints) // max(1, len(self.seen.pixels))
        return film_strips(
            self.film,
            np.ascontiguousarray(np.arange(len(self.glints)).reshape(-1, samples).T),
        )

    @cached_property
    def _asked(self) -> Array:
        """Every 61st place of the film, to tell how much light the floor returns."""
        return film_strips(self.film, np.arange(0, len(self.glints), ASKED)[None, :])

    @cached_property
    def _order(self) -> tuple[NDArray[np.int32], NDArray[np.int32]]:
        """Pixels that show floor, and those that do not."""
        width, height = self.seen.size_px
        bare = np.ones(width * height, dtype=np.bool_)
        bare[self.seen.pixels] = False
        return self.seen.pixels.astype(np.int32), np.flatnonzero(bare).astype(np.int32)

    def _under(self, light: Light, index: float, evening: bool) -> Array:
        """Light on body and flakes at every film place, see `relit`."""
        key = ("under", index, evening)
        if key not in self.kept:
            self._make_room(key)
            room, seen = self.lit_room.room, self.seen
            shine = light.folded(light.side_by_side)
            dark = flake_light(room, 0.0 * light.colour, index, evening)
            never, ever = (
                flake_light(room, part * light.colour, index, evening) for part in shine
            )
            lean = self.film.lean.reshape(2, -1)
            self.kept[key] = kept_floor_light(
                self.camera.row(), (seen.film_x, seen.film_y), lean, self.glints,
                seen.cover, room.faces.table, len(room.solids.walls), shine,
                (never, Flakes(ever.table - dark.table, ever.frame)),
                room.lamps if evening else np.zeros((0, 3)),
                np.array(LAMP_RGB) * LAMP_GLOW, room.solids.height, index,
            )  # fmt: skip
        return self.kept[key]

    def _rest(self, light: Light, alpha: float, index: float, texture_m: float,
              evening: bool) -> Array:  # fmt: skip
        """What the coat mirrors, and what stands before the floor, (strips, 6, N)."""
        key = ("rest", alpha, index, texture_m, evening)
        if key not in self.kept:
            self._make_room(key)
            rows = self._mirrored(light, alpha, index, texture_m, evening)
            rows *= self.seen.cover[:, None]
            rows += self._around(light, evening)[self.seen.pixels]
            self.kept[key] = in_strips(np.hstack(light.folded(rows)).T)
        return self.kept[key]

    def _beyond(self, light: Light, evening: bool) -> Array:
        """Light of all pixels without floor, (strips, 6, N)."""
        key = ("beyond", evening)
        if key not in self.kept:
            rows = self._around(light, evening)[self._order[1]]
            self.kept[key] = in_strips(np.hstack(light.folded(rows)).T)
        return self.kept[key]

    def _make_room(self, key: tuple[object, ...]) -> None:
        """Let the oldest of a kind go when there are many."""
        alike = [k for k in self.kept if k[0] == key[0]]
        if len(alike) >= MOST_COATS:
            del self.kept[alike[0]]

    def lit(
        self, paints: Paints, alpha: float, index: float, grit: Grit, mood: str
    ) -> tuple[Array, float, float]:
        """Linear light (H, W, 3), exposure and power of the picture."""
        room, evening, seen = self.lit_room.room, mood == "evening", self.seen
        light = self.lit_room.light(mood)
        colours = painted(self.film, paints, index)
        albedo = floor_albedo(colours[::ASKED])
        weights = light.weights(albedo)
        shine = joined(light.side_by_side, weights)
        sent = shine * light.colour
        sent[room.faces.floor] = shine[room.faces.floor] * albedo.astype(np.float32)
        flakes = flake_light(room, sent, index, evening)
        under = floor_light(
            seen, self.camera.row(), room, colours, self.film.lean.reshape(2, -1),
            self.glints, shine, flakes, index, evening,
        )  # fmt: skip
        mirrored = self._mirrored(light, alpha, index, grit.relief_m, evening)
        over = joined(mirrored, weights)
        picture = joined(self._around(light, evening), weights)
        picture[seen.pixels] += (under + over) * seen.cover[:, None]
        width, height = seen.size_px
        return picture.reshape(height, width, 3), exposure_for(room, light, mood), POWER

    def _around(self, light: Light, evening: bool) -> Array:
        """Light of all but the floor by order, (H * W, 9)."""
        key = ("around", evening)
        if key not in self.kept:
            room = self.lit_room.room
            mood = "evening" if evening else "day"
            held_back = min(1.0, OUTSIDE[mood] / exposure_for(room, light, mood))
            self.kept[key] = surround_light(
                self.seen, room, light.side_by_side, evening, held_back
            )
        return self.kept[key]

    def _mirrored(self, light: Light, alpha: float, index: float, texture_m: float,
                  evening: bool) -> Array:  # fmt: skip
        room, seen, camera = self.lit_room.room, self.seen, self.camera.row()
        alpha = float(np.hypot(alpha, TEXTURE_ALPHA_PER_M * texture_m))
        out = np.empty((len(seen.pixels), 9), dtype=np.float32)
        lamps = room.lamps if evening else np.zeros((0, 3))
        glow = np.array(LAMP_RGB) * LAMP_GLOW
        if alpha < ROUGH_FROM:
            mirror(
                seen.pixels, camera, alpha, index, room.faces.table, light.side_by_side,
                room.skins, room.doors, room.solids, lamps, glow, evening, out,
            )  # fmt: skip
            return out
        step, cut = (4, (10, 6)) if alpha < 0.07 else (5, (6, 4))
        nodes, across, top = seen.nodes(step)
        coarse = np.zeros((len(nodes), 9), dtype=np.float32)
        sent = light.side_by_side * np.tile(light.colour, 3)
        rough(
            nodes, camera, alpha, index, _lobe_numbers(48), room.faces.table, sent,
            room.solids, np.array(cut, dtype=np.int64), pane_light(room, *cut, evening),
            lamps, glow, coarse,
        )  # fmt: skip
        coarse = settled(coarse.reshape(-1, across, 9), nodes, across, room, camera)
        width = self.camera.width_px
        spread(seen.pixels, width, step, across, top, coarse, texture_m, seen.places, out)
        return out


@lru_cache(maxsize=4)
def _lobe_numbers(count: int) -> NDArray[np.float64]:
    """Numbers in [0, 1)², evenly spread: the R2 sequence of [Roberts2018]."""
    k = np.arange(1, count + 1)[:, None]
    return np.asarray((k * np.array([0.7548776662466927, 0.5698402909980532])) % 1.0)


def settled(light: Array, nodes: NDArray[np.float64], across: int, room: Room,
            camera: NDArray[np.float64]) -> Array:  # fmt: skip
    """Fill nodes beyond the walls from their neighbours and take the last grain out."""
    import shapely

    places = np.empty((len(nodes), 2))
    places_seen(nodes, camera, places)
    inside = shapely.contains_xy(room.outline, places[:, 0], places[:, 1])
    known = inside.reshape(-1, across).astype(np.float32)[..., None]
    value = light * known
    for _ in range(3):
        total, weight = _boxed(value), _boxed(known)
        grown = np.where(weight > 0, total / np.maximum(weight, 1e-6), 0.0)
        value = np.where(known > 0, value, grown)
        known = np.maximum(known, (weight > 0).astype(np.float32))
    smoothed = _boxed(value * known) / np.maximum(_boxed(known), 1e-6)
    return np.ascontiguousarray(smoothed.reshape(-1, light.shape[-1]).astype(np.float32))


def _boxed(grid: Array) -> Array:
    """Sum over 3 x 3 neighbours with weights 1 2 1."""
    padded = np.pad(grid, ((1, 1), (1, 1), (0, 0)), mode="edge")
    rows = padded[:-2] + 2 * padded[1:-1] + padded[2:]
    summed: Array = rows[:, :-2] + 2 * rows[:, 1:-1] + rows[:, 2:]
    return summed


def exposure_for(room: Room, light: Light, mood: str) -> float:
    """Exposure that sets the walls to the mood's grey, whatever the floor's colour."""
    walls = room.faces.face < len(room.solids.walls)
    shine = light.orders[0][walls] @ np.array([0.2126, 0.7152, 0.0722], dtype=np.float32)
    return float(GREY[mood] / max(float(np.median(shine)) * 0.45, 1e-6))


def view_room(
    poured: Any, plan: FloorPlan, width_px: int, height_px: int, samples: int
) -> RoomView:
    """Stand in the largest room and ask the pour for the film that is in view."""
    kept = _lit(plan)
    stand = kept.room.stand
    camera = camera_at(stand, width_px, height_px)
    seen = look(kept.room, camera, samples)
    film = poured.film_at(
        seen.film_x.astype(np.float64), seen.film_y.astype(np.float64), seen.footprint
    )
    return RoomView(kept, camera, seen, film, seen.glints())
