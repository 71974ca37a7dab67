"""The gallery: puts the floor of a job on the stage, and further pours beside it."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from typing import Any

from kit.bench import choices
from kit.bench.painter import Painter, later
from kit.bench.scenes import Scene, Studio
from kit.bench.stage import Stage
from kit.job import Job
from kit.plan import FloorPlan
from kit.plan.views import SEEN
from kit.stock import Shelf

_MOOD_WORDS = {"day": "by day", "evening": "in the evening"}
_POUR_PX = (184, 136)
POURS = 4
SKETCH = 0.4
"""Size of a sketch against the full picture."""
STANDS_S = 0.2
"""What has not moved for so long stands still."""


class Gallery:
    """Ask for pictures as the job changes; show each when it is dry, the newest last.

    Parameters
    ----------
    stage : Stage
    shelf : Shelf
    tag : callable
        Name and words of a finish for its tag on the stage.
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
        tag: Callable[[str], tuple[str, str]],
        hang: Callable[[list[dict[str, Any]]], None],
        tell: Callable[[Exception], None],
        hand: ThreadPoolExecutor,
    ) -> None:
        self._stage = stage
        self._tag = tag
        self._hang = hang
        self._tell = tell
        self.studio = Studio(shelf)
        self._stages = Painter[Scene](
            self.studio.paint, self._show, self._failed, rest=self._rested, hand=hand
        )
        self._strip = Painter[tuple[Scene, ...]](
            self._poured, self._show_pours, tell, hand=hand
        )
        self._scene: Scene | None = None
        self._shown: Scene | None = None
        self._seeds: tuple[int, ...] = ()
        self._pours: tuple[Scene, ...] = ()

    def follow(
        self,
        job: Job,
        plan: FloorPlan,
        finishes: tuple[str, ...],
        *,
        is_moving: bool = False,
    ) -> None:
        """Show this job in one finish, or in the two either side of the edge.

        While something `is_moving` quick sketches are shown; the full picture
        follows when it stands still.
        """
        wide, high = self._stage.size_px
        scene = Scene(
            job.recipe, plan, self._stage.view, self._stage.mood, finishes, wide, high
        )
        if job.recipe.seed not in self._seeds:
            self._seeds = (job.recipe.seed, *choices.next_seeds(job.recipe.seed, POURS - 1))
        if scene == self._scene:
            return
        self._scene = scene
        self._stage.busy = True
        self._stages.want(scene.sized(SKETCH if is_moving else 1.0))

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
        self._shown = scene
        tags = [self._tag(finish) for finish in scene.finishes]
        names = [name.lower() for name, _ in tags]
        seen = f"{SEEN[scene.view]}, {_MOOD_WORDS[scene.mood]}"
        sides = " left and ".join(names) + (" right of the edge" if len(names) > 1 else "")
        self._stage.pictures = {
            "left": jpegs[0],
            "right": jpegs[1] if len(jpegs) > 1 else b"",
            "tags": [list(tag) for tag in tags],
            "says": f"The floor {seen}, in {sides}",
        }

    def _failed(self, error: Exception) -> None:
        # Not tried again until something changes.
        self._shown = self._scene.sized() if self._scene else None
        self._tell(error)

    def _rested(self) -> None:
        scene = self._scene
        if scene is None:
            return
        if self._shown != scene.sized():
            later(STANDS_S, lambda: self._finish(scene))
            return
        self._stage.busy = False
        self._want_pours(scene)

    def _finish(self, scene: Scene) -> None:
        """Draw in full what stood still since."""
        if scene == self._scene:
            self._stages.want(scene.sized())

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
        jpegs: list[bytes] = []
        for scene in scenes:
            if self._strip.has_newer or self._stages.is_busy:
                return jpegs  # the strip waits; the stage never does
            jpegs.extend(self.studio.paint_sample(scene))
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
