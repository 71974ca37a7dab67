"""The gallery: puts the floor of a job on the stage, and further pours beside it."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from typing import Any

from kit.bench.designs import shown_beside
from kit.bench.painter import Painter, later
from kit.bench.plates import Plate, Plates, Wanted, optics
from kit.bench.pours import Hung, Pours
from kit.bench.scenes import Scene, Side, Studio
from kit.bench.stage import Stage
from kit.job import Job
from kit.plan import FloorPlan
from kit.plan.views import SEEN
from kit.stock import Shelf

Guard = Callable[[Callable[..., Any]], Callable[..., None]]
_MOOD_WORDS = {"day": "by day", "evening": "in the evening"}
STANDS_S = 0.2
"""What has not moved for so long stands still."""


class Gallery:
    """Ask for pictures as the job changes; show each when it is dry, the newest last.

    Parameters
    ----------
    stage : Stage
    shelf : Shelf
    tag : callable
        Name and words of a side for its tag on the stage.
    hang : callable
        Takes the further pours and the kept designs, see `pours.Pours`.
    tell : callable
        Takes what a picture failed with.
    guarded : callable
        Wraps what the stage calls, so that no fault of it is lost.
    hand : ThreadPoolExecutor
        The one worker that every picture and paper is made by.
    """

    def __init__(
        self,
        stage: Stage,
        shelf: Shelf,
        *,
        tag: Callable[[Side], tuple[str, str]],
        hang: Callable[[Hung, Hung], None],
        tell: Callable[[Exception], None],
        guarded: Guard,
        hand: ThreadPoolExecutor,
    ) -> None:
        self._stage = stage
        self._tag = tag
        self._tell = tell
        self.studio = Studio(shelf)
        self._stages = Painter[Scene](
            self.studio.paint, self._show, self._failed, rest=self._rested, hand=hand
        )
        self._pours = Pours(
            self.studio, hang=hang, tell=tell, yields=lambda: self._stages.is_busy,
            rest=self._want_plates, hand=hand,
        )  # fmt: skip
        self._plates = Plates(self.studio, shelf)
        self._press = Painter[tuple[Wanted, ...]](
            self._made, self._lay, tell, rest=self._want_plates, hand=hand
        )
        self._shelf = shelf
        stage.on_msg(guarded(self._hear))
        self._scene: Scene | None = None
        self._shown: Scene | None = None
        self._designs: tuple[Side, ...] = ()

    def follow(
        self,
        job: Job,
        plan: FloorPlan | None,
        sides: tuple[Side, ...],
        *,
        is_moving: bool = False,
    ) -> None:
        """Show one floor, or the two either side of the edge.

        While something `is_moving` quick sketches are shown; the full picture
        follows when it stands still. Where the page holds the film it shades it itself.
        Without a plan the stage is empty.
        """
        self._designs = tuple(shown_beside(job, design) for design in job.designs)
        self._pours.follow(job.recipe.seed)
        if plan is None:
            self._empty()
            return
        wide, high = self._stage.size_px
        scene = Scene(plan, self._stage.view, self._stage.mood, sides, wide, high)
        if scene == self._scene:
            if self._shown == scene.sized():
                self._pours.want(scene, self._designs)
            return
        self._scene = scene
        if self._stage.shades_itself and self._plates.holds(scene.sized()):
            self._shown = scene.sized()
            self._stage.shades = self._looks(scene.sized())
            self._stages.drop()
            if not self._stages.is_busy:
                self._rested()
            return
        self._stage.busy, self._stage.shades = True, {}
        now = scene.sketched() if is_moving else scene.sized()
        self._stages.want(self._first(scene) or now)

    def begin(self) -> None:
        """Take everything of the job before off the stage: another one's follows."""
        for painter in (self._stages, self._press):
            painter.forget()
        self._plates.forget()
        self._empty()

    def _empty(self) -> None:
        """Show nothing: what was shown is not this floor."""
        self._scene = self._shown = None
        self._pours.forget()
        self._stage.pictures = self._stage.shades = {}
        self._stage.busy = False

    def _first(self, scene: Scene) -> Scene | None:
        """A sketch from above while a room is lit for the first time; None after that."""
        if self._shown is None and not self._stages.is_busy and scene.view != "above":
            return replace(scene, view="above").sketched()
        return None

    def four_more(self) -> None:
        """Hang four pours that were not seen yet, once there are some to go on from."""
        if self._scene is not None and self._pours.go_on():
            self._pours.want(self._scene, self._designs)

    async def settled(self) -> None:
        """Wait until stage and strip show what was last asked for."""
        await self._stages.settled()
        await self._pours.settled()
        await self._press.settled()

    def _show(self, scene: Scene, jpegs: tuple[bytes, ...]) -> None:
        if self._scene is None:
            return
        self._shown = scene
        self._stage.pictures = {
            "left": jpegs[0],
            "right": jpegs[1] if len(jpegs) > 1 else b"",
            **self._words(scene),
        }

    def _words(self, scene: Scene) -> dict[str, Any]:
        """What is seen, for those who cannot see it, and the tags of both sides."""
        tags = [self._tag(side) for side in scene.sides]
        names = [name.lower() for name, _ in tags]
        seen = f"{SEEN[scene.view]}, {_MOOD_WORDS[scene.mood]}"
        sides = " left and ".join(names) + (" right of the edge" if len(names) > 1 else "")
        return {
            "view": scene.view,
            "tags": [list(tag) for tag in tags],
            "says": f"The floor {seen}, in {sides}",
        }

    def _looks(self, scene: Scene) -> dict[str, Any]:
        return self._plates.looks(scene) | self._words(scene)

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
        self._pours.want(scene, self._designs)
        self._want_plates()

    def _finish(self, scene: Scene) -> None:
        """Draw in full what stood still since."""
        if scene == self._scene:
            self._stages.want(scene.sized())

    def _hear(self, _: object, message: dict[str, Any], __: list[bytes]) -> None:
        """Start anew when a page opens: it holds no plates yet."""
        if message.get("do") == "open":
            self._plates.forget()
            self._want_plates()

    def _want_plates(self) -> None:
        """Send the page what it lacks of the scene, then what may be chosen next."""
        scene = self._scene
        if scene is None or not self._stage.shades_itself or self._stages.is_busy:
            return
        if self._stage.busy or self._press.is_busy or self._shown != scene.sized():
            return
        if not self._stage.optics:
            self._stage.optics = optics(self._shelf)
        missing = self._plates.missing(scene.sized())
        if missing:
            self._press.want(tuple(missing))
            return
        if self._pours.is_busy:
            return
        other = "evening" if scene.mood == "day" else "day"
        finishes = [finish.key for finish in self._shelf.finishes]
        ahead = self._plates.ahead(scene.sized(), (scene.mood, other), finishes)
        if ahead is not None:
            self._press.want((ahead,))
        elif not self._stage.shades.get("all"):
            self._stage.shades = self._looks(scene.sized()) | {"all": True}

    def _made(self, wanted: tuple[Wanted, ...]) -> list[tuple[Wanted, Plate]]:
        made = []
        for one in wanted:
            if self._stages.is_busy or self._press.has_newer:
                break  # a picture that is waited for comes first
            made.append((one, self._plates.make(one)))
        return made

    def _lay(self, _: object, made: list[tuple[Wanted, Plate]]) -> None:
        for wanted, plate in made:
            self._plates.sent(wanted)
            self._stage.send({"plate": plate.words}, buffers=plate.textures)
        scene = self._scene
        if scene is not None and self._plates.holds(scene.sized()):
            self._stage.shades = self._looks(scene.sized())
