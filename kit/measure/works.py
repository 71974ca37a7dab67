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
    from kit.pour.poured import PouredFloor
    from kit.pour.recipe import Recipe

FRAME_PX: dict[str, Any] = {"width_px": 960, "height_px": 600}
PRINT_PX = {"width_px": 11_314, "height_px": 7_071}
PATCH_PX = {"width_px": 320, "height_px": 240}
PATCH_PIXEL_M = 0.004
RISK_DRAWS = 100_000
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
        sheet = view.bare.sheet
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
        """Where every place of a frame was poured: the map, walls and levelling too."""
        view: Any = self.sight("above").view
        sheet = view.bare.sheet
        x_m, y_m = _middles(sheet.west_m, sheet.north_m, sheet.pixel_m)
        return lambda: self.pictures.poured.came_from(x_m, y_m)

    def priced(self) -> Work:
        """The demo priced from takeoff to alternates, kits and words found anew."""
        from kit.coats.order import cheapest_kits
        from kit.money import shown

        def price() -> None:
            cheapest_kits.cache_clear()
            shown.cache_clear()
            workup(self.job)

        return price

    def risk(self) -> Work:
        """The demo floor drawn as it may come out, so many times."""
        from kit.bid.risk import risk_of
        from kit.stock import read_shelf

        answers, shelf = self.answers, read_shelf()
        return lambda: risk_of(
            answers.system,
            answers.work,
            answers.bid,
            shelf,
            slab_is_read=True,
            draws=RISK_DRAWS,
        )

    def factors(self) -> Work:
        """The same factors drawn by numpy alone, uncorrelated and unused."""
        from kit.bid.risk.shapes import drawn
        from kit.stock import read_shelf

        spreads = read_shelf().spreads

        def draw() -> None:
            chance = np.random.default_rng(1)
            for spread in spreads:
                drawn(spread, chance, RISK_DRAWS)

        return draw

    def hall(self, sqft: float) -> Hall:
        """A bare floor of this area, poured as the demo is."""
        return Hall(self.job.recipe, sqft)

    def print_bands(self) -> tuple[Work, Frame]:
        """Four bands of an 80 Mpx picture of 4,000 sq ft, film and shade, and their pixels.

        The floor fills the picture, and where its walls are is not asked again.
        """
        from kit.look.above import kept_view
        from kit.look.bare import bare
        from kit.look.overhead import hung_over
        from kit.look.relief import grit_of
        from kit.look.sheen import alpha_of
        from kit.look.sheet import Part, cut_out
        from kit.pour.places import patch_px

        hall = self.hall(4_000.0)
        wide_m, high_m = hall.sides_m
        middle = Part(0.5 * wide_m, 0.5 * high_m, wide_m)
        sheet = cut_out(hall.plan, middle, PRINT_PX["width_px"], PRINT_PX["height_px"])
        rows = patch_px(sheet.pixel_m)
        bands = [
            sheet.band(round(part * sheet.height_px), rows)
            for part in (0.125, 0.375, 0.625, 0.875)
        ]
        open_ = np.ones((rows, sheet.width_px), np.float32)
        paints, coat = self.pictures.paints, self._coat("satin")
        alpha, grit = alpha_of(coat.gloss_gu, 1.5), grit_of(coat)

        def shown(band: Any) -> Frame:
            film = hall.poured.film_grid(
                west_m=band.west_m, north_m=band.north_m - band.first_px * band.pixel_m,
                pixel_m=band.pixel_m, width_px=band.width_px, height_px=band.height_px,
            )  # fmt: skip
            here = bare(band, open_, open_, open_, hung_over(wide_m))
            view = kept_view(here, film)
            return view.shown(paints, alpha, 1.5, grit, "day")

        return lambda: [shown(band) for band in bands], np.vstack([*map(shown, bands)])

    def stroke(self, times: int) -> Work:
        """One stroke added to one block of places, so many times over."""
        from kit.lanes import room_for
        from kit.measure.arithmetic import add_stroke_often
        from kit.pour.block import SIZE

        block, record = room_for(SIZE), self.pictures.poured.laid.records[0]
        return lambda: add_stroke_often(block, record, times)

    @cached_property
    def frame(self) -> Frame:
        """The floor from above, to encode or to lay in a peer's room."""
        return self.sight("above").shown(self.pictures.paints, self._coat("satin")).rgb

    def patch(self, sqft: float) -> Work:
        """Film of small patches spread over a square floor of this area."""
        from kit.pour.poured import PouredFloor

        side_m = float(np.sqrt(sqft * SQM_PER_SQFT))
        poured = PouredFloor(self.job.recipe, _bare(side_m, side_m))
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


@dataclass(frozen=True)
class Hall:
    """A bare oblong floor that fills a frame, poured by a recipe.

    Parameters
    ----------
    sqft : float
        Its area. [sq ft]
    """

    recipe: Recipe
    sqft: float

    @property
    def sides_m(self) -> tuple[float, float]:
        """East and north, as a frame's width and height."""
        wide, high = FRAME_PX["width_px"], FRAME_PX["height_px"]
        area = self.sqft * SQM_PER_SQFT
        return float(np.sqrt(area * wide / high)), float(np.sqrt(area * high / wide))

    @cached_property
    def plan(self) -> Any:
        """Its plan."""
        return _bare(*self.sides_m)

    @cached_property
    def poured(self) -> PouredFloor:
        """What lies there."""
        from kit.pour.poured import PouredFloor

        return PouredFloor(self.recipe, self.plan)

    @property
    def drags(self) -> int:
        """Strokes of the whole floor, each counted once for every moment of its path."""
        return len(self.poured.laid.records)

    def dragged(self, *, everywhere: bool = False) -> Work:
        """Where strokes carried every place of a frame of the floor from, (2, H, W).

        Parameters
        ----------
        everywhere : bool
            Ask every stroke at every place, whether it reaches there or not.
        """
        from kit.measure.arithmetic import drag_back
        from kit.pour.places import places_at

        wide_m, high_m = self.sides_m
        x_m, y_m = _middles(0.0, high_m, wide_m / FRAME_PX["width_px"])
        at, laid = places_at(x_m, y_m, 0.0, (0.0, 0.0)), self.poured.laid
        origins = np.empty((2, *at.east.shape), np.float32)

        def drag() -> Any:
            drag_back(at.east, at.north, at.tile_height, laid, everywhere, origins)
            return origins

        return drag


def _middles(west_m: float, north_m: float, pixel_m: float) -> tuple[Any, Any]:
    """Middles of a frame's pixels, each (H, W). [m]"""
    over = west_m + pixel_m * (np.arange(FRAME_PX["width_px"]) + 0.5)
    down = north_m - pixel_m * (np.arange(FRAME_PX["height_px"]) + 0.5)
    return np.meshgrid(over, down)


def _bare(wide_m: float, high_m: float) -> Any:
    import shapely

    from kit.plan import FloorPlan, PlannedRoom, WayOut

    outline = shapely.box(0.0, 0.0, wide_m, high_m)
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
