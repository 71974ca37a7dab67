"""Measure sheets for the tests: the shortest one that stands, and ways to bend it."""

from __future__ import annotations

from typing import Any

from kit.site import tables

PLAIN = """
[job]
title = "Den"
number = "T-1"
date = 2026-03-02
[client]
name = "Wren Alder"
address = "1 Loop Road"
[site]
year_built = 2001
[[room]]
name = "Den"
walls = ["E 20'", "N 15'", "W 20'", "S 15'"]
[[room]]
name = "Closet"
start = ["20' 6\\"", "0 ft"]
walls = ["E 6'", "N 8'", "W 6'", "S 8'"]
[[doorway]]
between = ["Den", "Closet"]
at = ["20'", "4'"]
width = "3'"
[way_out]
room = "Den"
at = ["0 ft", "7'"]
width = "3'"
[floor]
finish = "matte"
seal = "soot_black"
seed = 3
[[floor.color]]
pigment = "rain_grey"
share = 0.6
[[floor.color]]
pigment = "gull_white"
share = 0.4
"""


def bent(old: str = "", new: str = "") -> dict[str, Any]:
    """The plain sheet with one piece of its text replaced; the piece must be there."""
    assert old in PLAIN
    return tables(PLAIN.replace(old, new, 1) if old else PLAIN)


def site_of(sheet: dict[str, Any]) -> dict[str, Any]:
    """The site's own tables of a sheet."""
    names = ("client", "site", "slab", "room", "doorway", "way_out")
    return {name: sheet[name] for name in names if name in sheet}
