"""What is there: client, rooms, doorways, slab. Lengths stay as they were written."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal

from pydantic import AfterValidator, Field, model_validator

from kit.errors import SheetError
from kit.record import Record
from kit.site.text import Line, Name, Note
from kit.site.walls import Corner, checked_length, corners_along, walked
from kit.units import read_length


def _readable(text: str) -> str:
    try:
        read_length(text)
    except SheetError as error:
        raise ValueError(error.expected) from None
    return text


Length = Annotated[str, Field(max_length=40), AfterValidator(_readable)]
"""A length as it was written; `kit.units.read_length` gives metres."""

MOST_ROOMS = 200

Place = tuple[Length, Length]
"""East and north of the corner that the contractor calls zero."""


def place_m(place: Place, *, about: str) -> Corner:
    """Metres east and north of a place."""
    return (
        read_length(place[0], about=f"{about}, east"),
        read_length(place[1], about=f"{about}, north"),
    )


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


class Room(Record):
    """One room, as its walls were walked or its corners read off."""

    name: Name
    start: Place = Field(default=("0 m", "0 m"), description="Where the walk begins.")
    walls: tuple[Annotated[str, Field(max_length=60)], ...] = Field(
        default=(), max_length=400, description="Direction and length of each wall in turn."
    )
    corners: tuple[Place, ...] = Field(default=(), max_length=400)
    columns: tuple[Column, ...] = Field(default=(), alias="column", max_length=200)
    islands: tuple[Island, ...] = Field(default=(), alias="island", max_length=50)

    @model_validator(mode="after")
    def _one_outline(self) -> Room:
        about = f'room "{self.name}"'
        if bool(self.walls) == bool(self.corners):
            found = "walls and corners" if self.walls else "neither walls nor corners"
            raise SheetError(about, found=found, expected="either walls or corners")
        if (count := len(self.walls or self.corners)) < 3:
            raise SheetError(about, found=f"{count} of them", expected="at least three")
        return self

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


class Reading(Record):
    """One reading of the slab, with its place and day; without these it proves nothing."""

    kind: Literal["rh", "mver", "sheet"] = Field(
        description="In-slab humidity %, vapour emission lb/1000 ft² 24 h, plastic sheet."
    )
    value: float = Field(
        ge=0, le=100, description="Reading in the unit of its kind; sheet: 0 dry, 1 wet."
    )
    where: Line
    day: date


class Slab(Record):
    """What was seen and read of the slab."""

    below_grade: bool = False
    painted: bool = Field(default=False, description="Old paint or coating on it.")
    old_flooring: bool = Field(
        default=False, description="Tiles, sheet flooring or adhesive on it."
    )
    cracks: Length = Field(default="0 ft", description="Length of cracks to fill.")
    readings: tuple[Reading, ...] = Field(default=(), alias="reading", max_length=200)
    notes: Note = ""


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
    rooms: tuple[Room, ...] = Field(default=(), alias="room", max_length=MOST_ROOMS)
    drafts: tuple[Draft, ...] = Field(default=(), alias="draft", max_length=MOST_ROOMS)
    doorways: tuple[Doorway, ...] = Field(default=(), alias="doorway", max_length=400)
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
