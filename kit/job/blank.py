"""A job before anything is measured: the usual colors and finish, no walls yet."""

from __future__ import annotations

import datetime

from kit.job.records import Firm, Job
from kit.pour.palette import FEWEST, Palette
from kit.pour.recipe import Recipe
from kit.record import filled
from kit.site import UNNAMED, Client, Site
from kit.stock import Shelf, read_shelf

_USUAL_COLORS = {"deep_well": 0.5, "fjord_blue": 0.32, "kettle_copper": 0.18}
_USUAL_TINT = "soot_black"
_USUAL_FINISH = "matte"
_USUAL_SEED = 3


def blank_job(
    *,
    firm: Firm | None = None,
    day: datetime.date | None = None,
    shelf: Shelf | None = None,
) -> Job:
    """Begin a job with nothing measured.

    Parameters
    ----------
    firm : Firm, optional
        Who pours; nobody in particular by default.
    day : date, optional
        Of the proposal; today by default.
    shelf : Shelf, optional
        What the usual is taken from; its first things where it lacks them.
    """
    shelf = shelf or read_shelf()
    return Job(
        date=day or datetime.date.today(),
        firm=firm or Firm(),
        site=Site(client=Client(name=UNNAMED)),
        recipe=Recipe(palette=_usual_palette(shelf), seed=_USUAL_SEED),
        finish=_usual(_USUAL_FINISH, [finish.key for finish in shelf.finishes]),
    )


def _usual_palette(shelf: Shelf) -> Palette:
    there = [pigment.key for pigment in shelf.pigments]
    shares = _USUAL_COLORS
    if not shares.keys() <= set(there):
        shares = dict.fromkeys(there[:FEWEST], 1.0 / FEWEST)
    colors = [{"pigment": key, "share": share} for key, share in shares.items()]
    tint = _usual(_USUAL_TINT, [tint.key for tint in shelf.tints])
    return filled(Palette, {"color": colors, "tint": tint}, where="floor")


def _usual(key: str, there: list[str]) -> str:
    return key if key in there else there[0]
