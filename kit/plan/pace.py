"""How a crew works its way over a floor: who, how fast, how far they reach."""

from __future__ import annotations

from dataclasses import dataclass, replace

from kit.errors import PlanError

REACH_M = 1.37
"""How far a trowel is worked from where its hand stands, common practice. [m]"""
WIDEST_M = 1.22
"""Widest lane: four feet, common practice, no source. [m]"""
BODY_M = 0.21
"""Half of what a person needs to stand or pass, about 8 in. [m]"""
PASSES_M = 2 * BODY_M
"""Narrowest place a person passes. [m]"""
TURN_MIN = 1.0
"""From the end of one lane to the beginning of the next. [min]"""
STALL_MIN = 10.0
"""A stop that a plan should bear. [min]"""
SHOES_LANE_M = 0.25
"""Narrowest lane in spiked shoes, whose wearer stands in it: a squeegee. [m]"""
BUCKETS_FROM = 4
"""From so many people on, two of them are at the buckets."""


def at_buckets(people: int) -> int:
    """How many of a crew mix; someone alone does both in turn."""
    return 2 if people >= BUCKETS_FROM else 1


@dataclass(frozen=True)
class Pace:
    """A crew at one coat.

    Parameters
    ----------
    people : int
        All of them, at least 1.
    rate_m2_h : float
        Laid by one person who does nothing else. [m²/h]
    edge_min : float
        How long the edge of a lane stays wet for the next. [min]
    lane_min : float
        Most that one lane may take. [min]
    buckets_share : float
        Share of all hands' time that goes into mixing, from 0 up to 1.
    shoes_min : float
        How old a film may be that is crossed in spiked shoes; 0 where none are worn.

    Raises
    ------
    PlanError
        If there is nobody, or a figure is not positive.
    """

    people: int
    rate_m2_h: float
    edge_min: float
    lane_min: float
    buckets_share: float = 0.0
    shoes_min: float = 0.0

    def __post_init__(self) -> None:
        if self.people < 1:
            raise PlanError("crew", found=self.people, expected="one person at least")
        for about, figure in (
            ("rate of laying", self.rate_m2_h),
            ("working time", self.edge_min),
            ("time for a lane", self.lane_min),
        ):
            if not figure > 0.0:
                raise PlanError(about, found=f"{figure:g}", expected="more than 0")
        if not 0.0 <= self.buckets_share < 1.0:
            found = f"{self.buckets_share:.0%} of all hands' time"
            raise PlanError("mixing", found=found, expected="time left to lay in")

    @property
    def at_lane(self) -> int:
        """How many lay without a break."""
        return max(self.people - at_buckets(self.people), 1)

    @property
    def calm_edge_min(self) -> float:
        """How long an edge is counted on where tape costs nothing: under a door. [min]"""
        return self.edge_min - min(STALL_MIN, self.edge_min / 2)

    @property
    def crew_m2_h(self) -> float:
        """Laid by all hands together, the time at the buckets left out. [m²/h]"""
        return self.people * self.rate_m2_h * (1.0 - self.buckets_share)

    def takes_min(self, area_m2: float) -> float:
        """Minutes by the clock to lay an area."""
        return 60.0 * area_m2 / self.crew_m2_h

    @property
    def most_m2(self) -> float:
        """Largest lane that is laid in time. [m²]"""
        return self.lane_min * self.crew_m2_h / 60.0

    def in_lanes(self, most_m2: float) -> Pace:
        """The same crew in lanes no larger than that. [m²]"""
        return replace(self, lane_min=min(self.lane_min, self.takes_min(most_m2)))
