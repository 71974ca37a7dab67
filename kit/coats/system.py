"""What goes down: the stack of coats, each with its film, volume, kits and pigment."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from math import ceil

from kit.coats.mixing import Split, split_of
from kit.stock.extras import Extra
from kit.stock.house import STAGE_OF, CoatKind, Stage
from kit.stock.records import Finish, Pack, Product
from kit.takeoff.figures import Figure, spoken


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
    kind : {"primer", "seal", "flood", "wear"}
    name : str
    product : Product
    area_m2 : float
        Floor it covers. [m²]
    base_m2 : float
        Cove base it is drawn up, brought to the film of the floor. [m²]
    film_um : float
        Wet film of one pass. [µm]
    passes : int
    waste : float
        Mixed on top of the film, as a share of it. [unitless]
    volume_l : float
        To mix, all passes, waste included. [l]
    pigments : tuple of PigmentNeed
        Colours by weight; in the seal coat its tint.
    aggregate : AggregateNeed or None
    extra : str
        Key of the extra that brings it, or nothing for a coat of every floor.
    trail : tuple of Figure
    stepped_m2 : float
        Stairs and faces of steps, brought to the film of the floor. [m²]
    takeup_l : float
        What the hollows of a rough slab take on top of the film, waste left out. [l]
    """

    kind: CoatKind
    name: str
    product: Product
    area_m2: float
    base_m2: float
    film_um: float
    passes: int
    waste: float
    volume_l: float
    pigments: tuple[PigmentNeed, ...]
    aggregate: AggregateNeed | None
    extra: str
    trail: tuple[Figure, ...]
    stepped_m2: float = 0.0
    takeup_l: float = 0.0

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

    @property
    def mixed(self) -> Figure:
        """The volume to mix and how it came to be."""
        return _mixed(self.trail)


@dataclass(frozen=True)
class Fill:
    """Mortar that is troweled on, by volume, waste included. [l]"""

    name: str
    product: Product
    volume_l: float
    trail: tuple[Figure, ...]

    @property
    def mixed(self) -> Figure:
        """The volume to mix and how it came to be."""
        return _mixed(self.trail)


TO_MIX = "to mix"
"""How the figure of a volume to mix is named, after what it is mixed for."""


def _mixed(trail: tuple[Figure, ...]) -> Figure:
    return next(figure for figure in trail if figure.name.endswith(f", {TO_MIX}"))


@dataclass(frozen=True)
class Leftover:
    """Resin that is left in opened or whole kits once the floor is laid.

    Waste was mixed on top of the film, so that whatever of it is not lost comes on top.

    Parameters
    ----------
    product, name : str
        Key and name of the product.
    split : Split
        Parts A and B that are left.
    bought : Figure
        What was bought for what.
    """

    product: str
    name: str
    split: Split
    bought: Figure

    @property
    def volume_l(self) -> float:
        """A and B together. [l]"""
        return self.split.a_l + self.split.b_l

    @property
    def figure(self) -> Figure:
        """The volume and how it came to be left."""
        needed = sum(float(part.value) for part in self.bought.parts)
        how = f"{self.bought.spoken} bought − {spoken(needed, 'l')} to mix"
        return Figure(f"{self.name}, left", self.volume_l, "l", how, (self.bought,))


@dataclass(frozen=True)
class Purchase:
    """Whole kits of one product, for all that is made of it.

    Parameters
    ----------
    product : Product
    made : tuple of Coat and Fill
        What it is bought for, from the slab up.
    order : KitOrder
    """

    product: Product
    made: tuple[Coat | Fill, ...]
    order: KitOrder

    @property
    def name(self) -> str:
        """What it is bought for: ``Flood coat and second flood coat``."""
        first, *others = (one.name for one in self.made)
        return " and ".join([first, *(f"{name[:1].lower()}{name[1:]}" for name in others)])

    @property
    def aggregates(self) -> tuple[AggregateNeed, ...]:
        """Grain that goes into it."""
        return tuple(
            one.aggregate for one in self.made if isinstance(one, Coat) and one.aggregate
        )

    @property
    def cost(self) -> Decimal:
        """Kits and aggregate; pigments are counted apart."""
        return self.order.cost + sum((grain.cost for grain in self.aggregates), Decimal(0))

    @property
    def bought(self) -> Figure:
        """The kits, and what they leave."""
        kits = " + ".join(
            f"{n} × {spoken(pack.volume_l, 'l')}" for pack, n in self.order.packs
        )
        return Figure(
            f"{self.name}, bought",
            self.order.bought_l,
            "l",
            f"{kits}; {spoken(self.order.spare_l, 'l')} to spare",
            tuple(one.mixed for one in self.made),
        )

    @property
    def left(self) -> Leftover:
        """What is left in the kits when all goes to plan."""
        split = split_of(self.product, max(0.0, self.order.spare_l))
        return Leftover(self.product.key, self.product.name, split, self.bought)


@dataclass(frozen=True)
class System:
    """The coats from the slab up, and all that belongs to them.

    Parameters
    ----------
    coats : tuple of Coat
        From the slab up.
    fills : tuple of Fill
    purchases : tuple of Purchase
        One a product, so that coats of one resin share what is left in a kit.
    finish : Finish
        What the last coat makes.
    extras : tuple of Extra
        Those that add to this floor.
    """

    coats: tuple[Coat, ...]
    fills: tuple[Fill, ...]
    purchases: tuple[Purchase, ...]
    finish: Finish
    extras: tuple[Extra, ...] = ()

    def coat(self, kind: CoatKind) -> Coat:
        """The lowest coat of that kind."""
        return next(coat for coat in self.coats if coat.kind == kind)

    def passes(self, stage: Stage) -> int:
        """Films that are laid in a stage, each of which must harden."""
        return sum(coat.passes for coat in self.coats if STAGE_OF[coat.kind] == stage)

    @property
    def leftovers(self) -> tuple[Leftover, ...]:
        """What is left of each product, of those of which anything is."""
        return tuple(
            purchase.left for purchase in self.purchases if purchase.left.volume_l > 1e-9
        )

    def purchase(self, product: str) -> Purchase:
        """What is bought of the product of that key."""
        return next(one for one in self.purchases if one.product.key == product)
