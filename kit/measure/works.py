"""The works that are timed: the demo floor as it is shown, priced and started."""

from __future__ import annotations

import itertools
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING, Any

import numpy as np

from kit.job import Job, Pictures, Workup, workup
from kit.measure.peers import Frame
from kit.measure.timing import Work
from kit.shipped import shipped

if TYPE_CHECKING:
    from kit.look.sight import Sight

FRAME_PX: dict[str, Any] = {"width_px": 960, "height_px": 600}
PATCH_PX = {"width_px": 320, "height_px": 240}
PATCH_PIXEL_M = 0.004
SQM_PER_SQFT = 0.09290304
SHEET = "boathouse.toml"


@dataclass(frozen=True)
class Demo:
    """The demo floor, its pictures kept between calls."""

    @cached_property
    def job(self) -> Job:
        """The demo's choices."""
        return Job.from_sheet(shipped("demo_assets") / SHEET)

    @cached_property
    def answers(self) -> Workup:
        """The demo worked up."""
        return workup(self.job)

    @cached_property
    def pictures(self) -> Pictures:
        """The demo's floor."""
        return Pictures(self.job.recipe, self.answers.plan)

    def sight(self, view: Any) -> Sight:
        """One view of the whole frame."""
        return self.pictures.sight(view, **FRAME_PX)

    def pattern(self) -> Work:
        """Film of a frame from above, nothing kept."""
        view: Any = self.sight("above").view
        sheet = view.sheet
        return lambda: self.pictures.poured.film_grid(
            west_m=sheet.west_m, north_m=sheet.north_m, pixel_m=sheet.pixel_m, **FRAME_PX
        )

    def encoded(self, view: Any) -> Work:
        """JPEG of the frame as the table sends it."""
        shot = self.sight(view).shown(self.pictures.paints, self._coat("satin"))
        return shot.jpeg

    def recoloured(self, view: Any, finish: str) -> Work:
        """Show other pigments each time."""
        sight, paints, coat = self.sight(view), self.pictures.paints, self._coat(finish)
        deeper = replace(paints, absorption=paints.absorption * np.float32(1.2))
        turn = itertools.cycle((deeper, paints))
        return lambda: sight.shown(next(turn), coat)

    def resheened(self, view: Any, finish: str) -> Work:
        """Show a coat that was never shown before, each time."""
        from kit.look.sheen import mirror_gloss

        sight, paints, coat = self.sight(view), self.pictures.paints, self._coat(finish)
        # above what the index can reach all coats are one
        start = min(coat.gloss_gu, 0.97 * mirror_gloss(1.5))
        coats = (
            coat.model_copy(update={"gloss_gu": start + 1e-4 * n})
            for n in itertools.count()
        )
        return lambda: sight.shown(paints, next(coats))

    def at_once(self, part: float) -> Work:
        """Film of the whole floor, shaded, this part of the frame's width and height."""
        from kit.look.sight import above

        size = {name: round(part * px) for name, px in FRAME_PX.items()}
        poured, plan = self.pictures.poured, self.answers.plan
        paints, coat = self.pictures.paints, self._coat("satin")
        return lambda: above(poured, plan, **size).shown(paints, coat)

    def walk(self) -> Work:
        """Where every place of a frame was poured: the map alone."""
        x_m, y_m = self._frame_m()
        return lambda: self.pictures.poured.came_from(x_m, y_m)

    def stroke(self, times: int) -> Work:
        """One stroke added to one block of places, so many times over."""
        from kit.measure.arithmetic import add_stroke_often
        from kit.pour.block import SIZE

        block, record = np.zeros(SIZE, np.float32), self.pictures.poured.laid.records[0]
        return lambda: add_stroke_often(block, record, times)

    @cached_property
    def drags(self) -> int:
        """Strokes of the whole floor, each counted once for every moment of its path."""
        return len(self.pictures.poured.laid.records)

    @cached_property
    def frame(self) -> Frame:
        """The floor from above, to encode or to lay in a peer's room."""
        return self.sight("above").shown(self.pictures.paints, self._coat("satin")).rgb

    def _frame_m(self) -> tuple[Any, Any]:
        view: Any = self.sight("above").view
        sheet = view.sheet
        over = sheet.west_m + sheet.pixel_m * (np.arange(FRAME_PX["width_px"]) + 0.5)
        down = sheet.north_m - sheet.pixel_m * (np.arange(FRAME_PX["height_px"]) + 0.5)
        return np.meshgrid(over, down)

    def patch(self, sqft: float) -> Work:
        """Film of small patches spread over a square floor of this area."""
        from kit.pour.poured import PouredFloor

        side_m = float(np.sqrt(sqft * SQM_PER_SQFT))
        poured = PouredFloor(self.job.recipe, _square(side_m))
        wide, high = (n * PATCH_PIXEL_M for n in PATCH_PX.values())
        corners = [
            (part * side_m - 0.5 * wide, (1.0 - part) * side_m + 0.5 * high)
            for part in (0.2, 0.4, 0.6, 0.8)
        ]
        return lambda: [
            poured.film_grid(west_m=x, north_m=y, pixel_m=PATCH_PIXEL_M, **PATCH_PX)
            for x, y in corners
        ]

    def _coat(self, finish: str) -> Any:
        return self.pictures.shelf.finish(finish)


def _square(side_m: float) -> Any:
    import shapely

    from kit.plan import FloorPlan, PlannedRoom, WayOut

    outline = shapely.box(0.0, 0.0, side_m, side_m)
    door = shapely.LineString([(0.0, 0.0), (0.9, 0.0)])
    room = PlannedRoom("Hall", outline, outline)
    return FloorPlan((room,), (), WayOut("Hall", door, 0.9), outline)


def first_picture(view: str) -> str:
    """Code that reads the demo sheet and shows it once."""
    size = ", ".join(f"{name}={px}" for name, px in FRAME_PX.items())
    sheet = str(shipped("demo_assets") / SHEET)
    return (
        "from kit.job import Job, Pictures\n"
        "from kit.plan import lay_out\n"
        f"job = Job.from_sheet({sheet!r})\n"
        "pictures = Pictures(job.recipe, lay_out(job.site))\n"
        f"pictures.shown({view!r}, job.finish, {size}).jpeg()"
    )
