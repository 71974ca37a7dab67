"""In which order the lanes of one room are laid, so that everyone gets out dry.

An order is safe exactly if each lane has a parent: the way out of the room, or a
lane beside it that is laid later and that its crew can step back onto. Followed
from parent to parent the times only rise, so at its own time every lane has a dry
way out, and so has all that is not laid yet. A safe order is found backwards from
the way out, adding any lane beside those already there: what can be added once can
be added for ever, so this never needs to go back, and where it ends early no order
exists for these lanes.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
import shapely
from shapely import LineString

from kit.plan.cells import Cell, Contact, Sides, contacts, split
from kit.plan.pace import BODY_M, PASSES_M, REACH_M

MOST_SPLITS = 24
_DOOR = -1
_NEAR_M = 0.02


@dataclass(frozen=True)
class Step:
    """One lane in its turn.

    Parameters
    ----------
    cell : Cell
    onto : int
        Place, in the same order, of the lane its crew steps back onto; -1 for the
        way out of the room.
    over : Contact
        Where they do, in the room's frame.
    """

    cell: Cell
    onto: int
    over: Contact


class _Door:
    """The opening by which a room is left, asked once for what it is."""

    def __init__(self, line: LineString) -> None:
        self.line = line
        self.bounds: Sides = line.bounds
        self.least_m = min(PASSES_M, 0.9 * line.length)


def in_turn(
    cells: list[Cell], door: LineString, *, passes_m: float = PASSES_M
) -> list[Step] | None:
    """Order the lanes of a room safely, first to last; None where they cannot be.

    Parameters
    ----------
    cells : list of Cell
        Lanes, in the frame in which the pour moves along x.
    door : LineString
        Opening by which the room is left, in the same frame. [m]
    passes_m : float
        Narrowest dry strip that is walked on. [m]
    """
    leaving = _Door(door)
    for _ in range(MOST_SPLITS):
        if not cells:
            return None
        steps, stuck = _backwards(cells, leaving, passes_m)
        if len(steps) == len(cells):
            return steps
        if stuck is None:
            return None
        cell, over = stuck
        parts = split(cell, over.low, over.high)
        if len(parts) < 2:
            return None
        place = next(n for n, one in enumerate(cells) if one is cell)
        cells = [*cells[:place], *parts, *cells[place + 1 :]]
    return None


def in_shoes(
    cells: list[Cell], door: LineString
) -> tuple[list[Step], list[dict[int, Contact]]]:
    """Order lanes by how far they are alone: in spiked shoes none must be left dry.

    Returns
    -------
    steps : list of Step
        First to last; each onto a lane that is laid later, where one is beside it.
    beside : list of dict of int to Contact
        Lanes beside each, by their places in that order; -1 for the way out of the room.
    """
    leaving = _Door(door)
    ranked = sorted(cells, key=lambda one: (_far(one, leaving), one.bounds[1]))
    beside: list[dict[int, Contact]] = [{} for _ in ranked]
    for n, cell in enumerate(ranked):
        if at := _at_door(cell, leaving):
            beside[n][_DOOR] = at
        for m in range(n):
            touching = [c for c in contacts(cell, ranked[m]) if c.length >= PASSES_M]
            if touching:
                beside[n][m] = beside[m][n] = touching[0]
    steps = []
    for n, cell in enumerate(ranked):
        later = [m for m in beside[n] if m == _DOOR or m > n]
        onto = _DOOR if _DOOR in later else max(later or beside[n], default=_DOOR)
        over = beside[n].get(onto) or Contact("x", cell.bounds[2], *cell.bounds[1::2])
        steps.append(Step(cell, onto, over))
    return steps, beside


def _far(cell: Cell, door: _Door) -> float:
    return _turn(cell, Contact("x", 0.0, 0.0, 0.0), door)[0]


def _backwards(
    cells: list[Cell], door: _Door, passes_m: float
) -> tuple[list[Step], tuple[Cell, Contact] | None]:
    """Steps that can be taken, first to last, and a lane to cut where not all can be."""
    beside = _beside(cells, door, passes_m)
    found: list[tuple[int, int, Contact]] = []
    done = {_DOOR}
    while True:
        free = [
            (_turn(cells[n], over, door), n, onto, over)
            for n in range(len(cells))
            if n not in done
            for onto, over in beside[n]
            if onto in done and _is_left(cells[n], over)
        ]
        if not free:
            break
        _, n, onto, over = max(free, key=lambda one: one[0])
        found.append((n, onto, over))
        done.add(n)
    stuck = [
        (over.length, n, over)
        for n in range(len(cells))
        if n not in done
        for onto, over in beside[n]
        if onto in done
    ]
    turn = {n: len(found) - 1 - place for place, (n, _, _) in enumerate(found)}
    turn[_DOOR] = _DOOR
    steps = [Step(cells[n], turn[onto], over) for n, onto, over in reversed(found)]
    if not stuck:
        return steps, None
    _, n, over = max(stuck, key=lambda s: s[0])
    return steps, (cells[n], over)


def _turn(cell: Cell, over: Contact, door: _Door) -> tuple[float, float]:
    """The later the nearer the way out; of equals, the one that is left more widely."""
    west, _, east, _ = door.bounds
    x0, _, x1, _ = cell.bounds
    return -round(max(west - x1, x0 - east, 0.0), 3), over.length


def _beside(
    cells: list[Cell], door: _Door, passes_m: float
) -> list[list[tuple[int, Contact]]]:
    """Where each lane can be left, onto which lane or through the door."""
    found: list[list[tuple[int, Contact]]] = [[] for _ in cells]
    for n, cell in enumerate(cells):
        if at := _at_door(cell, door):
            found[n].append((_DOOR, at))
        west, _, east, _ = cell.bounds
        for m in range(n):
            other_west, _, other_east, _ = cells[m].bounds
            if other_west > east + _NEAR_M or west > other_east + _NEAR_M:
                continue
            for both in _wide(contacts(cell, cells[m])):
                for one, other in ((n, m), (m, n)):
                    if both.length >= passes_m or _is_reached(cells[one], both):
                        found[one].append((other, both))
    return found


def _wide(touching: Sequence[Contact]) -> Sequence[Contact]:
    """Pieces on one line, parted by a column, as the one place that they are to a crew."""
    across = [c for c in touching if c.across == "x" and c.length >= PASSES_M]
    if len(across) < 2 or any(c.at != across[0].at for c in across):
        return touching
    low, high = min(c.low for c in across), max(c.high for c in across)
    others = [c for c in touching if c not in across]
    return [Contact("x", across[0].at, low, high), *others]


def _at_door(cell: Cell, door: _Door) -> Contact | None:
    """Where a lane meets the door, told as a place along the lane."""
    (x0, y0, x1, y1), (u0, v0, u1, v1) = cell.bounds, door.bounds
    if u0 > x1 + _NEAR_M or u1 < x0 - _NEAR_M or v0 > y1 + _NEAR_M or v1 < y0 - _NEAR_M:
        return None
    if u1 - u0 < _NEAR_M:
        runs = _along(cell, "x", (u0 + u1) / 2, v0, v1)
    elif v1 - v0 < _NEAR_M:
        runs = _along(cell, "y", (v0 + v1) / 2, u0, u1)
    else:
        shared = shapely.intersection(door.line, cell.shape.buffer(_NEAR_M))
        if shared.is_empty or shared.length < door.least_m:
            return None
        x0, y0, x1, y1 = shared.bounds
        return Contact("x", (x0 + x1) / 2, y0, y1)
    if sum(high - low for low, high in runs) < door.least_m:
        return None
    low, high = min(low for low, _ in runs), max(high for _, high in runs)
    if u1 - u0 < _NEAR_M:
        return Contact("x", (u0 + u1) / 2, low, high)
    return Contact("x", (low + high) / 2, (v0 + v1) / 2, (v0 + v1) / 2)


def _along(
    cell: Cell, across: Literal["x", "y"], at: float, low: float, high: float
) -> list[tuple[float, float]]:
    """What of a straight opening the edges of a lane lie along. [m]"""
    return [
        (max(under, low), min(over, high))
        for place, under, over in cell.edges[across]
        if abs(place - at) <= _NEAR_M and min(over, high) > max(under, low)
    ]


def _is_left(cell: Cell, over: Contact) -> bool:
    """Whether one who backs along the lane ends where it is left, all within reach."""
    if over.across == "y":
        return True
    x0, y0, x1, y1 = cell.bounds
    reach = math.sqrt(max(REACH_M**2 - (x1 - x0) ** 2, 0.0)) - BODY_M
    return min(over.low - y0, y1 - over.high) <= max(reach, BODY_M)


def _is_reached(cell: Cell, over: Contact) -> bool:
    """Whether all of a small piece is laid from where it is left, however narrow."""
    middle = (over.low + over.high) / 2
    here = (over.at, middle) if over.across == "x" else (middle, over.at)
    if cell.sides is not None:
        x0, y0, x1, y1 = cell.sides
        far_x = max(here[0] - x0, x1 - here[0])
        return math.hypot(far_x, max(here[1] - y0, y1 - here[1])) <= REACH_M
    away = shapely.get_coordinates(cell.shape) - np.array(here)
    return bool(np.hypot(*away.T).max() <= REACH_M)
