"""The soonest plan by a mixed-integer program, then whole quarters.

The solver [Huangfu2018]_ picks days and orders; what is left are differences of starts,
whose earliest solution is found by relaxation along the constraints [Bellman1958]_ and is
whole by nature. So windows are kept exactly, not to a solver's tolerance.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from kit.work.puzzle import Puzzle, Solved

SECONDS = 20.0
"""A solve that takes longer is given up; it then counts as not known."""
_NO_ONE_KNOWS = "not known"


def programmed(puzzle: Puzzle) -> Solved | None:
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
    return _Program(puzzle).solved() if all(puzzle.turns) else None


class _Program:
    """Columns: each block's day and start, an order for each pair, the end."""

    def __init__(self, puzzle: Puzzle) -> None:
        self.puzzle = puzzle
        self.count = len(puzzle.blocks)
        self.choices = [[turn.day for turn in turns] for turns in puzzle.turns]
        offsets = np.cumsum([0, *(len(days) for days in self.choices)])
        self.first_day = [int(n) for n in offsets[:-1]]
        self.first_start = int(offsets[-1])
        self.first_pair = self.first_start + self.count
        self.end = self.first_pair + len(puzzle.either)
        self.horizon = puzzle.days[-1].closes
        self.span = self.horizon - puzzle.not_before
        self.rows: list[tuple[dict[int, float], float, float]] = []

    def _by_day(
        self, block: int, figures: tuple[int, ...], sign: float
    ) -> dict[int, float]:
        """A figure of the day on which a block is laid, as columns."""
        return {
            self.first_day[block] + k: sign * figures[day]
            for k, day in enumerate(self.choices[block])
        }

    def _waits(self, block: int, figures: tuple[tuple[int, ...], ...]) -> dict[int, float]:
        """A wait after the day on which a block is laid, as columns to its other side."""
        # more than all there is says no more, and is too long for the solver's tolerance
        waits = figures[self.puzzle.blocks[block].layer]
        return self._by_day(block, tuple(min(wait, self.span) for wait in waits), -1.0)

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
        above, beside = dict(puzzle.stacked), dict(puzzle.beside)
        for n, block in enumerate(puzzle.blocks):
            start, days = self.first_start + n, self._by_day(n, opens, -1.0)
            self.rows.append((dict.fromkeys(days, 1.0), 1.0, 1.0))
            self.rows.append(({start: 1.0, **days}, 0.0, infinite))
            shut = {start: 1.0, **self._by_day(n, closes, -1.0)}
            self.rows.append((shut, -infinite, -float(block.length)))
            self.rows.append(({self.end: 1.0, start: -1.0}, float(block.length), infinite))
            if n in above:
                self._write_next(n, above[n])
            if n in beside:
                row = {self.first_start + beside[n]: 1.0, start: -1.0}
                self.rows.append((row, float(block.length), infinite))
        for number, (far, near) in enumerate(puzzle.either):
            self._write_pair(self.first_pair + number, far, near)
        if puzzle.one_crew:
            self._write_days()

    def _write_next(self, below: int, above: int) -> None:
        """The next film on the same zone."""
        puzzle, block = self.puzzle, self.puzzle.blocks[below]
        starts = {self.first_start + above: 1.0, self.first_start + below: -1.0}
        least = self._waits(below, puzzle.least)
        self.rows.append((starts | least, float(block.length), np.inf))
        most = self._waits(below, puzzle.most)
        behind = puzzle.blocks[above].behind_quarters
        self.rows.append((starts | most, -np.inf, -float(behind)))

    def _write_pair(self, order: int, far: int, near: int) -> None:
        """Far is down before near begins, or near has dried before far begins."""
        puzzle = self.puzzle
        big = 3.0 * self.span
        first, second = puzzle.blocks[far], puzzle.blocks[near]
        far_start, near_start = self.first_start + far, self.first_start + near
        row = {near_start: 1.0, far_start: -1.0, order: big}
        self.rows.append((row, float(first.length), np.inf))
        dries = self._waits(near, puzzle.least)
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
        for n, over in puzzle.stacked:
            after.append((n, over, self._dry(n, days[n])))
            most = puzzle.most[puzzle.blocks[n].layer][days[n]]
            after.append((over, n, puzzle.blocks[over].behind_quarters - most))
        after += [(n, beside, puzzle.blocks[n].length) for n, beside in puzzle.beside]
        for number, (far, near) in enumerate(puzzle.either):
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

    def _dry(self, number: int, day: int) -> int:
        block = self.puzzle.blocks[number]
        return block.length + self.puzzle.least[block.layer][day]
