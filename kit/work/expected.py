"""The slab hour by hour, as a plan takes it: cold for curing, warm for haste."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, tzinfo
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from kit.errors import Concern
from kit.site.climate import Climate, without_gaps
from kit.stock.cures import AT_C, RECOAT_AT_C, Cure
from kit.work.windows import slowest_and_fastest

QUARTER = timedelta(minutes=15)
"""Plans are made in quarters of an hour."""
PER_H = 4
AHEAD_DAYS = 120
"""As far as a plan looks; what has not hardened by then is told as that."""
ROOM_C = 21.0
"""Taken where nothing was read or expected: 70 °F."""
NEVER = 10**6
"""Quarters of an hour after which something that does not harden is taken to have."""

Floats = NDArray[np.float64]
Quarters = NDArray[np.int64]
Spans = Sequence[tuple[int, int]]
"""First quarter of each, and the first after it."""


@dataclass(frozen=True)
class Clock:
    """Quarters of an hour since a midnight on site, and back."""

    midnight: datetime

    @property
    def zone(self) -> tzinfo:
        """Time zone of the site."""
        return self.midnight.tzinfo or UTC

    def quarter(self, at: datetime) -> float:
        """Quarters since the midnight; a time without a zone is the site's own."""
        aware = at if at.tzinfo else at.replace(tzinfo=self.zone)
        return (aware.astimezone(UTC) - self.midnight.astimezone(UTC)) / QUARTER

    def at(self, quarter: float) -> datetime:
        """Time by the site's own clock, to the microsecond."""
        return (self.midnight.astimezone(UTC) + quarter * QUARTER).astimezone(self.zone)


@dataclass(frozen=True)
class Expectation:
    """Slab and air through a plan, quarter by quarter.

    Parameters
    ----------
    cold_c : (Q,) float64
        Coldest that the slab may be: what resin hardens at. [°C]
    warm_c : (Q,) float64
        Warmest that slab or air may be: what resin kicks at. [°C]
    concerns : tuple of Concern
        What was taken for granted.
    """

    cold_c: Floats
    warm_c: Floats
    concerns: tuple[Concern, ...]

    def hardens(self, cure: Cure, end: int, told_h: float, *, told_c: float) -> int:
        """Quarters after `end` at which what takes `told_h` at `told_c` is reached.

        Parameters
        ----------
        cure : Cure
        end : int
            Quarter in which the last spot is laid.
        told_h : float
            [h]
        told_c : float
            `RECOAT_AT_C` or `AT_C`. [°C]

        Returns
        -------
        int
            Rounded up; `NEVER` if it stays too cold for as far as the plan looks.

        Notes
        -----
        Rates are added up hour by hour, the slower of two rules in each; below the
        product's coldest slab nothing is taken to harden.
        """
        return int(self.harden_from(cure, [end], told_h, told_c=told_c)[0])

    def harden_from(
        self, cure: Cure, ends: Sequence[int] | Quarters, told_h: float, *, told_c: float
    ) -> Quarters:
        """`hardens` of many quarters."""
        grown = self._grown(cure, told_c)
        starts = np.minimum(np.asarray(ends, dtype=np.int64), len(grown) - 1)
        found = np.searchsorted(grown, grown[starts] + told_h * PER_H - 1e-9)
        waits: Quarters = np.where(found < len(grown), found - starts, NEVER)
        return waits

    def closes(self, cure: Cure, start: int, until_h: float) -> int:
        """Quarters after `start` at which the next coat must be down; never lengthened."""
        return int(self.close_from(cure, [(start, start)], until_h)[0])

    def close_from(self, cure: Cure, spans: Spans, until_h: float) -> Quarters:
        """`closes` of what is begun at the worst time of each span."""
        told = int(until_h * PER_H + 1e-9)
        # beyond what is expected nothing is faster than it is told for
        rates = np.append(self._fastest(cure), np.ones(max(told, 1)))
        ends = np.ravel([(start, end + max(told, 1)) for start, end in spans])
        fastest = np.maximum.reduceat(rates, np.minimum(ends, len(rates) - 1))[::2]
        quarters: Quarters = (told / np.maximum(fastest, 1.0) + 1e-9).astype(np.int64)
        return quarters

    def may_be_laid(self, cure: Cure, spans: Spans) -> NDArray[np.bool_]:
        """Whether the slab stays within the product's temperatures in each span."""
        ends = np.ravel(spans)
        coldest = np.minimum.reduceat(self.cold_c, ends)[::2]
        warmest = np.maximum.reduceat(self.warm_c, ends)[::2]
        return (coldest >= cure.least_c) & (warmest <= cure.most_c)

    @cached_property
    def _kept(self) -> dict[tuple[str, float], Floats]:
        return {}

    def _once(self, name: str, told_c: float, make: Callable[[], Floats]) -> Floats:
        key = (name, told_c)
        if key not in self._kept:
            self._kept[key] = make()
        return self._kept[key]

    def _grown(self, cure: Cure, told_c: float) -> Floats:
        def make() -> Floats:
            each, of_quarter = self._cold
            slow = [slowest_and_fastest(cure, told_c, c)[0] for c in each.tolist()]
            rates = np.where(each >= cure.least_c, slow, 0.0)[of_quarter]
            return np.concatenate([[0.0], np.cumsum(rates)])

        return self._once(f"{cure.key} grown", told_c, make)

    def _fastest(self, cure: Cure) -> Floats:
        def make() -> Floats:
            each, of_quarter = self._warm
            fast = [slowest_and_fastest(cure, AT_C, c)[1] for c in each.tolist()]
            return np.array(fast)[of_quarter]

        return self._once(f"{cure.key} fast", AT_C, make)

    @cached_property
    def _cold(self) -> tuple[Floats, Quarters]:
        return _told_apart(self.cold_c)

    @cached_property
    def _warm(self) -> tuple[Floats, Quarters]:
        return _told_apart(self.warm_c)


def _told_apart(slab_c: Floats) -> tuple[Floats, Quarters]:
    """Temperatures that there are, and which of them each quarter has."""
    if (slab_c == slab_c[0]).all():
        return slab_c[:1], np.zeros(len(slab_c), dtype=np.int64)
    return np.unique(slab_c, return_inverse=True)


def expectation(climate: Climate, clock: Clock) -> Expectation:
    """Take a slab's temperature from what was read and what is expected.

    A forecast counts before readings; where it tells the air only, the slab is the
    colder of that and what was read. What lies beyond its last row is as cold, and as
    warm, as its last day.

    Raises
    ------
    SheetError
        If the forecast has a gap.
    """
    count = AHEAD_DAYS * 24 * PER_H
    rows = without_gaps(climate.forecast)
    latest = climate.latest
    read_c = min((reading.slab_c for reading in latest), default=None)
    if rows:
        at = np.array([clock.quarter(row.at) for row in rows])
        air = np.array([row.air_c for row in rows])
        slab = np.array(
            [
                row.slab_c
                if row.slab_c is not None
                else min(row.air_c, row.air_c if read_c is None else read_c)
                for row in rows
            ]
        )
        quarters = np.arange(count, dtype=np.float64)
        last_day = at >= at[-1] - 24 * PER_H
        cold = np.interp(quarters, at, slab, right=float(slab[last_day].min()))
        warm = np.maximum(slab, air)
        hot = np.interp(quarters, at, warm, right=float(warm[last_day].max()))
        return Expectation(np.round(cold, 2), np.round(hot, 2), ())
    if read_c is not None:
        warmest = max(max(reading.air_c, reading.slab_c) for reading in latest)
        concern = Concern(
            "climate",
            "No climate through the cure is expected on the sheet; the plan takes the "
            "coldest slab and the warmest air that were read.",
            "Keep the room so until the floor is hard, or give a forecast.",
        )
        return Expectation(np.full(count, read_c), np.full(count, warmest), (concern,))
    concern = Concern(
        "climate",
        "Neither air nor slab was read; the plan takes 70 °F throughout.",
        "Read both before the first bucket; every time here moves with them.",
    )
    return Expectation(np.full(count, ROOM_C), np.full(count, ROOM_C), (concern,))


def steady(slab_c: float) -> Expectation:
    """A slab that is kept at one temperature. [°C]"""
    count = AHEAD_DAYS * 24 * PER_H
    return Expectation(np.full(count, slab_c), np.full(count, slab_c), ())


__all__ = ["AT_C", "RECOAT_AT_C", "Clock", "Expectation", "expectation", "steady"]
