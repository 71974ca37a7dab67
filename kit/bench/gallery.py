"""The gallery: puts the floor of a job on the stage, and further pours beside it."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from typing import Any

from kit.bench import choices
from kit.bench.painter import Painter
from kit.bench.scenes import Scene, Studio
from kit.bench.stage import Stage
from kit.job import Job
from kit.plan import FloorPlan
from kit.stock import Shelf

_VIEW_WORDS = {"room": "in the room", "above": "from above"}
_MOOD_WORDS = {"day": "by day", "evening": "in the evening"}
_POUR_PX = (184, 136)
POURS = 4


class Gallery:
    """Ask for pictures as the job changes; show each when it is dry, the newest last.

    Parameters
    ----------
    stage : Stage
    shelf : Shelf
    hang : callable
        Takes the further pours, ``{"seed", "picture"}`` each.
    tell : callable
        Takes what a picture failed with.
    hand : ThreadPoolExecutor
        The one worker that every picture and paper is made by.
    """

    def __init__(
        self,
        stage: Stage,
        shelf: Shelf,
        *,
        hang: Callable[[list[dict[str, Any]]], None],
        tell: Callable[[Exception], None],
        hand: ThreadPoolExecutor,
    ) -> None:
        self._stage = stage
        self._shelf = shelf
        self._hang = hang
        self.studio = Studio(shelf)
        self._stages = Painter[Scene](
            self.studio.paint, self._show, tell, rest=self._rested, hand=hand
        )
        self._strip = Painter[tuple[Scene, ...]](
            self._poured, self._show_pours, tell, hand=hand
        )
        self._scene: Scene | None = None
        self._seeds: tuple[int, ...] = ()
        self._pours: tuple[Scene, ...] = ()

    def follow(self, job: Job, plan: FloorPlan, finishes: tuple[str, ...]) -> None:
        """Show this job in one finish, or in the two either side of the edge."""
        wide, high = self._stage.size_px
        scene = Scene(
            job.recipe, plan, self._stage.view, self._stage.mood, finishes, wide, high
        ).sized()
        if job.recipe.seed not in self._seeds:
            self._seeds = (job.recipe.seed, *choices.next_seeds(job.recipe.seed, POURS - 1))
        if scene == self._scene:
            return
        self._scene = scene
        self._stage.busy = True
        self._stages.want(scene)

    def four_more(self) -> None:
        """Hang four pours that were not seen yet."""
        self._seeds = choices.next_seeds(self._seeds[-1], POURS)
        if self._scene is not None:
            self._want_pours(self._scene)

    async def settled(self) -> None:
        """Wait until stage and strip show what was last asked for."""
        await self._stages.settled()
        await self._strip.settled()

    def _show(self, scene: Scene, jpegs: tuple[bytes, ...]) -> None:
        names = [self._shelf.finish(f).name.lower() for f in scene.finishes]
        sides = " left and ".join(names) + (" right of the edge" if len(names) > 1 else "")
        self._stage.pictures = {
            "left": jpegs[0],
            "right": jpegs[1] if len(jpegs) > 1 else b"",
            "says": f"The floor {_VIEW_WORDS[scene.view]}, {_MOOD_WORDS[scene.mood]}, in {sides}",
        }

    def _rested(self) -> None:
        self._stage.busy = False
        if self._scene is not None:
            self._want_pours(self._scene)

    def _want_pours(self, scene: Scene) -> None:
        wide, high = _POUR_PX
        pours = tuple(
            replace(
                scene,
                recipe=scene.recipe.changed(seed=seed),
                view="above",
                mood="day",
                finishes=scene.finishes[:1],
                width_px=wide,
                height_px=high,
            )
            for seed in self._seeds
        )
        if pours != self._pours:
            self._pours = pours
            self._strip.want(pours)

    def _poured(self, scenes: tuple[Scene, ...]) -> list[bytes]:
        jpegs = []
        for scene in scenes:
            if self._strip.has_newer or self._stages.is_busy:
                return jpegs  # the strip waits; the stage never does
            jpegs.extend(self.studio.paint(scene))
        return jpegs

    def _show_pours(self, scenes: tuple[Scene, ...], jpegs: list[bytes]) -> None:
        if len(jpegs) < len(scenes):
            self._pours = ()
            return
        self._hang(
            [
                {"seed": scene.recipe.seed, "picture": jpeg}
                for scene, jpeg in zip(scenes, jpegs, strict=True)
            ]
        )
