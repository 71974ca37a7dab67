"""What goes down: the stack of coats, each with its film, volume, kits and pigment."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from kit.stock.records import Pack, Product
from kit.takeoff.figures import Figure


@dataclass(frozen=True)
class PigmentNeed:
    """One colour of a coat: its share of the coat and its weight."""

    key: str
    name: str
    share: float
    mass_kg: float
    cost: Decimal


@dataclass(frozen=True)
class KitOrder:
    """The cheapest whole kits that hold the volume needed."""

    packs: tuple[tuple[Pack, int], ...]
    needed_l: float
    bought_l: float
    cost: Decimal


@dataclass(frozen=True)
class Coat:
    """One coat over the whole surface."""

    kind: Literal["seal", "flood", "wear"]
    name: str
    product: Product
    area_m2: float
    film_um: float
    passes: int
    waste: float
    volume_l: float
    order: KitOrder
    pigments: tuple[PigmentNeed, ...]
    trail: tuple[Figure, ...]


@dataclass(frozen=True)
class System:
    """The coats from the slab up."""

    coats: tuple[Coat, ...]
