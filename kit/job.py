"""One floor from the measure sheet to the proposal, read top to bottom.

Two strands leave the plan: what the floor will look like, and what it will
cost. They meet here and nowhere below::

    sheet → Job → plan ─┬→ takeoff → coats → work → bid ─┬→ Workup
                        └→ pour → look ──────────────────┴→ pictures
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pydantic import Field

from kit.bid import Bid, Offer, Payment, bid, offer_of, payment_plan
from kit.coats import System, system_for
from kit.errors import Concern, PictureError, SheetError
from kit.plan import FloorPlan, lay_out
from kit.plan.views import VIEWS, View
from kit.pour.palette import Palette
from kit.pour.recipe import Recipe
from kit.record import Record, filled
from kit.site import Site, read_sheet
from kit.site.text import Line, Name
from kit.stock import Caution, Shelf, cautions_for, read_shelf
from kit.takeoff import Takeoff, take_off
from kit.units import read_length
from kit.work import Work, work_for

if TYPE_CHECKING:
    from collections.abc import Iterator

    import numpy as np
    from numpy.typing import NDArray

    from kit.look.picture import Picture
    from kit.look.sight import Paints, Part, Sight
    from kit.pour.poured import PouredFloor
    from kit.stock.records import Finish


class Firm(Record):
    """Who pours the floor, as it signs its papers."""

    name: Name = "Your firm"
    person: Line = ""
    address: Line = ""
    phone: Line = ""
    email: Line = ""
    licence: Line = Field(
        default="", description="Licence or registration number; blank prints a line."
    )


class Job(Record):
    """Every choice that a person made about one floor."""

    title: Name = "Poured floor"
    number: Line = ""
    date: datetime.date = Field(strict=True)
    valid_days: int = Field(
        default=28, ge=1, le=365, strict=True, description="Days the price stands."
    )
    firm: Firm = Firm()
    site: Site
    recipe: Recipe
    finish: str

    @property
    def open_until(self) -> datetime.date:
        """Last day the price stands."""
        return self.date + datetime.timedelta(days=self.valid_days)

    @classmethod
    def from_sheet(cls, path: str | Path) -> Job:
        """Read a measure sheet.

        Raises
        ------
        SheetError, ShelfError
            In one line: the field, what was found, what is expected.
        """
        return job_from(read_sheet(Path(path)))

    def with_seed(self, seed: int) -> Job:
        """Return the same job poured again, to another pattern."""
        return self.changed(recipe=self.recipe.changed(seed=seed))


def job_from(sheet: dict[str, Any], *, shelf: Shelf | None = None) -> Job:
    """Make a Job from the tables of a measure sheet."""
    shelf = shelf or read_shelf()
    for name in sheet:
        if name not in _TABLES:
            raise SheetError(
                name, found="a table not known here", expected=", ".join(_TABLES)
            )
    about = _table(sheet, "job")
    if misplaced := about.keys() & {"firm", "site", "recipe", "finish"}:
        raise SheetError(
            f"job, {min(misplaced)}",
            found="it inside [job]",
            expected="a table of its own",
        )
    recipe, finish = _floor(_table(sheet, "floor"), shelf)
    measured = {name: sheet[name] for name in _SITE_TABLES if name in sheet}
    return filled(
        Job,
        {
            "date": datetime.date.today(),
            **about,
            "firm": filled(Firm, _table(sheet, "firm"), where="firm"),
            "site": filled(Site, measured),
            "recipe": recipe,
            "finish": finish,
        },
        where="job",
    )


_SITE_TABLES = ("client", "site", "slab", "room", "doorway", "way_out")
_TABLES = ("job", "firm", *_SITE_TABLES, "floor")


def _table(given: dict[str, Any], name: str) -> dict[str, Any]:
    table = given.get(name, {})
    if not isinstance(table, dict):
        raise SheetError(name, found=table, expected=f"a table [{name}]")
    return table


def _floor(floor: dict[str, Any], shelf: Shelf) -> tuple[Recipe, str]:
    """Read the table [floor]: colors over their seal coat, the flow, the finish."""
    given = dict(floor)
    finish = shelf.finish(
        _word(given.pop("finish", None), "floor, finish"), about="floor, finish"
    )
    seal = shelf.tint(_word(given.pop("seal", None), "floor, seal"), about="floor, seal")
    colors = given.pop("color", None)
    if not isinstance(colors, list) or not all(isinstance(c, dict) for c in colors):
        raise SheetError(
            "floor, color", found=colors, expected="two or more tables [[floor.color]]"
        )
    chosen = []
    for number, color in enumerate(colors, start=1):
        where = f"floor, color {number}, pigment"
        pigment = shelf.pigment(_word(color.get("pigment"), where), about=where)
        chosen.append({**color, "pigment": pigment.key})
    palette = filled(Palette, {"color": chosen, "tint": seal.key}, where="floor")
    return filled(Recipe, {**given, "palette": palette}, where="floor"), finish.key


def _word(given: Any, about: str) -> str:
    if not isinstance(given, str):
        raise SheetError(
            about,
            found="nothing" if given is None else given,
            expected="a name in quotation marks",
        )
    return given


@dataclass(frozen=True)
class Workup:
    """Every answer that follows from a Job without a picture.

    ``bid`` is the owner's; ``offer`` and ``payments`` are all of the price that
    a client may see.
    """

    plan: FloorPlan
    takeoff: Takeoff
    system: System
    work: Work
    bid: Bid
    offer: Offer
    payments: tuple[Payment, ...]
    cautions: tuple[Caution, ...]
    concerns: tuple[Concern, ...]


def workup(job: Job, shelf: Shelf | None = None) -> Workup:
    """Work a job up: from the rooms as measured to the price as asked.

    Raises
    ------
    SheetError, ShelfError, MeasureError
        In one line: the field, what was found, what is expected.
    """
    shelf = shelf or read_shelf()
    finish = shelf.finish(job.finish, about="finish")
    plan = lay_out(job.site)
    takeoff = take_off(plan, cracks_m=read_length(job.site.slab.cracks))
    system = system_for(takeoff, job.recipe.palette, finish, shelf)
    work = work_for(takeoff, system, shelf)
    asked = bid(takeoff, job.recipe.palette, finish, shelf)
    return Workup(
        plan=plan,
        takeoff=takeoff,
        system=system,
        work=work,
        bid=asked,
        offer=offer_of(asked, shelf),
        payments=payment_plan(asked.total, shelf),
        cautions=cautions_for(job.site, finish, shelf),
        concerns=asked.concerns,
    )


class Pictures:
    """The floor of one recipe on one plan, looked at as often as one likes.

    The pattern is worked out once a view and size; another finish, pigment or
    mood only shades it anew. Nothing here is loaded before the first picture.
    """

    def __init__(self, recipe: Recipe, plan: FloorPlan, shelf: Shelf | None = None) -> None:
        self.recipe = recipe
        self.plan = plan
        self.shelf = shelf or read_shelf()
        self._sights: dict[tuple[View, int, int, int, Part | None], Sight] = {}

    @cached_property
    def poured(self) -> PouredFloor:
        """The pattern itself, at any place of the floor."""
        from kit.pour.poured import PouredFloor

        return PouredFloor(self.recipe, self.plan)

    @cached_property
    def paints(self) -> Paints:
        """What the pigments and the seal coat do to light."""
        from kit.look.sight import paints_for

        palette = self.recipe.palette
        pigments = tuple(self.shelf.pigment(c.pigment) for c in palette.colours)
        return paints_for(pigments, self.shelf.tint(palette.tint))

    def sight(
        self, view: View, width_px: int, height_px: int, *, samples: int = 1,
        part: Part | None = None,
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
        key = (view, width_px, height_px, samples, part)
        if key not in self._sights:
            size = {"width_px": width_px, "height_px": height_px, "samples": samples}
            self._sights[key] = (
                above(self.poured, self.plan, **size, part=part)
                if view == "above"
                else in_room(self.poured, self.plan, **size, standing=view)
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
    ) -> Picture:
        """Picture of the floor in one finish; from above, of a part of it if asked."""
        coat, index = self._coat(finish)
        sight = self.sight(view, width_px, height_px, samples=samples, part=part)
        return sight.shown(self.paints, coat, index=index, mood=mood)

    def bands(
        self, finish: str, *, width_px: int, height_px: int, samples: int = 1,
        mood: str = "day", part: Part | None = None,
    ) -> Iterator[NDArray[np.uint8]]:  # fmt: skip
        """Picture from above as bands of rows, (H, W, 3), northern first, none kept.

        Stacked they are what `shown` gives; a size that cannot be is refused at once.
        """
        from kit.look.sight import above_in_bands

        coat, index = self._coat(finish)
        sights = above_in_bands(
            self.poured, self.plan, width_px=width_px, height_px=height_px,
            samples=samples, part=part,
        )  # fmt: skip
        return (s.shown(self.paints, coat, index=index, mood=mood).rgb for s in sights)

    def _coat(self, finish: str) -> tuple[Finish, float]:
        """A finish by its key, and the refractive index of what it is made of."""
        coat = self.shelf.finish(finish, about="finish")
        return coat, self.shelf.product(coat.product).index
