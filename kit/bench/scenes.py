"""What is to be pictured, and how the pictures of one job are made for the stage."""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import dataclass, replace

import numpy as np
from shapely import box

from kit.job import Pictures
from kit.plan import FloorPlan, PlannedRoom
from kit.plan.views import View
from kit.pour.recipe import Recipe
from kit.stock import Shelf

MOST_WIDE_PX = 1280
"""Wider pictures would only slow the table down; the browser scales the rest."""
SAMPLE_M = (4.4, 3.3)
"""Piece of floor on a further pour's picture. [m]"""
MARGIN_PX = 22
"""Walls that a view from above draws around a floor of this size."""
SKETCH = 0.4
"""Size of a sketch against the full picture."""
_GRAIN_PX = 16
_QUALITY = 90
_KEPT = 4


@dataclass(frozen=True)
class Side:
    """One floor on the stage: what is poured, the coat over it, and what it is kept as."""

    recipe: Recipe
    finish: str
    name: str = ""


@dataclass(frozen=True)
class Scene:
    """One wish for the stage.

    Parameters
    ----------
    plan : FloorPlan
    view : {"above", "room", "doorway", "wall"}
    mood : {"day", "evening"}
    sides : tuple of Side
        One floor, or the two either side of the edge.
    width_px, height_px : int
        Stage on the screen.
    is_sketch : bool
        Whether shares that are nearly those bought will do.
    """

    plan: FloorPlan
    view: View
    mood: str
    sides: tuple[Side, ...]
    width_px: int
    height_px: int
    is_sketch: bool = False

    def sized(self, scale: float = 1.0) -> Scene:
        """The same at the size that is drawn: the stage's shape, in whole grains."""
        wide = min(self.width_px, MOST_WIDE_PX) * scale
        high = wide * self.height_px / self.width_px
        grains = [max(4, round(v / _GRAIN_PX)) * _GRAIN_PX for v in (wide, high)]
        return replace(self, width_px=grains[0], height_px=grains[1])

    def sketched(self) -> Scene:
        """The same as quickly as it can be shown; another scene than the full one."""
        return replace(self.sized(SKETCH), is_sketch=True)


def sample_of(plan: FloorPlan) -> FloorPlan:
    """A rectangle in the middle of the largest room, as a plan of its own."""
    middle = plan.largest_room.outline.centroid
    wide, high = SAMPLE_M[0] / 2, SAMPLE_M[1] / 2
    piece = box(middle.x - wide, middle.y - high, middle.x + wide, middle.y + high)
    room = PlannedRoom("Sample", piece, piece)
    return FloorPlan((room,), (), plan.way_out, piece)


class Studio:
    """Make the pictures of scenes, keeping the patterns of the last few pours."""

    def __init__(self, shelf: Shelf) -> None:
        self._shelf = shelf
        self._kept: OrderedDict[object, Pictures] = OrderedDict()

    def paint(self, scene: Scene) -> tuple[bytes, ...]:
        """JPEG of the scene, one for each of its sides."""
        return tuple(
            self.pictures(side.recipe, scene.plan)
            .shown(
                scene.view,
                side.finish,
                width_px=scene.width_px,
                height_px=scene.height_px,
                mood=scene.mood,
                is_sketch=scene.is_sketch,
            )
            .jpeg(_QUALITY)
            for side in scene.sides
        )

    def paint_sample(self, scene: Scene) -> tuple[bytes, ...]:
        """JPEG of a few feet of each floor from above, without its walls."""
        from kit.look.sight import above

        made = []
        for side in scene.sides:
            pictures = self.pictures(side.recipe, scene.plan)
            sight = above(
                pictures.sketched,
                sample_of(scene.plan),
                width_px=scene.width_px + 2 * MARGIN_PX,
                height_px=scene.height_px + 2 * MARGIN_PX,
            )
            coat, index = pictures.coat(side.finish)
            picture = sight.shown(pictures.paints, coat, index=index)
            inside = picture.rgb[MARGIN_PX:-MARGIN_PX, MARGIN_PX:-MARGIN_PX]
            made.append(type(picture)(np.ascontiguousarray(inside)).jpeg(_QUALITY))
        return tuple(made)

    def pictures(self, recipe: Recipe, plan: FloorPlan) -> Pictures:
        """The floor of a recipe: poured once, then looked at in any colors."""
        poured = self._kept.get(recipe.pattern)
        if poured is None or poured.plan != plan:
            poured = self._kept[recipe.pattern] = Pictures(recipe, plan, self._shelf)
        self._kept.move_to_end(recipe.pattern)
        while len(self._kept) > _KEPT:
            self._kept.popitem(last=False)
        return poured if poured.recipe == recipe else poured.in_colors(recipe)
