"""How the figures of a coat came to be, down to what was measured."""

from __future__ import annotations

from kit.coats.film import dry_film_um, spread_m2_per_l
from kit.coats.mixing import split_of
from kit.coats.system import TO_MIX, Coat
from kit.stock.records import Product
from kit.takeoff.figures import Figure, Takeoff, spoken
from kit.units import L_PER_GAL, M2_PER_FT2


def coat_trail(coat: Coat, takeoff: Takeoff) -> tuple[Figure, ...]:
    """Films of a coat, what is mixed for it and of what parts, hung on the takeoff."""
    dry_um = dry_film_um(coat.film_um, coat.product.volume_solids)
    spread = spread_m2_per_l(coat.film_um)
    passes = f" × {coat.passes} passes" if coat.passes > 1 else ""
    area = spoken(coat.area_m2, "m²")
    if coat.base_m2 or coat.stepped_m2:
        base = f" + {spoken(coat.base_m2, 'm²')} base" if coat.base_m2 else ""
        steps = f" + {spoken(coat.stepped_m2, 'm²')} stairs" if coat.stepped_m2 else ""
        area = f"({area}{base}{steps})"
    hollows = f" + {spoken(coat.takeup_l, 'l')} hollows" if coat.takeup_l else ""
    mixed = Figure(
        f"{coat.name}, {TO_MIX}",
        coat.volume_l,
        "l",
        f"{area} × {spoken(coat.film_um, 'µm')} wet{passes}{hollows}"
        f" + {coat.waste:.0%} waste; a gallon covers"
        f" {_square_feet_per_gallon(spread):,.1f} sq ft",
        _measured(coat, takeoff),
    )
    return (
        Figure(
            f"{coat.name}, dry film",
            dry_um,
            "µm",
            f"{spoken(coat.film_um, 'µm')} wet × {coat.product.volume_solids:.0%} solids",
        ),
        mixed,
        *part_figures(coat.name, coat.product, mixed),
    )


def _measured(coat: Coat, takeoff: Takeoff) -> tuple[Figure, ...]:
    """What was taken off for a coat."""
    names = ["Net area"]
    names += ["Walls for a base"] if coat.base_m2 else []
    names += ["Profile take-up"] if coat.takeup_l else []
    figures = tuple(figure for figure in takeoff.trail if figure.name in names)
    return figures + (takeoff.stepped.trail if coat.stepped_m2 else ())


def part_figures(name: str, product: Product, mixed: Figure) -> tuple[Figure, ...]:
    """Parts A and B of what is mixed, by volume, and by weight where that is known."""
    split = split_of(product, float(mixed.value))
    whole = product.parts_a + product.parts_b
    figures = []
    for part, share, volume, mass_kg in (
        ("A", product.parts_a, split.a_l, split.a_kg),
        ("B", product.parts_b, split.b_l, split.b_kg),
    ):
        how = f"{mixed.spoken} × {share:g} of {whole:g} parts"
        figures.append(Figure(f"{name}, part {part}", volume, "l", how, (mixed,)))
        if mass_kg is not None:
            each = spoken(mass_kg / volume * L_PER_GAL, "kg")
            how = f"{spoken(volume, 'l')} × {each} a gallon"
            by_weight = f"{name}, part {part} by weight"
            figures.append(Figure(by_weight, mass_kg, "kg", how, (mixed,)))
    return tuple(figures)


def _square_feet_per_gallon(spread_m2_per_l: float) -> float:
    return spread_m2_per_l * L_PER_GAL / M2_PER_FT2
