"""The soonest plan by pushing: starts are put later until everything holds.

Each constraint lets one block begin only so long after another, or on certain days, and
what is allowed is found by relaxation along them [Bellman1958]_: no plan has an earlier
start. Where two blocks clash that may come in either order, both orders are pushed on,
the one that ends sooner first [Land1960]_; so the first plan without a clash is the
soonest, and where none is left there is no plan. All of it is whole numbers.
"""

from __future__ import annotations

from dataclasses import dataclass
from heapq import heappop, heappush
from itertools import count
from typing import NamedTuple

from kit.work.puzzle import Puzzle, Solved

MOST_TRIED = 500
"""Sets of orders that are pushed before it is given up; a floor takes a few dozen."""
_NEVER = 10**9


class UnsettledError(Exception):
    """Pushing cannot tell: it takes too long, or a film laid later would dry sooner."""


class _Order(NamedTuple):
    """The second block begins when the first is down, or not before it has dried."""

    first: int
    second: int
    is_dry: bool


@dataclass(frozen=True)
class _Pushed:
    """Earliest starts under some orders, and the turn of each block."""

    starts: list[int]
    turns: list[int]
    orders: tuple[_Order, ...]

    def with_order(self, order: _Order) -> _Pushed:
        """The same to push on under one order more."""
        return _Pushed(self.starts.copy(), self.turns.copy(), (*self.orders, order))


class _Film:
    """A block with its turns, and how soon and how late each lets the next film follow."""

    def __init__(self, puzzle: Puzzle, number: int) -> None:
        block, turns = puzzle.blocks[number], puzzle.turns[number]
        self.length, self.behind = block.length, block.behind_quarters
        self.days = [turn.day for turn in turns]
        self.firsts = [turn.first for turn in turns]
        self.lasts = [turn.last for turn in turns]
        self.dries = [block.length + puzzle.least[block.layer][day] for day in self.days]
        self.shuts = [puzzle.most[block.layer][day] for day in self.days]
        self.later_dry = [_NEVER] * len(turns)
        for turn in range(len(turns) - 1, 0, -1):
            dry = self.firsts[turn] + self.dries[turn]
            self.later_dry[turn - 1] = min(dry, self.later_dry[turn])

    def soonest_dry(self, start: int, turn: int) -> int:
        """When it has dried at the soonest, if it is laid then or any time later."""
        return min(start + self.dries[turn], self.later_dry[turn])

    def fit(self, turn: int, start: int, closed: int = 0) -> tuple[int, int] | None:
        """Turn and start from there on, whose window is open until the next is closed."""
        for then in range(turn, len(self.lasts)):
            at = max(start, self.firsts[then], closed - self.shuts[then])
            if at <= self.lasts[then]:
                return then, at
        return None


def pushed(puzzle: Puzzle) -> Solved | None:
    """Find the plan whose last film is down the soonest, each start as early as can be.

    Returns
    -------
    Solved or None
        None if there is no plan.

    Raises
    ------
    UnsettledError
        If it cannot be told so.
    """
    if not all(puzzle.turns):
        return None
    return _Pushing(puzzle).soonest()


class _Pushing:
    def __init__(self, puzzle: Puzzle) -> None:
        self.puzzle = puzzle
        self.films = [_Film(puzzle, n) for n in range(len(puzzle.blocks))]

    def soonest(self) -> Solved | None:
        """Push on what would end the soonest until nothing in it clashes."""
        first = _Pushed(
            [film.firsts[0] for film in self.films],
            [0] * len(self.films),
            (
                *(_Order(*both, is_dry=True) for both in self.puzzle.stacked),
                *(_Order(*both, is_dry=False) for both in self.puzzle.beside),
            ),
        )
        tried = count()
        waiting: list[tuple[int, int, int, _Pushed]] = []

        def push(plan: _Pushed) -> None:
            if self._holds(plan):
                # of plans that end alike, the one in which more is settled
                rank = (self._end(plan), -len(plan.orders), next(tried))
                heappush(waiting, (*rank, plan))

        push(first)
        while waiting:
            *_, number, plan = heappop(waiting)
            if number > MOST_TRIED:
                raise UnsettledError
            clash = self._clash(plan)
            if clash is None:
                return self._told(plan)
            far, near = clash
            push(plan.with_order(_Order(far, near, is_dry=False)))
            push(plan.with_order(_Order(near, far, is_dry=True)))
        return None

    def _holds(self, plan: _Pushed) -> bool:
        """Push starts until all orders and windows hold; False where days run out."""
        films, starts, turns = self.films, plan.starts, plan.turns
        moves = True
        while moves:
            moves = False
            for first, second, is_dry in plan.orders:
                film, start = films[first], starts[first]
                if is_dry:
                    least = film.soonest_dry(start, turns[first])
                else:
                    least = start + film.length
                if starts[second] < least:
                    fit = films[second].fit(turns[second], least)
                    if fit is None:
                        return False
                    turns[second], starts[second] = fit
                    moves = True
            for below, above in self.puzzle.stacked:
                film, closed = films[below], starts[above] + films[above].behind
                if starts[below] + film.shuts[turns[below]] < closed:
                    fit = film.fit(turns[below], starts[below], closed)
                    if fit is None:
                        return False
                    turns[below], starts[below] = fit
                    moves = True
        return True

    def _end(self, plan: _Pushed) -> int:
        """When the last film is down."""
        return max(s + film.length for s, film in zip(plan.starts, self.films, strict=True))

    def _dry(self, plan: _Pushed, number: int) -> int:
        return plan.starts[number] + self.films[number].dries[plan.turns[number]]

    def _clash(self, plan: _Pushed) -> tuple[int, int] | None:
        """The first two blocks of which neither waits for the other, if there are any."""
        starts = plan.starts
        clashes = [
            (min(starts[far], starts[near]), far, near)
            for far, near in self.puzzle.either
            if starts[near] < starts[far] + self.films[far].length
            and starts[far] < self._dry(plan, near)
        ]
        return min(clashes)[1:] if clashes else None

    def _told(self, plan: _Pushed) -> Solved:
        for first, second, is_dry in plan.orders:
            if is_dry and plan.starts[second] < self._dry(plan, first):
                raise UnsettledError
        days = (film.days[n] for film, n in zip(self.films, plan.turns, strict=True))
        return Solved(tuple(plan.starts), tuple(days))
