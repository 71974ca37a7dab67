"""A pigment or tint as a patch of colour on the screen."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from kit.stock import Shelf
from kit.stock.records import Pigment, Tint


@dataclass(frozen=True)
class Swatch:
    """One patch.

    Parameters
    ----------
    key, name : str
    color : str
        ``#rrggbb``, sRGB under daylight.
    reflects_percent : float
        Light reflectance value, 0 to 100.
    """

    key: str
    name: str
    color: str
    reflects_percent: float


def swatches(shelf: Shelf, tint: str | None) -> tuple[Swatch, ...]:
    """Patch of every pigment laid over a tint, or of every tint itself."""
    if tint is None:
        return tuple(_bare(t) for t in shelf.tints)
    ground = shelf.tint(tint)
    return tuple(_laid(pigment, ground) for pigment in shelf.pigments)


@lru_cache(maxsize=1024)
def _laid(pigment: Pigment, ground: Tint) -> Swatch:
    from kit.look.paints import paints_for

    film = paints_for((pigment,), ground).film_reflectance((1.0,))
    return _swatch(pigment, tuple(map(float, film)))


@lru_cache(maxsize=256)
def _bare(tint: Tint) -> Swatch:
    return _swatch(tint, tint.reflectance)


def _swatch(thing: Pigment | Tint, reflectance: tuple[float, ...]) -> Swatch:
    from kit.look.colour import hex_of, light_reflectance_value, rgb_of_bands

    return Swatch(
        thing.key,
        thing.name,
        hex_of(rgb_of_bands(reflectance)),
        float(light_reflectance_value(reflectance)),
    )
