"""From the tables of a measure sheet to a Job."""

from __future__ import annotations

import datetime
from typing import Any

from kit.errors import SheetError
from kit.job.records import Firm, Job, Sale
from kit.pour.palette import Palette
from kit.pour.recipe import Recipe
from kit.record import filled
from kit.site import Site
from kit.stock import Discount, Shelf, read_shelf, taken_of


def job_from(sheet: dict[str, Any], *, shelf: Shelf | None = None) -> Job:
    """Make a Job from the tables of a measure sheet."""
    shelf = shelf or read_shelf()
    for name in sheet:
        if name not in _TABLES:
            raise SheetError(
                name, found="a table not known here", expected=", ".join(_TABLES)
            )
    about = _table(sheet, "job")
    if misplaced := about.keys() & {
        *("firm", "sale", "site", "recipe", "finish", "extras", "discount")
    }:
        first = min(misplaced)
        raise SheetError(
            f"job, {first}",
            found="it inside [job]",
            expected="it in [floor]" if first == "extras" else "a table of its own",
        )
    recipe, finish, extras = _floor(_table(sheet, "floor"), shelf)
    measured = {name: sheet[name] for name in _SITE_TABLES if name in sheet}
    for name in ("room", "way_out"):
        if not measured.get(name):
            raise SheetError(name, found="nothing", expected="it to be given")
    return filled(
        Job,
        {
            "date": datetime.date.today(),
            **about,
            "firm": filled(Firm, _table(sheet, "firm"), where="firm"),
            "sale": filled(Sale, _table(sheet, "sale"), where="sale"),
            "site": filled(Site, measured),
            "recipe": recipe,
            "finish": finish,
            "extras": extras,
            "discount": filled(Discount, _table(sheet, "discount"), where="discount"),
        },
        where="job",
    )


def is_dated(sheet: dict[str, Any]) -> bool:
    """Whether a sheet says of which day it is."""
    return "date" in _table(sheet, "job")


_SITE_TABLES = (
    *("client", "site", "slab", "climate", "crew"),
    *("room", "doorway", "way_out"),
    *("stairs", "step", "edge"),
)
_TABLES = ("job", "firm", "sale", *_SITE_TABLES, "floor", "discount")


def _table(given: dict[str, Any], name: str) -> dict[str, Any]:
    table = given.get(name, {})
    if not isinstance(table, dict):
        raise SheetError(name, found=table, expected=f"a table [{name}]")
    return table


def _floor(floor: dict[str, Any], shelf: Shelf) -> tuple[Recipe, str, tuple[str, ...]]:
    """Read the table [floor]: colors over their seal coat, flow, finish and extras."""
    given = dict(floor)
    finish = shelf.finish(
        _word(given.pop("finish", None), "floor, finish"), about="floor, finish"
    )
    extras = given.pop("extras", [])
    if not isinstance(extras, list):
        raise SheetError(
            "floor, extras", found=extras, expected="a list in square brackets"
        )
    keys = [_word(extra, "floor, extras") for extra in extras]
    taken = taken_of(keys, shelf.extras, about="floor, extras")
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
    return (
        filled(Recipe, {**given, "palette": palette}, where="floor"),
        finish.key,
        tuple(extra.key for extra in taken),
    )


def _word(given: Any, about: str) -> str:
    if not isinstance(given, str):
        raise SheetError(
            about,
            found="nothing" if given is None else given,
            expected="a name in quotation marks",
        )
    return given
