"""What is there: the client, the rooms as they were measured, the slab."""

from kit.site.records import (
    Client,
    Column,
    Doorway,
    Exit,
    Island,
    Reading,
    Room,
    Site,
    Slab,
)
from kit.site.sheet import read_sheet, tables

__all__ = [
    "Client",
    "Column",
    "Doorway",
    "Exit",
    "Island",
    "Reading",
    "Room",
    "Site",
    "Slab",
    "read_sheet",
    "tables",
]
