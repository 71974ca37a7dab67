"""The stack of coats for a floor: seal, flood and wear."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from kit.coats.film import dry_film_um, spread_m2_per_l, volume_l
from kit.coats.order import cheapest_kits
from kit.coats.system import AggregateNeed, Coat, PigmentNeed, System
from kit.money import rounded, times
from kit.pour.palette import Palette
from kit.stock.house import CoatBuild, House
from kit.stock.records import Finish, Pigment, Tint
from kit.stock.shelf import Shelf
from kit.takeoff.figures import Figure, Takeoff, spoken
from kit.units import L_PER_GAL, M2_PER_FT2


def system_for(takeoff: Takeoff, palette: Palette, finish: Finish, shelf: Shelf) -> System:
    """Stack the coats of a floor and order what they need.

    Parameters
    ----------
    takeoff : Takeoff
    palette : Palette
        Colours of the flood coat by share, and the tint of the seal coat.
    finish : Finish
        The wear coat.
    shelf : Shelf

    Raises
    ------
    ShelfError
        If a colour, the tint or a product is not on the shelf.
    """
    tint = shelf.tint(palette.tint)
    colours = [(shelf.pigment(c.pigment), c.share) for c in palette.colours]
    seal = _coat(shelf.coat("seal"), takeoff, shelf)
    flood = _coat(shelf.coat("flood"), takeoff, shelf)
    wear = _coat(_build_of(finish), takeoff, shelf)
    return System(
        (
            _coloured(seal, [(tint, 1.0)], shelf.house),
            _coloured(flood, colours, shelf.house),
            _grained(wear, finish, shelf.house),
        ),
        finish,
    )


def _build_of(finish: Finish) -> CoatBuild:
    return CoatBuild(
        key="wear",
        name=f"Wear coat, {finish.name.lower()}",
        product=finish.product,
        film_um=finish.film_um,
        passes=finish.passes,
        source=finish.source,
    )


def _coat(build: CoatBuild, takeoff: Takeoff, shelf: Shelf) -> Coat:
    """One coat without its colours."""
    product = shelf.product(build.product, about=f"{build.key} coat, product")
    waste = shelf.house.waste_share
    needed_l = build.passes * volume_l(takeoff.net_m2, build.film_um, waste=waste)
    order = cheapest_kits(product.packs, needed_l)
    coat = Coat(
        kind=build.key,
        name=build.name,
        product=product,
        area_m2=takeoff.net_m2,
        film_um=build.film_um,
        passes=build.passes,
        waste=waste,
        volume_l=needed_l,
        order=order,
        pigments=(),
        aggregate=None,
        trail=(),
    )
    return replace(coat, trail=_trail(coat))


def _trail(coat: Coat) -> tuple[Figure, ...]:
    dry_um = dry_film_um(coat.film_um, coat.product.volume_solids)
    spread = spread_m2_per_l(coat.film_um)
    kits = " + ".join(f"{n} × {spoken(pack.volume_l, 'l')}" for pack, n in coat.order.packs)
    passes = f" × {coat.passes} passes" if coat.passes > 1 else ""
    return (
        Figure(
            f"{coat.name}, dry film",
            dry_um,
            "µm",
            f"{spoken(coat.film_um, 'µm')} wet × {coat.product.volume_solids:.0%} solids",
        ),
        Figure(
            f"{coat.name}, to mix",
            coat.volume_l,
            "l",
            f"{spoken(coat.area_m2, 'm²')} × {spoken(coat.film_um, 'µm')} wet{passes}"
            f" + {coat.waste:.0%} waste; a gallon covers"
            f" {_square_feet_per_gallon(spread):,.1f} sq ft",
        ),
        Figure(
            f"{coat.name}, bought",
            coat.order.bought_l,
            "l",
            f"{kits}; {spoken(coat.order.spare_l, 'l')} to spare",
        ),
    )


def _square_feet_per_gallon(spread_m2_per_l: float) -> float:
    return spread_m2_per_l * L_PER_GAL / M2_PER_FT2


def _coloured(
    coat: Coat, colours: Sequence[tuple[Pigment | Tint, float]], house: House
) -> Coat:
    """The coat with pigment by weight of the resin that carries it."""
    mixed_kg = coat.volume_l * coat.product.density_kg_per_l
    needs, trail = [], list(coat.trail)
    for pigment, share in colours:
        mass_kg = mixed_kg * share * pigment.dose
        cost = rounded(times(pigment.price_per_kg, mass_kg), house.currency)
        needs.append(PigmentNeed(pigment.key, pigment.name, share, mass_kg, cost))
        how = f"{spoken(mixed_kg, 'kg')} mixed × {share:.0%} × {pigment.dose:.1%} dose"
        trail.append(Figure(f"{coat.name}, {pigment.name}", mass_kg, "kg", how))
    return replace(coat, pigments=tuple(needs), trail=tuple(trail))


def _grained(coat: Coat, finish: Finish, house: House) -> Coat:
    """The wear coat with its aggregate, if the finish has any."""
    if finish.aggregate_kg_per_m2 == 0.0:
        return coat
    mass_kg = finish.aggregate_kg_per_m2 * coat.area_m2
    cost = rounded(times(finish.aggregate_price_per_kg, mass_kg), house.currency)
    how = f"{spoken(coat.area_m2, 'm²')} × {1000 * finish.aggregate_kg_per_m2:.0f} g/m²"
    grain = Figure(f"{coat.name}, grain", mass_kg, "kg", how)
    return replace(coat, aggregate=AggregateNeed(mass_kg, cost), trail=(*coat.trail, grain))
