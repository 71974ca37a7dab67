"""What is there: client, rooms, doorways, slab. Lengths stay as they were written."""

from __future__ import annotations

from itertools import pairwise
from math import dist
from typing import Annotated

from pydantic import Field, model_validator

from kit.errors import SheetError
from kit.record import Record
from kit.site.bows import Bow, Side, read_bow
from kit.site.climate import Climate
from kit.site.crew import Crew
from kit.site.places import Length, Place, place_m
from kit.site.slab import Slab
from kit.site.stairs import Edge, Stairs, Step
from kit.site.text import Line, Name
from kit.site.walls import Corner, bow_of, checked_length, corners_along, walked

MOST_ROOMS = 200


class Column(Record):
    """A fixed column standing in a room; the floor stops at its face."""

    at: Place = Field(description="Its centre, east and north.")
    round: Length | None = Field(default=None, description="Diameter of a round column.")
    square: tuple[Length, Length] | None = Field(
        default=None, description="Width east-west and depth north-south of a square one."
    )

    @model_validator(mode="after")
    def _one_shape(self) -> Column:
        if (self.round is None) == (self.square is None):
            msg = 'either round = "14 in" or square = ["12 in", "12 in"]'
            raise ValueError(msg)
        return self


class Island(Record):
    """A fixed thing the floor is poured around: a hearth, a kitchen island."""

    name: Name = "Island"
    corners: tuple[Place, ...] = Field(min_length=3, max_length=200)


class Closet(Record):
    """A small space behind a wall that is part of the room, measured by its sides.

    It lies square behind the opening, its middle behind the middle of the opening; one
    that does not is a room of its own with a doorway.
    """

    name: Name = "Closet"
    at: Place = Field(description="Middle of its opening, on the wall of the room.")
    opening: Length = Field(description="Clear width of the opening.")
    width: Length = Field(description="Inside, along the wall.")
    depth: Length = Field(description="Inside, away from the wall.")
    wall: Length = Field(default="4 1/2 in", description="Thickness of the wall.")


class Curve(Record):
    """A wall that is an arc, of a room given by its corners."""

    wall: int = Field(
        ge=1, le=400, strict=True, description="Which: wall 1 runs from corner 1 to 2."
    )
    rise: Length | None = Field(
        default=None, description="How far its middle stands off the straight line."
    )
    radius: Length | None = Field(default=None, description="Of its circle, instead.")
    side: Side = Field(description="To which it bows, as one walks from corner to corner.")

    @model_validator(mode="after")
    def _one_size(self) -> Curve:
        if (self.rise is None) == (self.radius is None):
            msg = 'either rise = "2 ft" or radius = "10 ft"'
            raise ValueError(msg)
        return self

    @property
    def words(self) -> str:
        """As it is written behind a wall: ``rise 2 ft left``."""
        how = f"rise {self.rise}" if self.rise else f"radius {self.radius}"
        return f"{how} {self.side}"


class Room(Record):
    """One room, as its walls were walked or its corners read off."""

    name: Name
    start: Place = Field(default=("0 m", "0 m"), description="Where the walk begins.")
    walls: tuple[Annotated[str, Field(max_length=60)], ...] = Field(
        default=(), max_length=400, description="Direction and length of each wall in turn."
    )
    corners: tuple[Place, ...] = Field(default=(), max_length=400)
    curves: tuple[Curve, ...] = Field(default=(), alias="curve", max_length=400)
    columns: tuple[Column, ...] = Field(default=(), alias="column", max_length=200)
    islands: tuple[Island, ...] = Field(default=(), alias="island", max_length=50)
    closets: tuple[Closet, ...] = Field(default=(), alias="closet", max_length=50)

    @model_validator(mode="after")
    def _one_outline(self) -> Room:
        about = f'room "{self.name}"'
        if bool(self.walls) == bool(self.corners):
            found = "walls and corners" if self.walls else "neither walls nor corners"
            raise SheetError(about, found=found, expected="either walls or corners")
        if (count := len(self.walls or self.corners)) < 3:
            raise SheetError(about, found=f"{count} of them", expected="at least three")
        self._check_curves(about, count)
        return self

    def _check_curves(self, about: str, count: int) -> None:
        if self.walls and self.curves:
            raise SheetError(
                f"{about}, curve",
                found="it beside walls",
                expected='the bow within the wall: "E 12 ft rise 2 ft left"',
            )
        numbers = [curve.wall for curve in self.curves]
        for number in numbers:
            if number > count or numbers.count(number) > 1:
                found = number if number > count else f"{number} twice"
                raise SheetError(
                    f"{about}, curve, wall",
                    found=found,
                    expected=f"1 to {count}, each once",
                )

    def bow_words(self, wall: int) -> str:
        """How wall `wall`, from 0, of a room given by corners is curved; may be empty."""
        return next((c.words for c in self.curves if c.wall == wall + 1), "")

    def bows(self) -> tuple[Bow | None, ...]:
        """How each wall in turn is curved, over the chord that it really has.

        Raises
        ------
        SheetError
            If a bow cannot be read or is absurd.
        """
        about = f'room "{self.name}"'
        corners = self.corners_m()
        chords = [dist(*ends) for ends in pairwise([*corners, corners[0]])]
        found: list[Bow | None] = []
        for index, chord_m in enumerate(chords):
            where = f"{about}, wall {index + 1}"
            if self.walls:
                bow = bow_of(self.walls[index], about=where)
            else:
                words = self.bow_words(index)
                bow = read_bow(words, chord_m, about=where) if words else None
            found.append(bow and Bow(chord_m, bow.rise_m))
        return tuple(found)

    def corners_m(self) -> tuple[Corner, ...]:
        """Corners of the finished wall faces. [m]"""
        about = f'room "{self.name}"'
        if self.walls:
            return walked(
                place_m(self.start, about=f"{about}, start"), self.walls, about=about
            )
        return tuple(
            place_m(corner, about=f"{about}, corner {number}")
            for number, corner in enumerate(self.corners, start=1)
        )


class Draft(Record):
    """A room that is still being measured: its walls do not close yet."""

    name: Name
    start: Place = Field(default=("0 m", "0 m"), description="Where the walk begins.")
    walls: tuple[Annotated[str, Field(max_length=60)], ...] = Field(
        default=(), max_length=400, description="Direction and length of each wall so far."
    )
    columns: tuple[Column, ...] = Field(default=(), alias="column", max_length=200)
    islands: tuple[Island, ...] = Field(default=(), alias="island", max_length=50)
    closets: tuple[Closet, ...] = Field(default=(), alias="closet", max_length=50)
    place: int = Field(
        default=MOST_ROOMS, ge=0, le=MOST_ROOMS, description="Its place among the rooms."
    )

    def corners_m(self) -> tuple[Corner, ...]:
        """Corners walked so far, the start and the end of the last wall included. [m]"""
        about = f'room "{self.name}"'
        start_m = place_m(self.start, about=f"{about}, start")
        return corners_along(start_m, self.walls, about=about)


class Doorway(Record):
    """An opening between two rooms; the floor runs through it."""

    between: tuple[Name, Name]
    at: Place = Field(description="Middle of the opening, on the wall.")
    width: Length

    @property
    def about(self) -> str:
        """How complaints name it."""
        return f'doorway between "{self.between[0]}" and "{self.between[1]}"'

    def width_m(self) -> float:
        """Clear width. [m]"""
        return checked_length(
            self.width, about=f"{self.about}, width", least_m=0.3, most_m=15.0
        )


class Exit(Record):
    """The door by which the crew leaves when the last coat is down."""

    room: Name
    at: Place
    width: Length

    def width_m(self) -> float:
        """Clear width. [m]"""
        return checked_length(self.width, about="way_out, width", least_m=0.3, most_m=15.0)


UNNAMED = "New client"
"""Who a job is for before anybody was asked."""


class Client(Record):
    """Who the floor is for."""

    name: Name
    person: Line = ""
    address: Line = ""
    email: Line = ""
    phone: Line = ""


class Building(Record):
    """What is known of the building."""

    year_built: int | None = Field(default=None, ge=1600, le=2100, strict=True)


class Site(Record):
    """Everything measured and seen at one address, finished or not."""

    client: Client
    building: Building = Field(default=Building(), alias="site")
    slab: Slab = Slab()
    climate: Climate = Climate()
    crew: Crew = Crew()
    rooms: tuple[Room, ...] = Field(default=(), alias="room", max_length=MOST_ROOMS)
    drafts: tuple[Draft, ...] = Field(default=(), alias="draft", max_length=MOST_ROOMS)
    doorways: tuple[Doorway, ...] = Field(default=(), alias="doorway", max_length=400)
    stairs: tuple[Stairs, ...] = Field(default=(), max_length=100)
    steps: tuple[Step, ...] = Field(default=(), alias="step", max_length=200)
    edges: tuple[Edge, ...] = Field(default=(), alias="edge", max_length=200)
    way_out: Exit | None = None

    @property
    def year_built(self) -> int | None:
        """Year the building was put up, if it is known."""
        return self.building.year_built

    @model_validator(mode="after")
    def _names_once(self) -> Site:
        names = [room.name for room in self.rooms] + [draft.name for draft in self.drafts]
        for name in names:
            if names.count(name) > 1:
                raise SheetError(
                    f'room "{name}"', found="the name twice", expected="a name of its own"
                )
        return self
