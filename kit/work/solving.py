"""Which coat on which day and in which order, proven to be the soonest."""

from __future__ import annotations

from kit.work.program import programmed
from kit.work.pushing import UnsettledError, pushed
from kit.work.puzzle import Puzzle, Solved


def solve(puzzle: Puzzle) -> Solved | None:
    """Find the plan whose last film is down the soonest.

    Returns
    -------
    Solved or None
        None if there is no plan.

    Raises
    ------
    TimeoutError
        If neither was found in the time that the solver has.

    Notes
    -----
    By pushing starts and trying orders; the solver is asked only where that cannot tell.
    """
    try:
        return pushed(puzzle)
    except UnsettledError:
        return programmed(puzzle)
