"""A pigment or tint as a patch of colour on the screen."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from kit.stock import Shelf
from kit.stock.records import Finish, Pigment, Tint

STEPS = 12
"""Stops of a chip across its width."""


@dataclass(frozen=True)
class Swatch:
    """One patch.

    Parameters
    ----------
    key, name : str
    color : str
        ``#rrggbb``, sRGB under daylight.
    chip : str
        How its film bends the light under the finish: a background in CSS.
    reflects_percent : float
        Light reflectance value, 0 to 100.
    """

    key: str
    name: str
    color: str
    chip: str
    reflects_percent: float


def swatches(shelf: Shelf, tint: str, finish: str) -> tuple[Swatch, ...]:
    """Patch of every pigment laid over a tint, under a finish."""
    ground, coat = shelf.tint(tint), shelf.finish(finish, about="finish")
    index = shelf.product(coat.product).index
    return tuple(_laid(pigment, ground, coat, index) for pigment in shelf.pigments)


def bare_tints(shelf: Shelf) -> tuple[Swatch, ...]:
    """Patch of every tint itself."""
    return tuple(_bare(tint) for tint in shelf.tints)


@lru_cache(maxsize=1024)
def _laid(pigment: Pigment, ground: Tint, coat: Finish, index: float) -> Swatch:
    from kit.look.chip import chip_line
    from kit.look.colour import hex_of
    from kit.look.paints import paints_for

    paints = paints_for((pigment,), ground)
    line = chip_line(paints, coat, index=index, steps=STEPS)
    film = tuple(map(float, paints.film_reflectance((1.0,))))
    return _swatch(
        pigment, film, hex_of(line.mean(axis=0)), [hex_of(step) for step in line]
    )


@lru_cache(maxsize=256)
def _bare(tint: Tint) -> Swatch:
    from kit.look.colour import hex_of, rgb_of_bands

    color = hex_of(rgb_of_bands(tint.reflectance))
    return _swatch(tint, tint.reflectance, color, [color, color])


def _swatch(
    thing: Pigment | Tint, reflectance: tuple[float, ...], color: str, line: list[str]
) -> Swatch:
    from kit.look.colour import light_reflectance_value

    return Swatch(
        thing.key,
        thing.name,
        color,
        f"linear-gradient(97deg, {', '.join(line)})",
        float(light_reflectance_value(reflectance)),
    )
