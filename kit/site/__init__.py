"""What is there: the client, the rooms as they were measured, the slab."""

from kit.site.records import (
    UNNAMED,
    Client,
    Column,
    Doorway,
    Draft,
    Exit,
    Island,
    Reading,
    Room,
    Site,
    Slab,
)
from kit.site.sheet import read_sheet, tables

__all__ = [
    "UNNAMED",
    "Client",
    "Column",
    "Doorway",
    "Draft",
    "Exit",
    "Island",
    "Reading",
    "Room",
    "Site",
    "Slab",
    "read_sheet",
    "tables",
]
