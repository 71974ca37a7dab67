"""A made-up proposal that any test can change and press."""

from __future__ import annotations

import datetime
from dataclasses import replace
from io import BytesIO

import numpy as np
import pytest
from PIL import Image
from shapely import LineString, Point, Polygon, box

from kit.plan.floor import FloorPlan, PlannedRoom, Threshold, WayOut
from kit.press.drawing import plan_drawing, walls_only
from kit.press.page import LETTER, Picture
from kit.press.scale import largest_that_fits
from kit.proposal.shown import (
    Caution,
    Client,
    ClientView,
    DayBar,
    Days,
    Firm,
    OptionRow,
    PaymentRow,
    PlanSheet,
    Pour,
    Price,
    Return,
    RoomRow,
    Sheen,
    Swatch,
)

FT = 0.3048


@pytest.fixture(scope="session")
def two_rooms() -> FloorPlan:
    """An L of 20 by 14 ft with a column, and a closet behind a wall six inches thick."""
    corners = [(0, 0), (20, 0), (20, 9), (12, 9), (12, 14), (0, 14)]
    studio = Polygon([(x * FT, y * FT) for x, y in corners])
    column = Point(6 * FT, 6 * FT).buffer(0.18)
    closet = box(20.5 * FT, 1 * FT, 27 * FT, 8 * FT)
    here = LineString([(20 * FT, 3 * FT), (20 * FT, 6 * FT)])
    there = LineString([(20.5 * FT, 6 * FT), (20.5 * FT, 3 * FT)])
    door = Polygon([*here.coords, *there.coords])
    surface = studio.difference(column).union(door).union(closet)
    return FloorPlan(
        rooms=(
            PlannedRoom("Studio", studio, studio.difference(column)),
            PlannedRoom("Closet", closet, closet),
        ),
        thresholds=(Threshold(("Studio", "Closet"), (here, there), door, 3 * FT),),
        way_out=WayOut("Studio", LineString([(2 * FT, 0), (5 * FT, 0)]), 3 * FT),
        surface=surface,
    )


@pytest.fixture(scope="session")
def marbled_jpeg():
    """Make a synthetic picture: bands that need no renderer."""

    def make(
        width: int = 320, height: int = 240, *, lightness: float = 0.0, **save
    ) -> bytes:
        y, x = np.mgrid[0:height, 0:width] / 40.0
        band = np.sin(x + 1.5 * np.sin(y)) * 0.5 + 0.5
        rgb = np.stack([40 + 140 * band, 60 + 60 * band, 120 - 60 * band], axis=-1)
        out = BytesIO()
        pixels = np.clip(rgb + 255 * lightness, 0, 255).astype(np.uint8)
        Image.fromarray(pixels).save(out, "JPEG", **save)
        return out.getvalue()

    return make


@pytest.fixture(scope="session")
def full_view(two_rooms, marbled_jpeg) -> ClientView:
    """A whole proposal in which every part is filled."""
    matte = Picture(marbled_jpeg(), "The room with the floor in matte.")
    gloss = Picture(marbled_jpeg(lightness=0.2), "The room with the floor in gloss.")
    sheens = (
        Sheen("Matte", "Soft light.", matte, True),
        Sheen("Gloss", "Mirrors the windows.", gloss),
    )

    def swatch(name: str, *said, part: float) -> Swatch:
        chip = Picture(marbled_jpeg(240, 140, lightness=part), f"{name} alone, in matte.")
        return Swatch(name, *said, part, chip)

    scale = largest_that_fits(27 * FT, 14 * FT, frame_pt=(504, 280), around_pt=32)
    areas = {"Studio": "239.0 sq ft", "Closet": "45.5 sq ft"}
    walls = walls_only(two_rooms, 60.0)
    return ClientView(
        page=LETTER,
        language="en-US",
        title="A poured floor for Slipway Pottery",
        number="2611-07",
        dated=datetime.date(2026, 11, 25),
        date="November 25, 2026",
        place="Studio and closet at 4 Slipway Lane, Port Ansel",
        firm=Firm("Oddny Tarn Poured Floors", "Oddny Tarn", "9 Ropewalk", "(555) 010-0142"),
        client=Client("Slipway Pottery", "Ines Quarrie", "4 Slipway Lane", "ines@example"),
        price=Price(
            total="$4,846.20",
            total_bare="4,846.20",
            per_area="$16.94",
            symbol="$",
            area="286.0",
            unit="sq ft",
            per="per sq ft",
            basis="Between finished wall faces.",
            tax_note="Sales tax is included.",
            discount_note="",
            open_until="December 23, 2026",
            open_until_short="Dec 23",
            options=(
                OptionRow("Matte", "Soft", "16.94", "4,846.20", "$4,846.20", "0.00", True),
                OptionRow("Gloss", "Deep", "15.40", "4,404.40", "$4,404.40", "− 441.80"),
            ),
        ),
        cover=sheens,
        pour=Pour(Picture(marbled_jpeg(lightness=0.1), "The floor from above."), walls),
        swatches=(
            swatch("Deep well", "52 %", "3 %", (27, 36, 61), part=0.52),
            swatch("Fjord blue", "30 %", "13 %", (44, 82, 130), part=0.30),
            swatch("Kettle copper", "18 %", "23 %", (184, 115, 51), part=0.18),
        ),
        reflects="The floor reflects about 10 % of the light.",
        flow_name="Pattern 7",
        flow="Broad ribbons, worked with the trowel.",
        design="pattern 7 in Deep well, Fjord blue and Kettle copper",
        sheens=sheens,
        plan=PlanSheet(
            drawing=plan_drawing(two_rooms, scale, areas, alt="Floor plan of two rooms."),
            scale=scale.words,
            bar=str(scale.bar),
            bar_pt=scale.bar_pt,
            rooms=(RoomRow("Studio", "239.0", "68.0"), RoomRow("Closet", "45.5", "27.0")),
            poured=RoomRow("Poured", "286.0", "95.0"),
            basis="Between finished wall faces.",
            area_unit="sq ft",
            length_unit="ft",
        ),
        scope_in=("Grinding the slab", "Matte wear coat"),
        scope_out=("Moving furniture",),
        payments=(
            PaymentRow("At signing", "50", "2,423.10"),
            PaymentRow("At the walk-through", "50", "2,423.10"),
        ),
        days=Days(
            names=tuple(f"Day {n}" for n in range(1, 11)),
            resting=(False,) * 10,
            bars=(DayBar("Grind, seal", 0, 0), DayBar("Pour", 1, 1, True)),
            returns=(Return("Shoes", 2.7), Return("Wheels", 8.7)),
            note="At room temperature.",
        ),
        cautions=(Caution("Slip", "A sealed floor is slippery when wet."),),
        terms=(Caution("Changes", "Changes are agreed in writing."),),
    )


@pytest.fixture(scope="session")
def make_view(full_view):
    """The whole proposal with some of its fields changed."""

    def make(**changes: object) -> ClientView:
        return replace(full_view, **changes)

    return make


@pytest.fixture(scope="session")
def pressed(full_view) -> bytes:
    """The whole proposal as a PDF."""
    from kit.proposal import propose

    return propose(full_view)
