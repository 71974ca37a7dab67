"""The stack of coats for a floor: seal, flood and wear, and what extras add to it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from kit.coats.film import volume_l
from kit.coats.order import cheapest_kits
from kit.coats.system import (
    TO_MIX,
    AggregateNeed,
    Coat,
    Fill,
    PigmentNeed,
    Purchase,
    System,
)
from kit.coats.trail import coat_trail, part_figures
from kit.money import rounded, times
from kit.pour.palette import Palette
from kit.stock.extras import CoveBase, Extra, ExtraCoat
from kit.stock.house import CoatBuild, House
from kit.stock.records import Finish, Pigment, Tint
from kit.stock.shelf import Shelf
from kit.takeoff.cove import cove_area_m2, mortar_m3
from kit.takeoff.figures import Figure, Takeoff, spoken
from kit.units import G_PER_OZ, L_PER_GAL, M_PER_IN

L_PER_M3 = 1000.0


def system_for(
    takeoff: Takeoff,
    palette: Palette,
    finish: Finish,
    shelf: Shelf,
    extras: Sequence[Extra] = (),
) -> System:
    """Stack the coats of a floor and order what they need.

    Parameters
    ----------
    takeoff : Takeoff
    palette : Palette
        Colours of the flood coat by share, and the tint of the seal coat.
    finish : Finish
        The wear coat.
    shelf : Shelf
    extras : sequence of Extra
        Taken; one that the finish has already adds nothing.

    Raises
    ------
    ShelfError
        If a colour, the tint or a product is not on the shelf.
    """
    applied = tuple(extra for extra in extras if finish.key not in extra.given_by)
    bare = [
        (_coat(shelf.coat("seal"), takeoff, shelf, applied), "seal"),
        (_coat(shelf.coat("flood"), takeoff, shelf, applied), "flood"),
        (_grained(_coat(_build_of(finish), takeoff, shelf, applied), finish, shelf.house),
         "none"),
    ]  # fmt: skip
    for extra in applied:
        for laid in extra.coats:
            over = next(n for n, (c, _) in enumerate(bare) if c.kind == laid.before)
            coat = _coat(_extra_build(laid, extra), takeoff, shelf, extra=extra.key)
            bare.insert(over, (coat, laid.colors))
    lowest, colors = bare[0]
    bare[0] = (_taken_up(lowest, takeoff), colors)
    coloured = _Coloured(palette, shelf)
    coats = [coloured.coat(coat, colors) for coat, colors in bare]
    fills = tuple(
        _fill(extra, extra.base, takeoff, shelf) for extra in applied if extra.base
    )
    fills = (*_slab_fills(takeoff, shelf), *fills)
    return System(tuple(coats), fills, _purchases([*coats, *fills]), finish, applied)


def _build_of(finish: Finish) -> CoatBuild:
    return CoatBuild(
        key="wear",
        name=f"Wear coat, {finish.name.lower()}",
        product=finish.product,
        film_um=finish.film_um,
        passes=finish.passes,
        source=finish.source,
    )


def _extra_build(laid: ExtraCoat, extra: Extra) -> CoatBuild:
    return CoatBuild(
        key=laid.kind,
        name=laid.name,
        product=laid.product,
        film_um=laid.film_um,
        passes=laid.passes,
        upright_share=laid.upright_share,
        source=extra.source,
    )


def _coat(
    build: CoatBuild,
    takeoff: Takeoff,
    shelf: Shelf,
    extras: Sequence[Extra] = (),
    *,
    extra: str = "",
) -> Coat:
    """One coat without its colours, drawn up the bases of `extras`."""
    waste = shelf.house.waste_share
    base_m2 = sum(
        run.film_share * _base_m2(one.base, takeoff)
        for one in extras
        if one.base
        for run in one.base.runs_up
        if run.coat == build.key
    )
    stepped = takeoff.stepped
    stepped_m2 = stepped.treads_m2 + build.upright_share * stepped.uprights_m2
    area_m2 = takeoff.net_m2 + base_m2 + stepped_m2
    coat = Coat(
        kind=build.key,
        name=build.name,
        product=shelf.product(build.product, about=f"{build.key} coat, product"),
        area_m2=takeoff.net_m2,
        base_m2=base_m2,
        film_um=build.film_um,
        passes=build.passes,
        waste=waste,
        volume_l=build.passes * volume_l(area_m2, build.film_um, waste=waste),
        pigments=(),
        aggregate=None,
        extra=extra,
        trail=(),
        stepped_m2=stepped_m2,
    )
    return replace(coat, trail=coat_trail(coat, takeoff))


def _taken_up(coat: Coat, takeoff: Takeoff) -> Coat:
    """The lowest coat with what the hollows of a rough slab take on top of its film."""
    if not takeoff.takeup_l:
        return coat
    more_l = takeoff.takeup_l * (1.0 + coat.waste)
    coat = replace(
        coat, volume_l=coat.volume_l + more_l, takeup_l=takeoff.takeup_l, trail=()
    )
    return replace(coat, trail=coat_trail(coat, takeoff))


def _base_m2(base: CoveBase, takeoff: Takeoff) -> float:
    return cove_area_m2(takeoff.base_m, openings_m=0.0, girth_m=base.girth_m)


def _fill(extra: Extra, base: CoveBase, takeoff: Takeoff, shelf: Shelf) -> Fill:
    """Mortar of a cove base."""
    product = shelf.product(base.product, about=f"{extra.key}, product")
    waste = shelf.house.waste_share
    build_m = base.build_um * 1e-6
    solid_m3 = mortar_m3(
        takeoff.base_m, girth_m=base.girth_m, radius_m=base.radius_m, build_m=build_m
    )
    needed_l = solid_m3 * L_PER_M3 * (1.0 + waste)
    name = f"{extra.name}, mortar"
    run, high = spoken(takeoff.base_m, "m"), f"{base.girth_m / M_PER_IN:.3g} in"
    how = (
        f"{run} × ({high} × {spoken(base.build_um, 'µm')} + fillet of"
        f" {base.radius_m / M_PER_IN:.3g} in) + {waste:.0%} waste"
    )
    face = Figure(f"{extra.name}, face", _base_m2(base, takeoff), "m²", f"{run} × {high}")
    mixed = Figure(f"{name}, {TO_MIX}", needed_l, "l", how, (face,))
    return Fill(name, product, needed_l, (face, mixed, *part_figures(name, product, mixed)))


def _slab_fills(takeoff: Takeoff, shelf: Shelf) -> tuple[Fill, ...]:
    """Mortar for the patches of the slab and filler for its joints."""
    house, slab = shelf.house, takeoff.slab
    fills = []
    for name, key, about, solid_l in (
        ("Patch mortar", house.patch_product, "patch_product", slab.patches_l),
        ("Joint filler", house.joint_product, "joint_product", slab.filler_l),
    ):
        if not solid_l:
            continue
        product = shelf.product(key, about=f"house, {about}")
        needed_l = solid_l * (1.0 + house.waste_share)
        how = f"{spoken(solid_l, 'l')} of hollows + {house.waste_share:.0%} waste"
        parts = tuple(figure for figure in slab.trail if figure.name == name)
        mixed = Figure(f"{name}, {TO_MIX}", needed_l, "l", how, parts)
        trail = (mixed, *part_figures(name, product, mixed))
        fills.append(Fill(name, product, needed_l, trail))
    return tuple(fills)


def _purchases(made: Sequence[Coat | Fill]) -> tuple[Purchase, ...]:
    """Kits of every product, in the order in which it is first used."""
    by_product: dict[str, list[Coat | Fill]] = {}
    for one in made:
        by_product.setdefault(one.product.key, []).append(one)
    return tuple(
        Purchase(
            group[0].product,
            tuple(group),
            cheapest_kits(group[0].product.packs, sum(one.volume_l for one in group)),
        )
        for group in by_product.values()
    )


class _Coloured:
    """Gives coats their pigment, by weight of the resin that carries it."""

    def __init__(self, palette: Palette, shelf: Shelf) -> None:
        tint = shelf.tint(palette.tint)
        flood = tuple((shelf.pigment(c.pigment), c.share) for c in palette.colours)
        self._colours: dict[str, tuple[tuple[Pigment | Tint, float], ...]]
        self._colours = {"none": (), "seal": ((tint, 1.0),), "flood": flood}
        self._currency = shelf.house.currency

    def coat(self, coat: Coat, as_in: str) -> Coat:
        """The coat with the colours of the seal coat, of the flood coat, or of none."""
        density = coat.product.density_kg_per_l
        mixed_kg = coat.volume_l * density
        needs, trail = [], list(coat.trail)
        mixed = (coat.mixed,)
        for pigment, share in self._colours[as_in]:
            mass_kg = mixed_kg * share * pigment.dose
            cost = rounded(times(pigment.price_per_kg, mass_kg), self._currency)
            needs.append(PigmentNeed(pigment.key, pigment.name, share, mass_kg, cost))
            each_g = 1000.0 * L_PER_GAL * density * pigment.dose
            how = (
                f"{spoken(coat.volume_l, 'l')} mixed × {share:.0%} ×"
                f" {each_g / G_PER_OZ:.2f} oz a gallon, {pigment.dose:.1%} of its weight"
            )
            name = f"{coat.name}, {pigment.name}"
            trail.append(Figure(name, mass_kg, "kg", how, mixed))
        return replace(coat, pigments=tuple(needs), trail=tuple(trail))


def _grained(coat: Coat, finish: Finish, house: House) -> Coat:
    """The wear coat with its aggregate, if the finish has any."""
    if finish.aggregate_kg_per_m2 == 0.0:
        return coat
    area_m2 = coat.area_m2 + coat.stepped_m2
    mass_kg = finish.aggregate_kg_per_m2 * area_m2
    cost = rounded(times(finish.aggregate_price_per_kg, mass_kg), house.currency)
    how = f"{spoken(area_m2, 'm²')} × {1000 * finish.aggregate_kg_per_m2:.0f} g/m²"
    over = tuple(part for figure in coat.trail for part in figure.parts)[:1]
    grain = Figure(f"{coat.name}, grain", mass_kg, "kg", how, over)
    return replace(coat, aggregate=AggregateNeed(mass_kg, cost), trail=(*coat.trail, grain))
