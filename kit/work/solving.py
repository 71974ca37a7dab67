"""Which coat on which day and in which order: a mixed-integer program, then whole quarters.

Every figure is a whole number of quarters of an hour. The solver [Huangfu2018]_ picks
days and orders; what is left are differences of starts, whose earliest solution is found
by relaxation along the constraints [Bellman1958]_ and is whole by nature. So windows
are kept exactly, not to a solver's tolerance.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

SECONDS = 20.0
"""A solve that takes longer is given up; it then counts as not known."""
_NO_ONE_KNOWS = "not known"


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


@dataclass(frozen=True)
class Solved:
    """Starts of the blocks, and the day of each. [quarters]"""

    starts: tuple[int, ...]
    days: tuple[int, ...]


def solve(puzzle: Puzzle) -> Solved | None:
    """Find the plan whose last film is down the soonest.

    Returns
    -------
    Solved or None
        None if there is no plan.

    Raises
    ------
    TimeoutError
        If neither was found within `SECONDS`.
    """
    program = _Program(puzzle)
    if not program.is_worth_asking:
        return None
    return program.solved()


class _Program:
    """Columns: each block's day and start, an order for each pair, the end."""

    def __init__(self, puzzle: Puzzle) -> None:
        self.puzzle = puzzle
        self.count = len(puzzle.blocks)
        self.index = {(b.zone, b.layer): n for n, b in enumerate(puzzle.blocks)}
        self.choices = [self._days_of(block) for block in puzzle.blocks]
        self.is_worth_asking = all(self.choices)
        offsets = np.cumsum([0, *(len(days) for days in self.choices)])
        self.first_day = [int(n) for n in offsets[:-1]]
        self.first_start = int(offsets[-1])
        self.pairs = self._pairs() if puzzle.one_crew else []
        self.first_pair = self.first_start + self.count
        self.end = self.first_pair + len(self.pairs)
        self.horizon = puzzle.days[-1].closes if puzzle.days else 0
        self.rows: list[tuple[dict[int, float], float, float]] = []

    def _days_of(self, block: Block) -> list[int]:
        puzzle = self.puzzle
        last = block.layer == max(b.layer for b in puzzle.blocks)
        found = []
        for number, day in enumerate(puzzle.days):
            opens = max(day.opens, puzzle.not_before)
            closes = min(day.closes, puzzle.not_after) if last else day.closes
            if puzzle.usable[block.layer][number] and closes - opens >= block.length:
                found.append(number)
        return found

    def _pairs(self) -> list[tuple[int, int]]:
        """Blocks of which either may come first: a higher film farther in, and a lower."""
        return [
            (far, near)
            for (zone, layer), far in self.index.items()
            for (other_zone, other_layer), near in self.index.items()
            if zone < other_zone and layer > other_layer
        ]

    def _by_day(
        self, block: int, figures: tuple[int, ...], sign: float
    ) -> dict[int, float]:
        """A figure of the day on which a block is laid, as columns."""
        return {
            self.first_day[block] + k: sign * figures[day]
            for k, day in enumerate(self.choices[block])
        }

    def solved(self) -> Solved | None:
        """Ask the solver, then settle the starts."""
        from scipy.optimize import Bounds, LinearConstraint, milp
        from scipy.sparse import csr_array

        self._write()
        columns = self.end + 1
        rows, places, values = [], [], []
        for number, (row, _, _) in enumerate(self.rows):
            for column, value in row.items():
                rows.append(number)
                places.append(column)
                values.append(value)
        matrix = csr_array((values, (rows, places)), shape=(len(self.rows), columns))
        cost = np.zeros(columns)
        cost[self.end] = 1.0
        whole = np.zeros(columns)
        whole[: self.first_start] = 1
        whole[self.first_pair : self.end] = 1
        high = np.full(columns, float(self.horizon))
        high[: self.first_start] = 1.0
        high[self.first_pair : self.end] = 1.0
        low = np.zeros(columns)
        low[self.first_start : self.first_pair] = self.puzzle.not_before
        limits = ([r[1] for r in self.rows], [r[2] for r in self.rows])
        answer: Any = milp(
            cost,
            integrality=whole,
            bounds=Bounds(low, high),
            constraints=LinearConstraint(matrix, *limits),
            options={"time_limit": SECONDS, "mip_rel_gap": 0.0},
        )
        if answer.x is None:
            if answer.status == 2:
                return None
            raise TimeoutError(_NO_ONE_KNOWS)
        return self._settled(answer.x)

    def _write(self) -> None:
        puzzle, infinite = self.puzzle, np.inf
        opens = tuple(day.opens for day in puzzle.days)
        closes = tuple(day.closes for day in puzzle.days)
        for n, block in enumerate(puzzle.blocks):
            start, days = self.first_start + n, self._by_day(n, opens, -1.0)
            self.rows.append((dict.fromkeys(days, 1.0), 1.0, 1.0))
            self.rows.append(({start: 1.0, **days}, 0.0, infinite))
            shut = {start: 1.0, **self._by_day(n, closes, -1.0)}
            self.rows.append((shut, -infinite, -float(block.length)))
            self.rows.append(({self.end: 1.0, start: -1.0}, float(block.length), infinite))
            self._write_next(n, block)
        for number, (far, near) in enumerate(self.pairs):
            self._write_pair(self.first_pair + number, far, near)
        if puzzle.one_crew:
            self._write_days()

    def _write_next(self, n: int, block: Block) -> None:
        """The next film on the same zone, and the same film on the next zone."""
        puzzle, start = self.puzzle, self.first_start + n
        over = self.index.get((block.zone, block.layer + 1))
        if over is not None:
            above = self.first_start + over
            behind = puzzle.blocks[over].behind_quarters
            least = self._by_day(n, puzzle.least[block.layer], -1.0)
            row = {above: 1.0, start: -1.0, **least}
            self.rows.append((row, float(block.length), np.inf))
            most = self._by_day(n, puzzle.most[block.layer], -1.0)
            row = {above: 1.0, start: -1.0, **most}
            self.rows.append((row, -np.inf, -float(behind)))
        beside = self.index.get((block.zone + 1, block.layer))
        if beside is not None and puzzle.one_crew:
            row = {self.first_start + beside: 1.0, start: -1.0}
            self.rows.append((row, float(block.length), np.inf))

    def _write_pair(self, order: int, far: int, near: int) -> None:
        """Far is down before near begins, or near has dried before far begins."""
        puzzle = self.puzzle
        big = 3.0 * (self.horizon - puzzle.not_before)
        first, second = puzzle.blocks[far], puzzle.blocks[near]
        far_start, near_start = self.first_start + far, self.first_start + near
        row = {near_start: 1.0, far_start: -1.0, order: big}
        self.rows.append((row, float(first.length), np.inf))
        dries = self._by_day(near, puzzle.least[second.layer], -1.0)
        row = {far_start: 1.0, near_start: -1.0, order: -big, **dries}
        self.rows.append((row, second.length - big, np.inf))

    def _write_days(self) -> None:
        """No day holds more than its hours: implied, but it guides the solver."""
        for number, day in enumerate(self.puzzle.days):
            row = {
                self.first_day[n] + self.choices[n].index(number): float(block.length)
                for n, block in enumerate(self.puzzle.blocks)
                if number in self.choices[n]
            }
            if row:
                self.rows.append((row, -np.inf, float(day.closes - day.opens)))

    def _settled(self, answer: Any) -> Solved:
        """Earliest whole starts for the days and orders that the solver chose."""
        puzzle = self.puzzle
        days = [
            choice[int(np.argmax(answer[first : first + len(choice)]))]
            for choice, first in zip(self.choices, self.first_day, strict=True)
        ]
        starts = [max(puzzle.days[day].opens, puzzle.not_before) for day in days]
        after: list[tuple[int, int, int]] = []
        for n, block in enumerate(puzzle.blocks):
            over = self.index.get((block.zone, block.layer + 1))
            if over is not None:
                least = puzzle.least[block.layer][days[n]]
                most = puzzle.most[block.layer][days[n]]
                after.append((n, over, block.length + least))
                after.append((over, n, puzzle.blocks[over].behind_quarters - most))
            beside = self.index.get((block.zone + 1, block.layer))
            if beside is not None and puzzle.one_crew:
                after.append((n, beside, block.length))
        for number, (far, near) in enumerate(self.pairs):
            if answer[self.first_pair + number] > 0.5:
                after.append((near, far, self._dry(near, days[near])))
            else:
                after.append((far, near, puzzle.blocks[far].length))
        for _ in range(self.count + 1):
            moved = False
            for before, then, gap in after:
                if starts[then] < starts[before] + gap:
                    starts[then], moved = starts[before] + gap, True
            if not moved:
                break
        return Solved(tuple(starts), tuple(days))

    def _dry(self, near: int, day: int) -> int:
        block = self.puzzle.blocks[near]
        return block.length + self.puzzle.least[block.layer][day]
