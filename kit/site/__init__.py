"""What is there: the client, the rooms as they were measured, the slab."""

from kit.site.climate import AirReading, Climate, Expected
from kit.site.crew import Crew
from kit.site.readings import Reading
from kit.site.records import (
    UNNAMED,
    Client,
    Closet,
    Column,
    Curve,
    Doorway,
    Draft,
    Exit,
    Island,
    Room,
    Site,
)
from kit.site.sheet import read_sheet, tables
from kit.site.slab import Joint, Patch, Removal, Slab
from kit.site.stairs import Edge, Stairs, Step

__all__ = [
    "UNNAMED",
    "AirReading",
    "Client",
    "Climate",
    "Closet",
    "Column",
    "Crew",
    "Curve",
    "Doorway",
    "Draft",
    "Edge",
    "Exit",
    "Expected",
    "Island",
    "Joint",
    "Patch",
    "Reading",
    "Removal",
    "Room",
    "Site",
    "Slab",
    "Stairs",
    "Step",
    "read_sheet",
    "tables",
]
