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
from heapq import heappop, heappush
from typing import Literal, NamedTuple

import numpy as np
import shapely

from kit.plan.cells import Cell, Contact, contacts, split
from kit.plan.frame import Door
from kit.plan.pace import BODY_M, PASSES_M, REACH_M

MOST_SPLITS = 24
_DOOR = -1
_NEAR_M = 0.02


class Step(NamedTuple):
    """One lane in its turn.

    Parameters
    ----------
    cell : Cell
    onto : int
        Place, in the same order, of the lane its crew steps back onto; -1 for the
        way out of the room.
    over : Contact
        Where they do, in the room's frame.
    met : tuple of (int, Contact)
        Places of the lanes laid before it that it touches, in turn, and where.
    """

    cell: Cell
    onto: int
    over: Contact
    met: tuple[tuple[int, Contact], ...] = ()


def in_turn(
    cells: list[Cell], door: Door, *, passes_m: float = PASSES_M
) -> list[Step] | None:
    """Order the lanes of a room safely, first to last; None where they cannot be.

    Parameters
    ----------
    cells : list of Cell
        Lanes, in the frame in which the pour moves along x.
    door : Door
        By which the room is left, in the same frame.
    passes_m : float
        Narrowest dry strip that is walked on. [m]
    """
    for _ in range(MOST_SPLITS):
        if not cells:
            return None
        found = _Backwards(cells, door)
        found.find(passes_m)
        if len(found.ways) == len(cells):
            return _steps(found)
        amid = [way for way in found.amid if way.lane not in found.ways]
        if not amid:
            return None
        # the widest way on
        cut = min(amid, key=lambda way: way[1:-1])
        parts = split(cells[cut.lane], cut.over.low, cut.over.high)
        if len(parts) < 2:
            return None
        cells = [*cells[: cut.lane], *parts, *cells[cut.lane + 1 :]]
    return None


def in_shoes(cells: list[Cell], door: Door) -> tuple[list[Step], list[dict[int, Contact]]]:
    """Order lanes by how far they are alone: in spiked shoes none must be left dry.

    Returns
    -------
    steps : list of Step
        First to last; each onto a lane that is laid later, where one is beside it.
    beside : list of dict of int to Contact
        Lanes beside each, by their places in that order; -1 for the way out of the room.
    """
    ranked = sorted(cells, key=lambda one: (-_far(one, door), one.bounds[1]))
    beside: list[dict[int, Contact]] = [{} for _ in ranked]
    met: list[list[tuple[int, Contact]]] = [[] for _ in ranked]
    for n, cell in enumerate(ranked):
        if at := _at_door(cell, door):
            beside[n][_DOOR] = at
        for m in range(n):
            touching = contacts(ranked[m], cell)
            met[n] += [(m, over) for over in touching]
            if touching and touching[0].length >= PASSES_M:
                beside[n][m] = beside[m][n] = touching[0]
    steps = []
    for n, cell in enumerate(ranked):
        later = [m for m in beside[n] if m == _DOOR or m > n]
        onto = _DOOR if _DOOR in later else max(later or beside[n], default=_DOOR)
        over = beside[n].get(onto) or Contact("x", cell.bounds[2], *cell.bounds[1::2])
        steps.append(Step(cell, onto, over, tuple(met[n])))
    return steps, beside


class _Way(NamedTuple):
    """How a lane can be left. The least one is the last that is laid.

    Parameters
    ----------
    far_m, narrow_m : float
        How far the lane is from the way out, and how little of it is left open: what is
        nearer the way out is laid later, and of equals what is left more widely. [m]
    lane, onto : int
        The lane, and which other it is left onto; -1 for the way out of the room.
    piece : int
        Which of the pieces that they share, from 0.
    over : Contact
        That piece.
    """

    far_m: float
    narrow_m: float
    lane: int
    onto: int
    piece: int
    over: Contact


class _Backwards:
    """The search from the way out backwards, in which lanes go by their numbers.

    Attributes
    ----------
    ways : dict of int to _Way
        How each lane that was found is left, the last laid first.
    met : dict of int to list of (int, Contact)
        Lanes not found when each was, which are laid before it, and where they touch it.
    amid : list of _Way
        Ways that leave a lane too far from either of its ends.
    """

    def __init__(self, cells: list[Cell], door: Door) -> None:
        self.cells, self.door = cells, door
        self.ways: dict[int, _Way] = {}
        self.met: dict[int, list[tuple[int, Contact]]] = {}
        self.amid: list[_Way] = []
        self._free: list[_Way] = []

    def find(self, passes_m: float) -> None:
        """Find lane after lane that can be left; what touches one is asked only then."""
        cells, ways = self.cells, self.ways
        for n, cell in enumerate(cells):
            if at := _at_door(cell, self.door):
                self._offer(n, _DOOR, [at])
        while self._free:
            way = heappop(self._free)
            if way.lane in ways:
                continue
            ways[way.lane] = way
            met = self.met[way.lane] = []
            for n, cell in enumerate(cells):
                if n not in ways and (touching := contacts(cell, cells[way.lane])):
                    met += [(n, over) for over in touching]
                    self._offer(n, way.lane, _passable(cell, touching, passes_m))

    def _offer(self, lane: int, onto: int, pieces: Sequence[Contact]) -> None:
        cell = self.cells[lane]
        far_m = _far(cell, self.door)
        for piece, over in enumerate(pieces):
            # rounding must not tell apart what is equally wide
            way = _Way(far_m, -round(over.length, 3), lane, onto, piece, over)
            if _is_left(cell, over):
                heappush(self._free, way)
            else:
                self.amid.append(way)


def _steps(found: _Backwards) -> list[Step]:
    """First to last."""
    turn = {n: place for place, n in enumerate(reversed(found.ways))}
    turn[_DOOR] = _DOOR
    return [
        Step(
            found.cells[n],
            turn[way.onto],
            way.over,
            tuple(sorted((turn[m], over) for m, over in found.met[n])),
        )
        for n, way in reversed(found.ways.items())
    ]


def _far(cell: Cell, door: Door) -> float:
    """How far a lane is from the way out, along the pour. [m]"""
    west, _, east, _ = door.bounds
    x0, _, x1, _ = cell.bounds
    return round(max(west - x1, x0 - east, 0.0), 3)


def _passable(
    cell: Cell, touching: Sequence[Contact], passes_m: float
) -> Sequence[Contact]:
    """Where one steps off a lane onto another, or lays all of it from there."""
    return [
        over
        for over in _wide(touching)
        if over.length >= passes_m or _is_reached(cell, over)
    ]


def _wide(touching: Sequence[Contact]) -> Sequence[Contact]:
    """Pieces on one line, parted by a column, as the one place that they are to a crew."""
    if len(touching) < 2:
        return touching
    across = [c for c in touching if c.across == "x" and c.length >= PASSES_M]
    if len(across) < 2 or any(c.at != across[0].at for c in across):
        return touching
    low, high = min(c.low for c in across), max(c.high for c in across)
    others = [c for c in touching if c not in across]
    return [Contact("x", across[0].at, low, high), *others]


def _at_door(cell: Cell, door: Door) -> Contact | None:
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
    if cell.is_box:
        x0, y0, x1, y1 = cell.bounds
        far_x = max(here[0] - x0, x1 - here[0])
        return math.hypot(far_x, max(here[1] - y0, y1 - here[1])) <= REACH_M
    away = shapely.get_coordinates(cell.shape) - np.array(here)
    return bool(np.hypot(*away.T).max() <= REACH_M)
