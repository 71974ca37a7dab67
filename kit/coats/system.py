"""What goes down: the stack of coats, each with its film, volume, kits and pigment."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from math import ceil

from kit.stock.house import CoatKind
from kit.stock.records import Finish, Pack, Product
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
class AggregateNeed:
    """Hard grain in a wear coat, by weight."""

    mass_kg: float
    cost: Decimal


@dataclass(frozen=True)
class KitOrder:
    """The cheapest whole kits that hold the volume needed."""

    packs: tuple[tuple[Pack, int], ...]
    needed_l: float
    bought_l: float
    cost: Decimal

    @property
    def spare_l(self) -> float:
        """What is left over when all goes to plan. [l]"""
        return self.bought_l - self.needed_l


@dataclass(frozen=True)
class Coat:
    """One coat over the whole surface.

    Parameters
    ----------
    kind : {"seal", "flood", "wear"}
    name : str
    product : Product
    area_m2 : float
        Surface it covers. [m²]
    film_um : float
        Wet film of one pass. [µm]
    passes : int
    waste : float
        Mixed on top of the film, as a share of it. [unitless]
    volume_l : float
        To mix, all passes, waste included. [l]
    order : KitOrder
    pigments : tuple of PigmentNeed
        Colours by weight; in the seal coat its tint.
    aggregate : AggregateNeed or None
    trail : tuple of Figure
    """

    kind: CoatKind
    name: str
    product: Product
    area_m2: float
    film_um: float
    passes: int
    waste: float
    volume_l: float
    order: KitOrder
    pigments: tuple[PigmentNeed, ...]
    aggregate: AggregateNeed | None
    trail: tuple[Figure, ...]

    @property
    def cost(self) -> Decimal:
        """Kits and aggregate; pigments are counted apart."""
        return self.order.cost + (self.aggregate.cost if self.aggregate else Decimal(0))

    def batches(self, batch_l: float) -> int:
        """Count the buckets to mix: each pass, and each colour of it, apart.

        Parameters
        ----------
        batch_l : float
            Most that is mixed at once. [l]
        """
        pass_l = self.volume_l / self.passes
        shares = [need.share for need in self.pigments] or [1.0]
        # The hair keeps a bucket that is just full from counting as two.
        return self.passes * sum(ceil(pass_l * share / batch_l - 1e-9) for share in shares)


@dataclass(frozen=True)
class System:
    """The coats from the slab up, and the finish that the last of them makes."""

    coats: tuple[Coat, ...]
    finish: Finish

    def coat(self, kind: CoatKind) -> Coat:
        """The coat of that kind."""
        return next(coat for coat in self.coats if coat.kind == kind)
