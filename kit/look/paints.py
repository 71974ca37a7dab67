"""The palette as light meets it: every pigment's optics side by side, and the ground."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from kit.errors import PictureError
from kit.look.colour import light_reflectance_value, rgb_of_bands
from kit.look.optics import kubelka_munk
from kit.stock.records import BANDS, Pigment, Tint

Array = NDArray[np.float32]


@dataclass(frozen=True, eq=False)
class Paints:
    """Optics of P pigments over one seal coat, all float32.

    Parameters
    ----------
    keys : tuple of str
        Pigments in palette order, then the tint.
    absorption, scattering : (P, 8) array
        Kubelka-Munk K and S per nominal build.
    face, flop : (P, 3) array
        Mirror colour of the flakes towards and off the light, linear sRGB.
    ground : (8,) array
        Reflectance of the tinted seal coat.
    """

    keys: tuple[str, ...]
    absorption: Array
    scattering: Array
    face: Array
    flop: Array
    ground: Array

    @property
    def count(self) -> int:
        """Colours in the palette."""
        return len(self.absorption)

    def film_reflectance(
        self, shares: tuple[float, ...] | NDArray[np.float64], thickness: float = 1.0
    ) -> NDArray[np.float64]:
        """Reflectance (8,) of an even mix of the pigments, laid on the ground.

        Parameters
        ----------
        shares : (P,) floats
            In [0, 1], summing to 1.
        thickness : float
            In nominal builds, >= 0.
        """
        mix = np.asarray(shares, dtype=np.float64)
        if mix.shape != (self.count,):
            raise PictureError("shares", found=len(mix), expected=f"{self.count} of them")
        k, s = mix @ self.absorption, mix @ self.scattering
        film = [kubelka_munk(k[b], s[b], thickness, self.ground[b]) for b in range(BANDS)]
        return np.array(film, dtype=np.float64)

    def light_reflectance_value(self, shares: tuple[float, ...]) -> float:
        """CIE Y, 0 to 100, of a floor whose colours lie side by side, unmixed."""
        ones = np.eye(self.count)
        each = [float(light_reflectance_value(self.film_reflectance(row))) for row in ones]
        return float(np.dot(shares, each))


def paints_for(pigments: tuple[Pigment, ...], tint: Tint) -> Paints:
    """Gather the optics of a palette, in its order, over a tinted seal coat.

    Raises
    ------
    PictureError
        If there is no pigment.
    """
    if not pigments:
        raise PictureError("palette", found="no pigment", expected="one or more")

    def rows(name: str) -> NDArray[np.float64]:
        return np.array([getattr(p, name) for p in pigments], dtype=np.float64)

    def mirror(name: str) -> Array:
        return np.clip(rgb_of_bands(rows(name)), 0.0, 1.0).astype(np.float32)

    return Paints(
        keys=(*(p.key for p in pigments), tint.key),
        absorption=rows("absorption").astype(np.float32),
        scattering=rows("scattering").astype(np.float32),
        face=mirror("face"),
        flop=mirror("flop"),
        ground=np.array(tint.reflectance, dtype=np.float32),
    )
