"""What climate and products allow on each day, and the puzzle that it makes of a floor."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from kit.stock.cures import AT_C, RECOAT_AT_C, Cure
from kit.stock.records import Product
from kit.work.asking import Floor, Terms
from kit.work.expected import PER_H
from kit.work.puzzle import Block, Puzzle, WorkDay


@dataclass(frozen=True)
class Limits:
    """What each film is held to on each of the days, as `Puzzle` has it.

    Parameters
    ----------
    days : tuple of WorkDay
    least, most, usable
        For each layer and day.
    not_before, not_after : int
        [quarters]
    one_crew : bool
    """

    days: tuple[WorkDay, ...]
    least: tuple[tuple[int, ...], ...]
    most: tuple[tuple[int, ...], ...]
    usable: tuple[tuple[bool, ...], ...]
    not_before: int
    not_after: int
    one_crew: bool

    def puzzle(self, blocks: tuple[Block, ...], ahead: int) -> Puzzle:
        """Put blocks on the first so many days."""
        return Puzzle(
            blocks=blocks,
            days=self.days[:ahead],
            least=tuple(figures[:ahead] for figures in self.least),
            most=tuple(figures[:ahead] for figures in self.most),
            usable=tuple(figures[:ahead] for figures in self.usable),
            not_before=self.not_before,
            not_after=self.not_after,
            one_crew=self.one_crew,
        )


def limits_of(floor: Floor, terms: Terms, days: tuple[WorkDay, ...], ready: int) -> Limits:
    """Hold every film to the worst hour of each day, from when the slab is ready."""
    found = [_by_day(product, cure, terms, days, ready) for product, cure in floor.products]
    return Limits(
        days=days,
        least=tuple(least for least, _, _ in found),
        most=tuple(most for _, most, _ in found),
        usable=tuple(usable for _, _, usable in found),
        not_before=ready,
        not_after=_not_after(floor, terms, days),
        one_crew="crew" not in terms.dropped,
    )


def _by_day(
    product: Product, cure: Cure, terms: Terms, days: tuple[WorkDay, ...], ready: int
) -> tuple[tuple[int, ...], tuple[int, ...], tuple[bool, ...]]:
    """On each day, how long a film waits at least and at most, and if it may be laid."""
    if not days:
        return (), (), ()
    expected, dropped = terms.expected, terms.dropped
    hours = [[*range(day.opens, day.closes, PER_H), day.closes] for day in days]
    first = np.cumsum([0, *(len(each) for each in hours[:-1])])
    every = np.concatenate(hours)
    waits = expected.harden_from(cure, every, product.recoat_from_h, told_c=RECOAT_AT_C)
    least = np.maximum.reduceat(waits, first) + terms.spare_from
    spans = [(day.opens, day.closes) for day in days]
    shuts = expected.close_from(cure, spans, product.recoat_until_h)
    most = np.maximum(shuts - terms.spare_until, 0)
    usable = expected.may_be_laid(cure, spans)
    span = days[-1].closes - ready
    count = len(days)
    return (
        (0,) * count if "earliest recoat" in dropped else tuple(least.tolist()),
        (span,) * count if "latest recoat" in dropped else tuple(most.tolist()),
        (True,) * count if "slab temperature" in dropped else tuple(usable.tolist()),
    )


def _not_after(floor: Floor, terms: Terms, days: tuple[WorkDay, ...]) -> int:
    """Last quarter at which the top film can be down and still be walked on in time."""
    last = days[-1].closes if days else 0
    needed = terms.crew.done_by
    if needed is None or "day it is needed" in terms.dropped:
        return last
    shut = terms.quarter(needed, terms.until)
    _, cure = floor.products[-1]
    ends = range(min(last, shut), 0, -1)
    waits = terms.expected.harden_from(cure, ends, cure.walk_on_h, told_c=AT_C)
    in_time = (end for end, wait in zip(ends, waits, strict=True) if end + wait <= shut)
    return next(in_time, 0)
