"""Plates: the floor laid out for the browser, which then shades it by itself.

A plate is one layer of `kit.look.layers` with the few words that tell what it is. The
page keeps the plates of what is on the stage and needs Python no more for another
finish, light or pigment; what is missing is asked for by `Plates.missing`.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

from kit.bench.scenes import Scene, Side, Studio
from kit.stock import Shelf

MOST_FILMS = 2
"""Floors whose plates the page keeps: those either side of the edge."""


@dataclass(frozen=True)
class Wanted:
    """One plate to be made.

    Parameters
    ----------
    what : {"film", "light", "coat"}
    film : int
        Number of the film it belongs to.
    scene : Scene
    side : Side
    """

    what: str
    film: int
    scene: Scene
    side: Side


@dataclass(frozen=True)
class Plate:
    """A plate ready to be sent: words for the page, and its textures."""

    words: dict[str, Any]
    textures: list[Any]


class Plates:
    """Know which plates the page holds, and make those that it lacks."""

    def __init__(self, studio: Studio, shelf: Shelf) -> None:
        self._studio = studio
        self._shelf = shelf
        self._films: list[tuple[object, int]] = []
        self._had: set[tuple[object, ...]] = set()
        self._count = 0

    def forget(self) -> None:
        """Start anew: the page was opened again and holds nothing."""
        self._films.clear()
        self._had.clear()

    def looks(self, scene: Scene) -> dict[str, Any]:
        """What the page shades from its plates: film, coat and colors of each side."""
        return {
            "mood": scene.mood,
            "sides": [
                {
                    "film": self.film(scene, side),
                    "finish": side.finish,
                    "pigments": [c.pigment for c in side.recipe.palette.colours],
                    "tint": side.recipe.palette.tint,
                }
                for side in scene.sides
            ],
        }

    def film(self, scene: Scene, side: Side) -> int:
        """Number of the film of a side, 0 while it has none."""
        key = _film_key(scene, side)
        return next((number for known, number in self._films if known == key), 0)

    def holds(self, scene: Scene) -> bool:
        """Whether the page has the film of every side."""
        return all(("film", self.film(scene, side)) in self._had for side in scene.sides)

    def missing(self, scene: Scene) -> list[Wanted]:
        """Plates that the page lacks to show a scene."""
        return [
            wanted
            for side in scene.sides
            for wanted in self._of(scene, side)
            if self._mark(wanted) not in self._had
        ]

    def ahead(
        self, scene: Scene, moods: Iterable[str], finishes: Iterable[str]
    ) -> Wanted | None:
        """The next plate for a finish or light that might be chosen next."""
        for mood in moods:
            for finish in finishes:
                sides = (replace(scene.sides[0], finish=finish),)
                missing = self.missing(replace(scene, mood=mood, sides=sides))
                if missing:
                    return missing[0]
        return None

    def make(self, wanted: Wanted) -> Plate:
        """Make a plate; takes as long as a picture does."""
        from kit.look import layers
        from kit.look.relief import grit_of
        from kit.look.sheen import alpha_of

        scene, side = wanted.scene, wanted.side
        pictures = self._studio.pictures(side.recipe, scene.plan)
        view = pictures.sight(scene.view, scene.width_px, scene.height_px).view
        finish, index = pictures.coat(side.finish)
        words: dict[str, Any] = {"what": wanted.what, "film": wanted.film}
        if wanted.what == "film":
            film = layers.film_layer(view)
            words["size"] = [scene.width_px, scene.height_px]
            return Plate(words, [film.build, *film.shares])
        alpha = alpha_of(finish.gloss_gu, index)
        if wanted.what == "light":
            lit = {"mood": scene.mood, "finish": side.finish} if _is_lit(scene) else {}
            words |= {"mood": "", "finish": ""} | lit
            light = layers.light_layer(view, pictures.paints, alpha, index, scene.mood)
            return Plate(words, [light.mirrored, light.even])
        coat = layers.coat_layer(
            view, pictures.paints, alpha, index, grit_of(finish), scene.mood
        )
        words |= {"mood": scene.mood, "finish": side.finish}
        words |= {"form": layers.form_of(view, alpha, index, scene.mood)}
        return Plate(words, [coat.light, coat.passes])

    def sent(self, wanted: Wanted) -> None:
        """Take note that the page has a plate now."""
        self._had.add(self._mark(wanted))

    def _of(self, scene: Scene, side: Side) -> Iterator[Wanted]:
        film = self._numbered(scene, side)
        for what in ("film", "light", "coat"):
            yield Wanted(what, film, scene, side)

    def _numbered(self, scene: Scene, side: Side) -> int:
        """Number of a film; the oldest is let go when there are more than two."""
        key = _film_key(scene, side)
        if known := self.film(scene, side):
            return known
        self._count += 1
        self._films.append((key, self._count))
        if len(self._films) > MOST_FILMS:
            _, gone = self._films.pop(0)
            self._had = {mark for mark in self._had if mark[1] != gone}
        return self._count

    def _mark(self, wanted: Wanted) -> tuple[object, ...]:
        """What tells one plate from another."""
        scene, side = wanted.scene, wanted.side
        mark: tuple[object, ...] = (wanted.what, wanted.film)
        if wanted.what == "film":
            return mark
        if _is_lit(scene):
            # in a room the floor's color tints the light that it sends round
            mark += (side.recipe.palette,)
        if wanted.what == "light" and not _is_lit(scene):
            return mark
        return (*mark, scene.mood, side.finish)


def _is_lit(scene: Scene) -> bool:
    """Whether light on the floor changes with mood and colors: not from above."""
    return scene.view != "above"


def _film_key(scene: Scene, side: Side) -> tuple[object, ...]:
    return side.recipe.pattern, scene.plan, scene.view, scene.width_px, scene.height_px


@lru_cache(maxsize=4)
def optics(shelf: Shelf) -> dict[str, Any]:
    """How every pigment and tint on the shelf meets light, by key."""
    from kit.look.layers import optics_of
    from kit.look.paints import paints_for

    paints = paints_for(shelf.pigments, shelf.tints[0])
    told = optics_of(paints)
    keys = [pigment.key for pigment in shelf.pigments]
    return {
        "pigments": dict(zip(keys, told["pigments"], strict=True)),
        "tints": {tint.key: list(tint.reflectance) for tint in shelf.tints},
        "toRgb": told["toRgb"],
    }
