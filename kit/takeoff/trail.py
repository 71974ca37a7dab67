r"""Figures that say how they came to be, down to what was read off the tape.

A `Figure` names the figures it is made of (`Figure.parts`), and these theirs, so that
a price can be followed back to a wall. Coats, work and bid hang their figures on the
same tree: give what you computed a name, its value in SI (or money, with the currency
as its unit), the sum that made it in words, and the figures that went into the sum::

    walls = Figure("Hall, walls", 9.7536, "m", "outline less doorways")
    face = Figure("Cove base, face", 0.99, "m²", "32.0 ft × 4 in", parts=(walls,))
    print("\n".join(trail_lines([face])))

`summed` makes a figure that is the sum of others, `spoken` says a value in the trade's
units, `trail_lines` prints trees for a terminal and `told` makes one fit for JSON.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, Literal

from kit.money import shown
from kit.units import KG_PER_LB, M_PER_FT, gallons, mils, square_feet

Unit = Literal["m²", "m", "µm", "l", "kg", "h", ""]
"""What is measured; a figure may also be money, or a count of something named."""

_CURRENCY_LETTERS = 3
_INDENT = "  "


@dataclass(frozen=True)
class Figure:
    """One measured or computed figure and its trail.

    Parameters
    ----------
    name : str
        ``Studio, net``.
    value : float or Decimal
        In `unit`, SI; money as Decimal.
    unit : str
        ``m²``, ``m``, ``µm``, ``l``, ``kg``, ``h``; a currency (ISO 4217); a word for
        what is counted; or nothing for a plain number.
    how : str
        The sum that made it, in the trade's units: ``402.0 sq ft outline − 1.8 sq ft
        columns``.
    parts : tuple of Figure
        The figures that went into it.
    """

    name: str
    value: float | Decimal
    unit: str
    how: str
    parts: tuple[Figure, ...] = ()

    @property
    def spoken(self) -> str:
        """The value in the trade's units: ``400.2 sq ft``."""
        return spoken(self.value, self.unit)

    @property
    def line(self) -> str:
        """How it came to be on one line, its parts left out."""
        return f"{self.name}: {self.spoken} = {self.how}"


def summed(name: str, unit: str, parts: Sequence[Figure]) -> Figure:
    """Make a figure that is the sum of others; those of nothing are left out of the words.

    >>> summed("Net area", "m²", [Figure("Hall, net", 9.290304, "m²", "as walked")]).how
    '100.0 sq ft'
    """
    value = sum(float(part.value) for part in parts)
    how = " + ".join(part.spoken for part in parts if part.value) or "nothing"
    return Figure(name, value, unit, how, tuple(parts))


def spoken(value: float | Decimal, unit: str) -> str:
    """Say an SI value as the trade does, and money in its currency.

    >>> spoken(59.5, "m²"), spoken(11.356235352, "l"), spoken(889.0, "µm")
    ('640.5 sq ft', '3.00 gal', '35.0 mil')
    >>> spoken(Decimal("12.50"), "USD"), spoken(3, "treads")
    ('$12.50', '3 treads')
    """
    if len(unit) == _CURRENCY_LETTERS and unit.isupper():
        return shown(Decimal(value), unit)
    number = float(value)
    match unit:
        case "m²":
            return f"{square_feet(number):,.1f} sq ft"
        case "m":
            return f"{number / M_PER_FT:,.1f} ft"
        case "µm":
            return f"{mils(number):.1f} mil"
        case "l":
            return f"{gallons(number):,.2f} gal"
        case "kg":
            return f"{number / KG_PER_LB:,.2f} lb"
        case "h":
            return f"{number:,.2f} h"
        case _:
            return f"{number:,.6g} {unit}".rstrip()


def trail_lines(figures: Iterable[Figure], *, indent: int = 0) -> Iterator[str]:
    r"""Print trees of figures, a line each, what it is made of indented below it.

    A figure whose parts were told before is told again without them.

    >>> part = Figure("Hall, net", 9.290304, "m²", "as walked")
    >>> print("\n".join(trail_lines([summed("Net area", "m²", [part])])))
    Net area: 100.0 sq ft = 100.0 sq ft
      Hall, net: 100.0 sq ft = as walked
    """
    yield from _lines(figures, indent, set())


def _lines(
    figures: Iterable[Figure], indent: int, seen: set[tuple[str, str]]
) -> Iterator[str]:
    for figure in figures:
        line = f"{_INDENT * indent}{figure.line}"
        known = (figure.name, figure.line)
        if figure.parts and known in seen:
            yield f"{line} (see above)"
            continue
        seen.add(known)
        yield line
        yield from _lines(figure.parts, indent + 1, seen)


def every(figures: Iterable[Figure]) -> Iterator[Figure]:
    """Walk trees of figures, each before what it is made of."""
    for figure in figures:
        yield figure
        yield from every(figure.parts)


def told(figure: Figure) -> dict[str, Any]:
    """Make a figure and all its parts fit for JSON, money as a string."""
    value = str(figure.value) if isinstance(figure.value, Decimal) else figure.value
    return {
        "name": figure.name,
        "value": value,
        "unit": figure.unit,
        "spoken": figure.spoken,
        "how": figure.how,
        "parts": [told(part) for part in figure.parts],
    }
