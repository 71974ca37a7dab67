"""The price as a tree of figures: each line, and what it was made of, down to the tape."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from kit.bid.records import BuildUp, Line, LineKind
from kit.coats.system import Purchase, System
from kit.money import ZERO, shown
from kit.stock.house import Driver
from kit.takeoff.figures import Takeoff
from kit.takeoff.trail import Figure
from kit.work.records import Work

_ON_SITE: tuple[LineKind, ...] = (
    *("materials", "labor", "equipment", "disposal", "subcontract", "travel"),
)

_BUILT_ON: tuple[LineKind, ...] = (
    *("overhead", "contingency", "margin", "discount", "rounding", "tax"),
)
_COUNTED: dict[Driver, str] = {
    "area": "Net area",
    "perimeter": "Edges",
    "cracks": "Cracks",
    "base": "Walls for a base",
}
"""What tasks are counted by, as the takeoff calls it."""


def price_trail(
    takeoff: Takeoff, system: System, work: Work, built: BuildUp, currency: str
) -> Figure:
    """Hang the lines of a price on the figures that they were made of.

    Returns
    -------
    Figure
        The total; its parts are the lines as printed, and theirs what they rest on.
    """
    rests_on = _Rests(takeoff, system, work)
    parts = tuple(
        Figure(
            line.label,
            line.amount,
            currency,
            line.how,
            rests_on.of(line) or _above(line, built.lines[:at], currency),
        )
        for at, line in enumerate(built.lines)
    )
    count = f"sum of {len(parts)} printed lines"
    return Figure("Total", built.total, currency, count, parts)


class _Rests:
    """Finds the figures that a line rests on."""

    def __init__(self, takeoff: Takeoff, system: System, work: Work) -> None:
        self._purchases = {one.name: one for one in system.purchases}
        self._system, self._work, self._takeoff = system, work, takeoff

    def of(self, line: Line) -> tuple[Figure, ...]:
        """Figures of a line of direct cost; a share of lines rests on no others."""
        if line.kind not in _ON_SITE:
            return ()
        if line.label in self._purchases:
            return (_bought(self._purchases[line.label]),)
        days = _named(self._work.trail, ("Days on site",))
        match line.label:
            case "Pigments and tint":
                return tuple(
                    figure
                    for coat in self._system.coats
                    for need in coat.pigments
                    for figure in coat.trail
                    if figure.name == f"{coat.name}, {need.name}"
                )
            case "Labor":
                return tuple(map(self._hung, self._work.trail))
            case "Sundries":
                return _named(self._takeoff.trail, ("Net area", "Edges", "Cracks"))
            case _:
                return days

    def _hung(self, figure: Figure) -> Figure:
        """A figure of the work, hung on what its task is counted by."""
        drivers = [task.driver for task in self._work.tasks if task.name == figure.name]
        names = tuple(_COUNTED[driver] for driver in drivers if driver in _COUNTED)
        return replace(figure, parts=figure.parts or _named(self._takeoff.trail, names))


def _above(line: Line, before: Sequence[Line], currency: str) -> tuple[Figure, ...]:
    """The sum of lines that another line is a share of, or brings to something."""
    is_apart = line.label.endswith(", margin") or " h × " in line.how
    if line.kind not in _BUILT_ON or is_apart:
        return ()
    name, summed_up = "Lines above", before
    if line.label == "Sales tax on materials":
        name, summed_up = "Materials", [one for one in before if one.kind == "materials"]
    total = sum((one.amount for one in summed_up), ZERO)
    how = " + ".join(shown(one.amount, currency) for one in summed_up)
    return (Figure(name, total, currency, how),)


def _bought(purchase: Purchase) -> Figure:
    """The kits, hung on what is mixed from them."""
    bought = purchase.bought
    mixed = tuple(
        figure
        for made in purchase.made
        for figure in made.trail
        if figure.name.endswith(", to mix") or figure.unit == "m²"
    )
    return Figure(bought.name, bought.value, bought.unit, bought.how, bought.parts or mixed)


def _named(figures: Iterable[Figure], names: tuple[str, ...]) -> tuple[Figure, ...]:
    return tuple(figure for figure in figures if figure.name in names)
