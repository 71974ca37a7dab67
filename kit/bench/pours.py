"""Small pictures beside the stage: further pours of the same colors, and kept designs."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from typing import Any

from kit.bench.painter import Painter
from kit.bench.scenes import Scene, Side, Studio
from kit.pour.recipe import Recipe

POURS = 4
_POUR_PX = (184, 136)

Hung = list[dict[str, Any]]


@dataclass(frozen=True)
class _Row:
    """Pours to hang: a scene in each of these seeds, or in seeds that are still to find.

    Parameters
    ----------
    scene : Scene
        A sample of the floor in hand.
    designs : tuple of Side
        Kept designs, hung after the pours.
    seeds : tuple of int
        Empty until they are found.
    after : int or None
        Seed after which to look; None to hang the scene's own and others like it.
    """

    scene: Scene
    designs: tuple[Side, ...]
    seeds: tuple[int, ...]
    after: int | None

    def found(self) -> tuple[int, ...]:
        """Seeds of floors that differ from the scene's and from each other."""
        if self.seeds:
            return self.seeds
        # numba: a table that shows no picture must open without it
        from kit.pour.strip import seed_strip

        recipe, plan = self.scene.sides[0].recipe, self.scene.plan
        if self.after is not None:
            return _seeds(seed_strip(recipe, plan, POURS, start=self.after))
        return (recipe.seed, *_seeds(seed_strip(recipe, plan, POURS - 1)))


def _seeds(recipes: tuple[Recipe, ...]) -> tuple[int, ...]:
    return tuple(recipe.seed for recipe in recipes)


class Pours:
    """Hang four pours that differ, and the kept designs; the stage never waits for them.

    Parameters
    ----------
    studio : Studio
    hang : callable
        Takes the further pours, ``{"seed", "picture"}`` each, and the kept designs,
        ``{"name", "picture"}`` each.
    tell : callable
        Takes what a picture failed with.
    yields : callable
        Whether the stage wants the hand now.
    rest : callable
        Called when nothing is left to hang.
    hand : ThreadPoolExecutor
    """

    def __init__(
        self,
        studio: Studio,
        *,
        hang: Callable[[Hung, Hung], None],
        tell: Callable[[Exception], None],
        yields: Callable[[], bool],
        rest: Callable[[], None],
        hand: ThreadPoolExecutor,
    ) -> None:
        self._studio = studio
        self._hang = hang
        self._yields = yields
        self._painter = Painter[_Row](
            self._painted, self._shown, tell, rest=rest, hand=hand
        )
        self._own = -1
        self._after: int | None = None
        self._seeds: tuple[int, ...] = ()
        self._row: _Row | None = None

    @property
    def is_busy(self) -> bool:
        """Whether pictures are still to be hung."""
        return self._painter.is_busy

    def follow(self, seed: int) -> None:
        """Start from another pour, unless it is one of those that hang."""
        if seed not in (self._own, *self._seeds):
            self._own, self._after, self._seeds = seed, None, ()

    def want(self, scene: Scene, designs: tuple[Side, ...]) -> None:
        """Hang pours like the scene's first side, and designs, where they changed."""
        wide, high = _POUR_PX
        first = scene.sides[0]
        side = Side(first.recipe.changed(seed=self._own), first.finish)
        sample = replace(
            scene, sides=(side,), view="above", mood="day", width_px=wide, height_px=high
        )
        row = _Row(sample, designs, self._seeds, self._after)
        if row != self._row:
            self._row = row
            self._painter.want(row)

    def forget(self) -> None:
        """Take down what hangs; there is no floor to show, or another follows."""
        self._painter.forget()
        self._own, self._after, self._seeds, self._row = -1, None, (), None
        self._hang([], [])

    def go_on(self) -> bool:
        """Look for pours that were not seen yet, once there are some to go on from."""
        if self._seeds:
            self._after, self._seeds = self._seeds[-1], ()
            return True
        return False

    async def settled(self) -> None:
        """Wait until what was last asked for hangs."""
        await self._painter.settled()

    def _painted(self, row: _Row) -> list[tuple[Side, bytes]]:
        first = row.scene.sides[0]
        pours = [replace(first, recipe=first.recipe.changed(seed=s)) for s in row.found()]
        made = []
        for side in (*pours, *row.designs):
            if self._painter.has_newer or self._yields():
                return []
            (jpeg,) = self._studio.paint_sample(replace(row.scene, sides=(side,)))
            made.append((side, jpeg))
        return made

    def _shown(self, row: _Row, made: list[tuple[Side, bytes]]) -> None:
        if row != self._row:
            return
        if not made:
            self._row = None
            return
        self._seeds = tuple(side.recipe.seed for side, _ in made if not side.name)
        self._row = replace(row, seeds=self._seeds)
        self._hang(
            [{"seed": s.recipe.seed, "picture": j} for s, j in made if not s.name],
            [{"name": s.name, "picture": j} for s, j in made if s.name],
        )
