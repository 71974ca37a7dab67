"""What climate and products allow on each day, and the puzzle that it makes of a floor."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from kit.stock.cures import AT_C, RECOAT_AT_C, Cure
from kit.stock.records import Product
from kit.work.asking import Floor, Terms
from kit.work.expected import PER_H, Spans
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
    """Hold every film to the worst hour of each day, from when the slab is ready.

    Parameters
    ----------
    floor : Floor
    terms : Terms
    days : tuple of WorkDay
        At least one.
    ready : int
        [quarters]
    """
    spans = [(day.opens, day.closes) for day in days]
    hours = [[*range(opens, closes, PER_H), closes] for opens, closes in spans]
    span = days[-1].closes - ready
    return Limits(
        days=days,
        least=tuple(_least(*each, terms, hours) for each in floor.products),
        most=tuple(_most(*each, terms, spans, span) for each in floor.products),
        usable=tuple(_usable(cure, terms, spans) for _, cure in floor.products),
        not_before=ready,
        not_after=_not_after(floor, terms, days[-1].closes),
        one_crew="crew" not in terms.dropped,
    )


def _least(
    product: Product, cure: Cure, terms: Terms, hours: list[list[int]]
) -> tuple[int, ...]:
    """How long a film waits for the next, by the hour of each day that takes longest."""
    if "earliest recoat" in terms.dropped:
        return (0,) * len(hours)
    first = np.cumsum([0, *(len(each) for each in hours[:-1])])
    waits = terms.expected.harden_from(
        cure, np.concatenate(hours), product.recoat_from_h, told_c=RECOAT_AT_C
    )
    longest = np.maximum.reduceat(waits, first) + terms.spare_from
    return tuple(longest.tolist())


def _most(
    product: Product, cure: Cure, terms: Terms, spans: Spans, span: int
) -> tuple[int, ...]:
    """How soon the next film must be closed, by the worst time of each day."""
    if "latest recoat" in terms.dropped:
        return (span,) * len(spans)
    shuts = terms.expected.close_from(cure, spans, product.recoat_until_h)
    return tuple(np.maximum(shuts - terms.spare_until, 0).tolist())


def _usable(cure: Cure, terms: Terms, spans: Spans) -> tuple[bool, ...]:
    if "slab temperature" in terms.dropped:
        return (True,) * len(spans)
    return tuple(terms.expected.may_be_laid(cure, spans).tolist())


def _not_after(floor: Floor, terms: Terms, last: int) -> int:
    """Last quarter at which the top film can be down and still be walked on in time."""
    needed = terms.crew.done_by
    if needed is None or "day it is needed" in terms.dropped:
        return last
    shut = terms.quarter(needed, terms.until)
    _, cure = floor.products[-1]
    ends = range(min(last, shut), 0, -1)
    waits = terms.expected.harden_from(cure, ends, cure.walk_on_h, told_c=AT_C)
    in_time = (end for end, wait in zip(ends, waits, strict=True) if end + wait <= shut)
    return next(in_time, 0)
