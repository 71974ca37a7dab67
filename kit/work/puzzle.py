"""What a plan of the days must keep, in whole quarters of an hour, and an answer to it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

Both = tuple[int, int]


@dataclass(frozen=True)
class Block:
    """One film on one zone, laid by the whole crew in one go.

    Parameters
    ----------
    zone, layer : int
        From 0; zones farthest first, layers from the slab up.
    length : int
        [quarters]
    behind : int, optional
        How much later after its start, than after that of the film below, a place is
        closed than it was begun; its length where left out. [quarters]
    """

    zone: int
    layer: int
    length: int
    behind: int | None = None

    @property
    def behind_quarters(self) -> int:
        """What the time between the starts of two films has less than a window."""
        return self.length if self.behind is None else self.behind


@dataclass(frozen=True)
class WorkDay:
    """Quarters between which coats may be laid on one day."""

    opens: int
    closes: int


class Turn(NamedTuple):
    """Starts that a block may have on one day. [quarters]

    Parameters
    ----------
    day : int
        Which, from 0.
    first, last : int
    """

    day: int
    first: int
    last: int


@dataclass(frozen=True)
class Puzzle:
    """What a plan must keep.

    Parameters
    ----------
    blocks : tuple of Block
        Ordered by zone, then layer.
    days : tuple of WorkDay
    least : tuple of tuple of int
        For each layer and day: quarters from the end of a film that is laid then to the
        start of the next, and until its zone can be crossed.
    most : tuple of tuple of int
        For each layer and day: quarters from where a film is begun to where the next is
        closed over it.
    usable : tuple of tuple of bool
        For each layer and day: the slab is neither too cold nor too warm.
    not_before : int
        When the slab is ready.
    not_after : int
        By when the last film must be down.
    one_crew : bool
        One film at a time, and no way across one that is wet.
    """

    blocks: tuple[Block, ...]
    days: tuple[WorkDay, ...]
    least: tuple[tuple[int, ...], ...]
    most: tuple[tuple[int, ...], ...]
    usable: tuple[tuple[bool, ...], ...]
    not_before: int
    not_after: int
    one_crew: bool = True

    @cached_property
    def stacked(self) -> tuple[Both, ...]:
        """Places of every block and of the next film on its zone."""
        return self._both(lambda block: (block.zone, block.layer + 1))

    @cached_property
    def beside(self) -> tuple[Both, ...]:
        """Of every block and of the same film on the next zone, which comes after it."""
        if not self.one_crew:
            return ()
        return self._both(lambda block: (block.zone + 1, block.layer))

    @cached_property
    def either(self) -> tuple[Both, ...]:
        """Of blocks of which either may come first: a higher film farther in, a lower."""
        if not self.one_crew:
            return ()
        return tuple(
            (n, m)
            for n, far in enumerate(self.blocks)
            for m, near in enumerate(self.blocks)
            if far.zone < near.zone and far.layer > near.layer
        )

    @cached_property
    def turns(self) -> tuple[tuple[Turn, ...], ...]:
        """For every block the days that it could be laid on, in turn."""
        over = dict(self.stacked)
        return tuple(
            self._turns(block, self.blocks[over[n]] if n in over else None)
            for n, block in enumerate(self.blocks)
        )

    def _both(self, other: Callable[[Block], tuple[int, int]]) -> tuple[Both, ...]:
        place = {(block.zone, block.layer): n for n, block in enumerate(self.blocks)}
        both = ((n, place.get(other(block))) for n, block in enumerate(self.blocks))
        return tuple((n, m) for n, m in both if m is not None)

    def _turns(self, block: Block, above: Block | None) -> tuple[Turn, ...]:
        usable, least, most = (
            figures[block.layer] for figures in (self.usable, self.least, self.most)
        )
        found = []
        for number, day in enumerate(self.days):
            closes = day.closes if above else min(day.closes, self.not_after)
            first, last = max(day.opens, self.not_before), closes - block.length
            # or the next film could not be closed in time even if it followed at once
            spare = 0
            if above is not None:
                spare = most[number] - block.length - least[number] - above.behind_quarters
            if usable[number] and first <= last and spare >= 0:
                found.append(Turn(number, first, last))
        return tuple(found)


@dataclass(frozen=True)
class Solved:
    """Starts of the blocks, and the day of each. [quarters]"""

    starts: tuple[int, ...]
    days: tuple[int, ...]
