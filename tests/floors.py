"""Floors for the tests of quantities and prices, made without a measure sheet."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from functools import cache
from typing import TYPE_CHECKING

from shapely import LineString, Polygon

from kit.plan import FloorPlan, PlannedRoom, WayOut
from kit.pour.palette import Palette
from kit.stock import Shelf, read_shelf
from kit.takeoff import Takeoff, take_off

if TYPE_CHECKING:
    from kit.job import Pictures

FT = 0.3048
PALETTE = Palette(
    colours=(
        {"pigment": "deep_well", "share": 0.5},
        {"pigment": "kelp_teal", "share": 0.3},
        {"pigment": "gull_white", "share": 0.2},
    ),
    tint="soot_black",
)


def one_room(outline: Polygon, poured: Polygon | None = None) -> FloorPlan:
    """A plan of a single room."""
    room = PlannedRoom("Room", outline, outline if poured is None else poured)
    west, south, *_ = outline.bounds
    door = WayOut("Room", LineString([(west, south), (west + 0.9, south)]), 0.9)
    return FloorPlan((room,), (), door, room.poured)


@cache
def rectangle(width_m: float, depth_m: float) -> Takeoff:
    """The takeoff of a plain rectangular room."""
    corners = [(0, 0), (width_m, 0), (width_m, depth_m), (0, depth_m)]
    return take_off(one_room(Polygon(corners)))


def shelf_with(**house: object) -> Shelf:
    """The shelf, with some of the house's own figures changed."""
    shelf = read_shelf()
    return replace(shelf, house=shelf.house.changed(**house))


def dearer(shelf: Shelf, factor: str) -> Shelf:
    """The shelf with every resin, sundry and machine priced `factor` times as high."""
    by = Decimal(factor)
    return replace(
        shelf,
        products=tuple(
            product.changed(
                packs=tuple(pack.changed(price=pack.price * by) for pack in product.packs)
            )
            for product in shelf.products
        ),
        sundries=tuple(s.changed(price=s.price * by) for s in shelf.sundries),
        equipment=tuple(
            e.changed(price_per_day=e.price_per_day * by) for e in shelf.equipment
        ),
    )


def hall_pictures() -> Pictures:
    """Pictures of a hall of 80 by 50 ft, 4,000 sq ft."""
    from kit.job import Pictures
    from kit.pour.recipe import Recipe

    hall = Polygon([(0, 0), (80 * FT, 0), (80 * FT, 50 * FT), (0, 50 * FT)])
    return Pictures(Recipe(palette=PALETTE, seed=7), one_room(hall))
