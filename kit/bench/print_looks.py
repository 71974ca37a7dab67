"""Pictures for print: drawn once, kept while only words of the paper change."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any

from kit.job import Pictures
from kit.plan import FloorPlan
from kit.pour.recipe import Recipe
from kit.stock import Shelf

if TYPE_CHECKING:
    from kit.look.picture import Picture

Seen = tuple[Recipe, str, str, int, int, int]


class Darkroom:
    """Keep the pictures of the last paper, whatever they were drawn for.

    Parameters
    ----------
    shelf : Shelf
    """

    def __init__(self, shelf: Shelf) -> None:
        self.shelf = shelf
        self._plan: FloorPlan | None = None
        self._kept: dict[Seen, Picture] = {}
        self._used: set[Seen] = set()

    def looks(
        self, plan: FloorPlan, *, scale: float, go_on: Callable[[], None]
    ) -> Callable[[Recipe], PrintLooks]:
        """Whoever shows this floor poured by a recipe, at a share of the size of print.

        Parameters
        ----------
        plan : FloorPlan
        scale : float
            1 for print, less for a sketch.
        go_on : callable
            Called before each picture; what it raises stops the paper there.
        """
        if plan != self._plan:
            self._plan = plan
            self._kept.clear()
        self._used = set()
        return lambda recipe: PrintLooks(self, recipe, plan, scale, go_on)

    def picture(self, seen: Seen, draw: Callable[[], Picture]) -> Picture:
        """The picture as it was drawn before, or drawn now."""
        self._used.add(seen)
        if seen not in self._kept:
            self._kept[seen] = draw()
        return self._kept[seen]

    def forget_others(self) -> None:
        """Keep only what was used since `looks` was last asked for."""
        self._kept = {seen: self._kept[seen] for seen in self._used if seen in self._kept}


@dataclass
class PrintLooks:
    """The floor of one recipe, for the pages; what the proposal calls `Looks`."""

    darkroom: Darkroom
    recipe: Recipe
    plan: FloorPlan
    scale: float
    go_on: Callable[[], None]

    @property
    def shelf(self) -> Shelf:
        """What pigments and finishes are read from."""
        return self.darkroom.shelf

    @cached_property
    def _pictures(self) -> Pictures:
        # Of its own, so that the large sights of print go when the paper is done.
        return Pictures(self.recipe, self.plan, self.shelf)

    @property
    def paints(self) -> Any:
        """What the pigments and the seal coat do to light."""
        return self._pictures.paints

    def shown(
        self, view: Any, finish: str, *, width_px: int, height_px: int, samples: int
    ) -> Picture:
        """The floor in one finish, at this scale."""
        wide, high = (max(64, round(px * self.scale)) for px in (width_px, height_px))
        seen = (self.recipe, view, finish, wide, high, samples)

        def draw() -> Picture:
            self.go_on()
            return self._pictures.shown(
                view, finish, width_px=wide, height_px=high, samples=samples
            )

        return self.darkroom.picture(seen, draw)
