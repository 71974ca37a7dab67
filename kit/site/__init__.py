"""What is there: the client, the rooms as they were measured, the slab."""

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
from kit.site.slab import Joint, Patch, Reading, Removal, Slab
from kit.site.stairs import Edge, Stairs, Step

__all__ = [
    "UNNAMED",
    "Client",
    "Closet",
    "Column",
    "Curve",
    "Doorway",
    "Draft",
    "Edge",
    "Exit",
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
