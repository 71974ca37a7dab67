"""The floor of one recipe on one plan, seen from anywhere."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING

from kit.errors import PictureError
from kit.plan import FloorPlan
from kit.plan.views import VIEWS, View
from kit.pour.recipe import Recipe
from kit.stock import Shelf, read_shelf

if TYPE_CHECKING:
    from collections.abc import Iterator

    import numpy as np
    from numpy.typing import NDArray

    from kit.look.picture import Picture
    from kit.look.sight import Paints, Part, Sight
    from kit.pour.poured import PouredFloor
    from kit.stock.records import Finish


SKETCHED_ON = 3_000
"""Places of the floor on which a sketch's shares are trued: to a hundredth or better."""


class Pictures:
    """The floor of one recipe on one plan, looked at as often as one likes.

    The pattern is worked out once a view and size; another finish, pigment or
    mood only shades it anew. Nothing here is loaded before the first picture.
    A sketch is the same pour with shares that are but nearly those bought.
    """

    def __init__(self, recipe: Recipe, plan: FloorPlan, shelf: Shelf | None = None) -> None:
        self.recipe = recipe
        self.plan = plan
        self.shelf = shelf or read_shelf()
        self._sights: dict[tuple[View, int, int, int, Part | None, bool], Sight] = {}

    def in_colors(self, recipe: Recipe) -> Pictures:
        """The same pour in other pigments or over another tint: nothing is poured anew.

        Raises
        ------
        PictureError
            If the recipe asks for another pattern.
        """
        if recipe.pattern != self.recipe.pattern:
            raise PictureError("recipe", found="another pattern", expected="the same pour")
        other = Pictures(recipe, self.plan, self.shelf)
        other._sights = self._sights
        other.__dict__ |= {"poured": self.poured, "sketched": self.sketched}
        return other

    @cached_property
    def poured(self) -> PouredFloor:
        """The pattern itself, at any place of the floor."""
        from kit.pour.poured import PouredFloor

        return PouredFloor(self.recipe, self.plan)

    @cached_property
    def sketched(self) -> PouredFloor:
        """The pattern with its shares nearly as bought: sooner there, for a moving hand."""
        from kit.pour.poured import PouredFloor

        return PouredFloor(self.recipe, self.plan, trued_on=SKETCHED_ON)

    @cached_property
    def paints(self) -> Paints:
        """What the pigments and the seal coat do to light."""
        from kit.look.sight import paints_for

        palette = self.recipe.palette
        pigments = tuple(self.shelf.pigment(c.pigment) for c in palette.colours)
        return paints_for(pigments, self.shelf.tint(palette.tint))

    def sight(
        self, view: View, width_px: int, height_px: int, *, samples: int = 1,
        part: Part | None = None, is_sketch: bool = False,
    ) -> Sight:  # fmt: skip
        """The floor seen from above or in its largest room, not yet shaded.

        Kept, so that going back to a view costs no more than a new shade.

        Parameters
        ----------
        view : {"above", "room", "doorway", "wall"}
            See `kit.plan.views`.

        Raises
        ------
        PictureError
            If there is no such view or the size cannot be drawn.
        """
        from kit.look.sight import above, in_room

        if view not in VIEWS:
            raise PictureError("view", found=view, expected=" or ".join(VIEWS))
        key = (view, width_px, height_px, samples, part, is_sketch)
        if key not in self._sights:
            poured = self.sketched if is_sketch else self.poured
            size = {"width_px": width_px, "height_px": height_px, "samples": samples}
            self._sights[key] = (
                above(poured, self.plan, **size, part=part)
                if view == "above"
                else in_room(poured, self.plan, **size, standing=view)
            )
        return self._sights[key]

    def shown(
        self,
        view: View,
        finish: str,
        *,
        width_px: int = 960,
        height_px: int = 600,
        samples: int = 1,
        mood: str = "day",
        part: Part | None = None,
        is_sketch: bool = False,
    ) -> Picture:
        """Picture of the floor in one finish; from above, of a part of it if asked."""
        coat, index = self.coat(finish)
        sight = self.sight(
            view, width_px, height_px, samples=samples, part=part, is_sketch=is_sketch
        )
        return sight.shown(self.paints, coat, index=index, mood=mood)

    def bands(
        self, finish: str, *, width_px: int, height_px: int, samples: int = 1,
        mood: str = "day", part: Part | None = None,
    ) -> Iterator[NDArray[np.uint8]]:  # fmt: skip
        """Picture from above as bands of rows, (H, W, 3), northern first, none kept.

        Stacked they are what `shown` gives; a size that cannot be is refused at once.
        """
        from kit.look.sight import above_in_bands

        coat, index = self.coat(finish)
        sights = above_in_bands(
            self.poured, self.plan, width_px=width_px, height_px=height_px,
            samples=samples, part=part,
        )  # fmt: skip
        return (s.shown(self.paints, coat, index=index, mood=mood).rgb for s in sights)

    def coat(self, finish: str) -> tuple[Finish, float]:
        """A finish by its key, and the refractive index of what it is made of."""
        coat = self.shelf.finish(finish, about="finish")
        return coat, self.shelf.product(coat.product).index
