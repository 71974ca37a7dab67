"""How long resin lasts and how long it hardens at a temperature: every time scaled.

Two rules stand beside each other, Arrhenius with a stated activation energy and "twice
as fast every 10 °C"; whichever is the safer counts. What shortens in the warm shortens;
a latest time is never lengthened for the cold.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from kit.errors import MeasureError
from kit.stock.cures import AT_C, RECOAT_AT_C, Cure
from kit.stock.records import Product
from kit.units import fahrenheit

GAS_CONSTANT = 8.314462618
"""CODATA 2018, exact. [J/(mol K)]"""
KELVIN = 273.15
DOUBLING_C = 10.0


@dataclass(frozen=True)
class Scaled:
    """One time at a temperature, by either rule.

    Parameters
    ----------
    name : str
        ``Pot life of 2.0 gal``.
    arrhenius, doubling : float
        [h]
    hours : float
        What counts. [h]
    """

    name: str
    arrhenius: float
    doubling: float
    hours: float


@dataclass(frozen=True)
class Windows:
    """All times of one product at one temperature.

    Parameters
    ----------
    product : str
        Its name.
    slab_c : float
        [°C]
    activation_kj_per_mol : float
        That Arrhenius was used with. [kJ/mol]
    pot_life_min : float
        In the bucket, of `batch_l`. [min]
    batch_l : float
        [l]
    working_min : float
        Spread on the floor. [min]
    recoat_from_h, recoat_until_h : float
        Earliest and latest next coat, unsanded. [h]
    walk_on_h, furniture_h, wheels_h, full_h : float
        [h]
    beside : tuple of Scaled
        Each time by either rule.
    """

    product: str
    slab_c: float
    activation_kj_per_mol: float
    pot_life_min: float
    batch_l: float
    working_min: float
    recoat_from_h: float
    recoat_until_h: float
    walk_on_h: float
    furniture_h: float
    wheels_h: float
    full_h: float
    beside: tuple[Scaled, ...]


def rate_ratio(from_c: float, to_c: float, *, activation_kj_per_mol: float) -> float:
    """How much faster a cure runs at `to_c` than at `from_c`, by Arrhenius.

    Parameters
    ----------
    from_c, to_c : float
        Temperatures above absolute zero. [°C]
    activation_kj_per_mol : float
        [kJ/mol]

    Examples
    --------
    >>> round(rate_ratio(10, 20, activation_kj_per_mol=55), 4)
    2.2187
    """
    inverse = 1.0 / (from_c + KELVIN) - 1.0 / (to_c + KELVIN)
    return math.exp(1000.0 * activation_kj_per_mol / GAS_CONSTANT * inverse)


def doubling_ratio(from_c: float, to_c: float) -> float:
    """How much faster by the rule of thumb: twice as fast every 10 °C (18 °F)."""
    return float(2.0 ** ((to_c - from_c) / DOUBLING_C))


def doubling_activation_kj_per_mol(from_c: float) -> float:
    """Activation energy at which a cure is exactly twice as fast 10 °C warmer. [kJ/mol]"""
    inverse = 1.0 / (from_c + KELVIN) - 1.0 / (from_c + DOUBLING_C + KELVIN)
    return math.log(2.0) * GAS_CONSTANT / inverse / 1000.0


def slowest_and_fastest(cure: Cure, from_c: float, to_c: float) -> tuple[float, float]:
    """Rate at `to_c` over that at `from_c` by the rule that is slower, then the other."""
    arrhenius = rate_ratio(from_c, to_c, activation_kj_per_mol=cure.activation_kj_per_mol)
    doubling = doubling_ratio(from_c, to_c)
    return min(arrhenius, doubling), max(arrhenius, doubling)


def windows_for(
    product: Product, cure: Cure, slab_c: float, *, batch_l: float | None = None
) -> Windows:
    """Scale all times of a product to a temperature.

    Parameters
    ----------
    product : Product
    cure : Cure
        How its kind hardens.
    slab_c : float
        Temperature of slab and film, from `cure.least_c` to `cure.most_c`. [°C]
    batch_l : float, optional
        Mixed at once; that which a pot life is told for by default. [l]

    Raises
    ------
    MeasureError
        If it is too cold or too warm for the product, or nothing is mixed: rules of
        cure are not stretched beyond where the product is laid.

    Notes
    -----
    Arrhenius: time at T over time at T0 is exp(E/R (1/T − 1/T0)), with E of amine and
    epoxy published at 44 to 60 kJ/mol [Sbirrazzuoli2006]_, [Barral1995]_. A bucket of
    volume V lasts (V0/V)^a as long as the one it is told for, for its own heat drives
    it [MILHDBK1110]_ section 7.3.1; never longer than the film on the floor, which
    loses that heat. The exponent is common practice, no source.
    """
    mixed_l = cure.pot_life_l if batch_l is None else batch_l
    if not mixed_l > 0.0:
        raise MeasureError("batch", found=f"{mixed_l:g} l", expected="more than nothing")
    if not cure.least_c <= slab_c <= cure.most_c:
        raise MeasureError(
            f"slab temperature for {product.name}",
            found=shown_c(slab_c),
            expected=f"{shown_c(cure.least_c)} to {shown_c(cure.most_c)}",
        )
    told_h = product.pot_life_min / 60.0
    film = _shorter(cure, "Working time on the floor", told_h * cure.film_times, slab_c)
    by_mass = min((cure.pot_life_l / mixed_l) ** cure.mass_exponent, cure.film_times)
    pot = _shorter(cure, "Pot life in the bucket", told_h * by_mass, slab_c)
    first = _longer(cure, "Next coat from", product.recoat_from_h, slab_c, RECOAT_AT_C)
    last = _never_longer(cure, "Next coat until", product.recoat_until_h, slab_c)
    walk, furniture, wheels, full = (
        _longer(cure, name, hours, slab_c, AT_C)
        for name, hours in (
            ("Shoes", cure.walk_on_h),
            ("Light furniture", cure.furniture_h),
            ("Wheels and rugs", cure.wheels_h),
            ("Full strength", cure.full_h),
        )
    )
    return Windows(
        product=product.name,
        slab_c=slab_c,
        activation_kj_per_mol=cure.activation_kj_per_mol,
        pot_life_min=60.0 * pot.hours,
        batch_l=mixed_l,
        working_min=60.0 * film.hours,
        recoat_from_h=first.hours,
        recoat_until_h=last.hours,
        walk_on_h=walk.hours,
        furniture_h=furniture.hours,
        wheels_h=wheels.hours,
        full_h=full.hours,
        beside=(pot, film, first, last, walk, furniture, wheels, full),
    )


def shown_c(temperature_c: float) -> str:
    """Say a temperature as the trade does.

    >>> shown_c(10.0)
    '50 °F'
    """
    return f"{fahrenheit(temperature_c):.0f} °F"


def _by_both(cure: Cure, hours: float, slab_c: float, told_c: float) -> tuple[float, float]:
    energy = cure.activation_kj_per_mol
    return (
        hours / rate_ratio(told_c, slab_c, activation_kj_per_mol=energy),
        hours / doubling_ratio(told_c, slab_c),
    )


def _shorter(cure: Cure, name: str, hours: float, slab_c: float) -> Scaled:
    both = _by_both(cure, hours, slab_c, AT_C)
    return Scaled(name, *both, hours=min(both))


def _longer(cure: Cure, name: str, hours: float, slab_c: float, told_c: float) -> Scaled:
    both = _by_both(cure, hours, slab_c, told_c)
    return Scaled(name, *both, hours=max(both))


def _never_longer(cure: Cure, name: str, hours: float, slab_c: float) -> Scaled:
    both = _by_both(cure, hours, slab_c, AT_C)
    return Scaled(name, *both, hours=min(hours, *both))
