"""Loose lines and arcs of a drawing, joined end to end into closed outlines."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from kit.plan.drawn.rings import Ring, cleaned
from kit.site.sizes import Corner
from kit.units import feet_inches

JOINS_WITHIN_M = 0.005
"""Ends this near to each other meet: five millimetres."""


@dataclass(frozen=True)
class Piece:
    """An open run of edges.

    Parameters
    ----------
    corners_m : tuple of (float, float)
        One more than there are bulges. [m]
    bulges : tuple of float
    """

    corners_m: tuple[Corner, ...]
    bulges: tuple[float, ...]

    def turned(self) -> Piece:
        """The same run walked the other way."""
        return Piece(self.corners_m[::-1], tuple(-bulge for bulge in self.bulges[::-1]))


def joined(layer: str, pieces: Sequence[Piece]) -> tuple[list[Ring], list[str]]:
    """Join pieces into rings; say of what is left why it is no outline.

    Only runs in which every end meets just one other are outlines; where three lines
    meet it is anybody's guess which way the wall goes.

    Raises
    ------
    SheetError
        If a ring has fewer than three corners.
    """
    nodes = _nodes(pieces)
    at_node: dict[int, list[int]] = defaultdict(list)
    for number in range(len(pieces)):
        for end in nodes[number]:
            at_node[end].append(number)
    rings, left = [], []
    waiting = set(range(len(pieces)))
    while waiting:
        group = _group(min(waiting), nodes, at_node)
        waiting -= group
        ends = {node for number in group for node in nodes[number]}
        if all(len(at_node[node]) == 2 for node in ends):
            rings.append(_walked(layer, min(group), pieces, nodes, at_node))
        else:
            left.append(_why(group, pieces, nodes, at_node))
    return rings, left


def _nodes(pieces: Sequence[Piece]) -> list[tuple[int, int]]:
    """Number the places where ends meet: for each piece those of its start and end."""
    cells: dict[tuple[int, int], list[tuple[Corner, int]]] = defaultdict(list)
    count = 0

    def node_at(place: Corner) -> int:
        nonlocal count
        east, north = (math.floor(c / JOINS_WITHIN_M) for c in place)
        for i in (east - 1, east, east + 1):
            for j in (north - 1, north, north + 1):
                for there, node in cells.get((i, j), ()):
                    if math.dist(there, place) <= JOINS_WITHIN_M:
                        return node
        cells[east, north].append((place, count))
        count += 1
        return count - 1

    return [(node_at(p.corners_m[0]), node_at(p.corners_m[-1])) for p in pieces]


def _group(
    first: int, nodes: Sequence[tuple[int, int]], at_node: dict[int, list[int]]
) -> set[int]:
    """All pieces that hang together with one."""
    group, waiting = {first}, [first]
    while waiting:
        for node in nodes[waiting.pop()]:
            fresh = set(at_node[node]) - group
            group |= fresh
            waiting += fresh
    return group


def _walked(
    layer: str,
    first: int,
    pieces: Sequence[Piece],
    nodes: Sequence[tuple[int, int]],
    at_node: dict[int, list[int]],
) -> Ring:
    """Walk a ring of pieces from one of them back to it."""
    corners: list[Corner] = []
    bulges: list[float] = []
    number, node = first, nodes[first][0]
    while True:
        start, end = nodes[number]
        piece = pieces[number] if start == node else pieces[number].turned()
        node = end if start == node else start
        corners += piece.corners_m[:-1]
        bulges += piece.bulges
        here = at_node[node]
        number = here[1] if here[0] == number else here[0]
        if number == first:
            return cleaned(layer, corners, bulges)


def _why(
    group: set[int],
    pieces: Sequence[Piece],
    nodes: Sequence[tuple[int, int]],
    at_node: dict[int, list[int]],
) -> str:
    """Say why a group of pieces is no outline."""
    count = f"{len(group)} line{'s' * (len(group) != 1)}"
    ends: dict[int, Corner] = {}
    for number in sorted(group):
        for node, place in zip(
            nodes[number],
            (pieces[number].corners_m[0], pieces[number].corners_m[-1]),
            strict=True,
        ):
            ends.setdefault(node, place)
    loose = [place for node, place in ends.items() if len(at_node[node]) == 1]
    if len(loose) == 2:
        gap = feet_inches(math.dist(*loose))
        return f"{count} open by {gap} at {_spoken(loose[0])}"
    if loose:
        return f"{count} with a loose end at {_spoken(loose[0])}"
    crowded = next(p for node, p in ends.items() if len(at_node[node]) > 2)
    return f"{count} of which three meet at {_spoken(crowded)}"


def _spoken(place: Corner) -> str:
    return f"{feet_inches(place[0])} east, {feet_inches(place[1])} north"
