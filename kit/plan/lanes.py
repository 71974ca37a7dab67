"""What a pour order is made of: lanes in turn, and where they meet."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Protocol

from shapely import LineString
from shapely.geometry.base import BaseGeometry

from kit.plan.frame import Place
from kit.plan.heading import Heading
from kit.plan.pace import Pace


class Zone(Protocol):
    """A part of the floor that is poured in one go."""

    @property
    def rooms(self) -> tuple[str, ...]:
        """Rooms in it; a room that is cut stands in several zones."""

    @property
    def area_m2(self) -> float:
        """[m²]"""


@dataclass(frozen=True)
class Lane:
    """A strip of floor that is laid in one go, from its dry side.

    Parameters
    ----------
    number : int
        From 1, in the order of laying.
    room : str
    day : int
        From 1: the pour it belongs to.
    shape : shapely geometry
        What is laid, the floor in a doorway with the last lane of its room. [m]
    length_m, width_m : float
        Along the lane and across. [m]
    from_m : tuple of (float, float)
        Where laying begins; two places where two crews begin. [m]
    to_m : (float, float)
        Where it ends, and where two crews meet. [m]
    onto : int or None
        The lane that its crew steps back onto; None where through a doorway or out.
    way_out : tuple of str
        The dry way out at its time: lanes, doorways, in words.
    walk_m : float
        Length of that way, from middle to middle. [m]
    from_min, to_min : float
        From the first bucket of its day. [min]
    in_shoes : bool
        Its crew stands in it or leaves over wet film, in spiked shoes.
    """

    number: int
    room: str
    day: int
    shape: BaseGeometry
    length_m: float
    width_m: float
    from_m: tuple[Place, ...]
    to_m: Place
    onto: int | None
    way_out: tuple[str, ...]
    walk_m: float
    from_min: float
    to_min: float
    in_shoes: bool = False

    @property
    def area_m2(self) -> float:
        """[m²]"""
        return float(self.shape.area)


@dataclass(frozen=True)
class Edge:
    """Where two lanes meet.

    Parameters
    ----------
    first, second : int
        Numbers of the lanes, the one laid first first.
    line : LineString
        [m]
    age_min : float
        How old the first one's edge is when it is met; infinite over a night. [min]
    is_taped : bool
        It cannot be met wet: it ends in a straight taped line.
    in_doorway : bool
    """

    first: int
    second: int
    line: LineString
    age_min: float
    is_taped: bool
    in_doorway: bool


@dataclass(frozen=True)
class PourOrder:
    """How a floor is laid.

    Parameters
    ----------
    headings : tuple of Heading
        Which way each room is poured, in turn.
    lanes : tuple of Lane
        In turn.
    edges : tuple of Edge
    pace : Pace
    lane_m2 : mapping of str to float
        Largest lane that was asked for in each room. [m²]
    """

    headings: tuple[Heading, ...]
    lanes: tuple[Lane, ...]
    edges: tuple[Edge, ...]
    pace: Pace
    lane_m2: Mapping[str, float]

    @property
    def days(self) -> int:
        """Pours, one a day."""
        return self.lanes[-1].day

    def of_day(self, day: int) -> tuple[Lane, ...]:
        """Lanes of one pour."""
        return tuple(lane for lane in self.lanes if lane.day == day)

    @property
    def taped(self) -> tuple[Edge, ...]:
        """Edges that end at a taped line."""
        return tuple(edge for edge in self.edges if edge.is_taped)

    def oldest_edge_min(self, number: int) -> float:
        """Age of the oldest edge that a lane meets wet; 0 where it meets none. [min]"""
        return max(
            (e.age_min for e in self.edges if e.second == number and not e.is_taped),
            default=0.0,
        )
