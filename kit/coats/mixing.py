"""Parts A and B of a mix, by volume and by weight."""

from __future__ import annotations

from dataclasses import dataclass

from kit.errors import MeasureError
from kit.stock.records import Product


@dataclass(frozen=True)
class Split:
    """What is measured out of each part.

    Parameters
    ----------
    a_l, b_l : float
        By volume. [l]
    a_kg, b_kg : float or None
        By weight; None where the density of part A is not known. [kg]
    """

    a_l: float
    b_l: float
    a_kg: float | None
    b_kg: float | None


def split_of(product: Product, volume_l: float) -> Split:
    """Part a mixed volume into A and B by the ratio of the product.

    Parameters
    ----------
    product : Product
        Its ratio is by volume.
    volume_l : float
        Mixed, >= 0. [l]

    Raises
    ------
    MeasureError
        If the volume is negative.

    Notes
    -----
    Volumes of resin and hardener are taken to add up, so that the weight of B is that of
    the mix less that of A.
    """
    if volume_l < 0.0:
        raise MeasureError("volume", found=f"{volume_l:g} l", expected="0 l or more")
    parts = product.parts_a + product.parts_b
    a_l = volume_l * product.parts_a / parts
    b_l = volume_l * product.parts_b / parts
    if product.density_a_kg_per_l is None:
        return Split(a_l, b_l, None, None)
    a_kg = a_l * product.density_a_kg_per_l
    return Split(a_l, b_l, a_kg, volume_l * product.density_kg_per_l - a_kg)
