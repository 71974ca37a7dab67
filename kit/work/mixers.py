"""Who mixes, out of what, how warm: how long a bucket lasts and how fast a crew is."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from kit.errors import PlanError
from kit.plan.pace import STALL_MIN, TURN_MIN, Pace, at_buckets
from kit.stock.cures import Cure
from kit.stock.records import Product
from kit.work.mixing import CARRY_MIN, MEETS_MIN, MIX_MIN, POURED_BY
from kit.work.windows import shown_c, windows_for

LEAST_SET_MIN = 20.0
"""Shortest laying time that a set of buckets is planned for. [min]"""
SLACK = 1.25
"""Time that mixers have for a set, over what they need."""
FEW_COLOURS = 3
"""Colors that one person mixes in time for a lane."""
MOST_AT_BUCKETS = 0.5
"""Most of all hands' time that goes into mixing."""
SHOES_MIN, SHOES_SHARE = 20.0, 0.5
"""Oldest film that closes over the marks of spiked shoes, and of its working time.

Common practice, no source. [min]"""
HELP = "another person at the buckets, fewer colors, a cooler slab or a slower hardener"


@dataclass(frozen=True)
class Mixers:
    """Who mixes one coat, out of which product, how warm.

    Parameters
    ----------
    product : Product
    cure : Cure
    slab_c : float
        [°C]
    people : int
        On site.
    rate_m2_h : float
        Laid by one person. [m²/h]
    batch_l : float
        Most that is mixed at once. [l]
    colours : int
        Mixed apart.
    shoes : bool
        Spiked shoes are worn: a film is crossed while it still closes over their marks.
    """

    product: Product
    cure: Cure
    slab_c: float
    people: int
    rate_m2_h: float
    batch_l: float
    colours: int
    shoes: bool = False

    def pot_life_min(self, volume_l: float) -> float:
        """Of a bucket of that size. [min]"""
        return windows_for(
            self.product, self.cure, self.slab_c, batch_l=volume_l
        ).pot_life_min

    @property
    def working_min(self) -> float:
        """Of film on the floor. [min]"""
        return windows_for(self.product, self.cure, self.slab_c).working_min

    def waves(self, buckets: int) -> int:
        """How often all mixers begin together for so many buckets."""
        return ceil(buckets / self.hands)

    @property
    def hands(self) -> int:
        """How many mix: one more lends a hand where colors are many for one."""
        usual = at_buckets(self.people)
        is_lent = self.colours > FEW_COLOURS * usual and self.people - usual >= 2
        return usual + is_lent

    @property
    def pace(self) -> Pace:
        """The crew at this coat, with the mixing taken off.

        Raises
        ------
        PlanError
            If a bucket's life is over before it can be poured.
        """
        if self.people < 1:
            raise PlanError("crew", found=self.people, expected="one person at least")
        before_min = self.waves(self.colours) * MIX_MIN + CARRY_MIN - MEETS_MIN
        full_l = self.batch_l / max(self.colours, 1)
        pot_min, working_min = self.pot_life_min(full_l), self.working_min
        pourable_min = (pot_min - before_min) / POURED_BY
        lane_min = min(working_min - TURN_MIN, working_min - before_min, pourable_min)
        if lane_min <= 0.0:
            raise PlanError(
                f"{self.product.name} at {shown_c(self.slab_c)}",
                found=f"the first of {self.colours} buckets {before_min:.0f} min old when "
                "the last is at the lane",
                expected=f"less than its {pot_min:.0f} min: {HELP}",
            )
        calm = lane_min - STALL_MIN
        return Pace(
            people=self.people,
            rate_m2_h=self.rate_m2_h,
            edge_min=working_min,
            # a plan that bears a stop is cut finer where that can be had
            lane_min=calm if calm >= LEAST_SET_MIN else lane_min,
            buckets_share=self.buckets_share,
            shoes_min=min(SHOES_SHARE * working_min, SHOES_MIN) if self.shoes else 0.0,
        )

    @property
    def buckets_share(self) -> float:
        """Share of all hands' time that mixing takes, with some slack."""
        return min(self._labor_min / (self.people * self._set_min), 0.9)

    @property
    def _labor_min(self) -> float:
        return self.colours * MIX_MIN

    @property
    def _set_min(self) -> float:
        """Laying time of a set that leaves the mixers theirs. [min]"""
        waves_min = self.waves(self.colours) * MIX_MIN
        by_hands = self._labor_min / (MOST_AT_BUCKETS * self.people)
        return max(SLACK * waves_min, LEAST_SET_MIN, by_hands)
