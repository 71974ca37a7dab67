"""What is mixed, when and by whom: buckets in sets, each tied to its lanes."""

from __future__ import annotations

from dataclasses import dataclass

from kit.coats.mixing import Split
from kit.coats.system import Coat
from kit.plan.lanes import PourOrder
from kit.stock.house import CoatKind

MIX_MIN = 5.0
"""To measure, mix, scrape, pour over and mix again one bucket. [min]"""
CARRY_MIN = 2.0
"""From the station to the lane. [min]"""
MEETS_MIN = 1.0
"""From the start at a bucket until A meets B. [min]"""
POURED_BY = 0.35
"""Share of a lane's time by which its buckets are poured out; the rest is working it.

All of these are common practice, no source."""


@dataclass(frozen=True)
class Batch:
    """One bucket.

    Parameters
    ----------
    name : str
        ``3A``: set 3, color A; ``3A-2`` where a color takes two buckets.
    letter : str
        Of its color, or "" for a coat of one.
    colour : str
        Name of the pigment or tint, or "" for none.
    lanes : tuple of int
        Lanes that it is poured in, in turn.
    into_l : tuple of float
        What goes into each of them, together its volume. [l]
    volume_l : float
        Mixed. [l]
    parts : Split
        A and B of it.
    pigment_kg, grain_kg : float
        [kg]
    mixer : int
        Who mixes it: from 1.
    mix_at_min, pour_at_min, empty_by_min : float
        Start at the bucket, first drop, last drop; from the first pour of the day,
        so the first buckets are mixed before 0. [min]
    pot_life_min : float
        Of so large a bucket at the slab's temperature. [min]
    age_min : float
        From A meets B to the last drop. [min]
    """

    name: str
    letter: str
    colour: str
    lanes: tuple[int, ...]
    into_l: tuple[float, ...]
    volume_l: float
    parts: Split
    pigment_kg: float
    grain_kg: float
    mixer: int
    mix_at_min: float
    pour_at_min: float
    empty_by_min: float
    pot_life_min: float
    age_min: float

    @property
    def spare_min(self) -> float:
        """What is left of its pot life at the last drop. [min]"""
        return self.pot_life_min - self.age_min


@dataclass(frozen=True)
class BatchSet:
    """Buckets that are mixed one after the other and poured side by side.

    Parameters
    ----------
    number, day : int
    lanes : tuple of int
    batches : tuple of Batch
        In the order of mixing: the smallest first, for it lasts longest.
    from_min, to_min : float
        Its lanes are laid. [min]
    closed_age_min : float
        From the first A meets B until its last lane is worked. [min]
    edge_min : float
        Oldest edge that its lanes meet wet. [min]
    late : tuple of str
        What ten minutes' delay breaks, in sentences; nothing where it is borne.
    """

    number: int
    day: int
    lanes: tuple[int, ...]
    batches: tuple[Batch, ...]
    from_min: float
    to_min: float
    closed_age_min: float
    edge_min: float
    late: tuple[str, ...]


@dataclass(frozen=True)
class MixingPlan:
    """How one coat is mixed and laid.

    Parameters
    ----------
    coat : Coat
    name : str
        The coat, and which pass of it.
    kind : str
    order : PourOrder
        At this coat's own pace.
    colours : tuple of str
        Names by letter, A first.
    sets : tuple of BatchSet
    slab_c : float
        Temperature that all times hold at. [°C]
    pot_life_min, working_min : float
        Of a full bucket, and of film on the floor. [min]
    """

    coat: Coat
    name: str
    kind: CoatKind
    order: PourOrder
    colours: tuple[str, ...]
    sets: tuple[BatchSet, ...]
    slab_c: float
    pot_life_min: float
    working_min: float

    @property
    def batches(self) -> tuple[Batch, ...]:
        """All buckets in the order of mixing."""
        return tuple(batch for one in self.sets for batch in one.batches)

    @property
    def volume_l(self) -> float:
        """Mixed in all. [l]"""
        return sum(batch.volume_l for batch in self.batches)

    @property
    def bears_a_stall(self) -> bool:
        """Whether ten minutes' delay breaks nothing, wherever it comes."""
        return not any(one.late for one in self.sets)
