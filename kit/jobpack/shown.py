"""What the crew reads: quantities, places and times. No field here can hold a price."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from kit.press.page import Page, Point
from kit.press.showing import Line, Prose, Sentence, Shown


@dataclass(frozen=True, slots=True)
class Hatched(Shown):
    """A filled area of a map; ``hatch`` is a color's place, from 0."""

    rings: tuple[tuple[Point, ...], ...]
    hatch: int


@dataclass(frozen=True, slots=True)
class Drawn(Shown):
    """A line of a map: ``lane``, ``ribbon``, ``tape``, ``wall``, ``arrow``, ``gap``."""

    points: tuple[Point, ...]
    kind: Line


@dataclass(frozen=True, slots=True)
class Marked(Shown):
    """Words on a map: ``lane``, ``letter``, ``room``, ``out``, ``station``, ``meet``."""

    at: Point
    words: Line
    kind: Line


@dataclass(frozen=True, slots=True)
class Map(Shown):
    """A map to scale, in points from its upper left corner."""

    title: Line
    note: Sentence
    width_pt: float
    height_pt: float
    scale: Line
    bar_ft: int
    bar_pt: float
    turned: bool
    fills: tuple[Hatched, ...]
    walls: tuple[Hatched, ...]
    lines: tuple[Drawn, ...]
    words: tuple[Marked, ...]
    alt: Prose


@dataclass(frozen=True, slots=True)
class Fact(Shown):
    """A name and what it is."""

    name: Line
    says: Prose


@dataclass(frozen=True, slots=True)
class Row(Shown):
    """Cells of one row of a table."""

    cells: tuple[Prose, ...]


@dataclass(frozen=True, slots=True)
class Table(Shown):
    """A table with its head."""

    title: Line
    head: tuple[Line, ...]
    rows: tuple[Row, ...]
    note: Prose = ""


@dataclass(frozen=True, slots=True)
class Card(Shown):
    """What is mixed into one bucket, large enough to read at arm's length."""

    name: Line
    coat: Line
    colour: Line
    lanes: Line
    mixer: Line
    part_a: Line
    part_a_weight: Line
    part_b: Line
    part_b_weight: Line
    pigment: Line
    grain: Line
    whole: Line
    mix_at: Line
    pour_at: Line
    empty_by: Line
    pot_life: Line
    late: Sentence


@dataclass(frozen=True, slots=True)
class CardSheet(Shown):
    """The cards of one coat."""

    title: Line
    note: Prose
    cards: tuple[Card, ...]


@dataclass(frozen=True, slots=True)
class DayShown(Shown):
    """One day on site: what is done when, and how."""

    title: Line
    rows: tuple[Row, ...]
    wait: Prose


@dataclass(frozen=True, slots=True)
class Steps(Shown):
    """How one coat is done, in sentences."""

    title: Line
    says: tuple[Sentence, ...]


@dataclass(frozen=True, slots=True)
class CrewView(Shown):
    """The whole job pack as its reader sees it."""

    page: Page
    title: Sentence
    number: Line
    dated: datetime.date
    date: Line
    firm: Line
    client: Line
    place: Sentence
    verdict: Line
    verdict_says: Sentence
    facts: tuple[Fact, ...]
    unchecked: tuple[Sentence, ...]
    colours: tuple[Fact, ...]
    overview: Map
    maps: tuple[Map, ...]
    lanes: tuple[Table, ...]
    sheets: tuple[CardSheet, ...]
    orders: tuple[Table, ...]
    days: tuple[DayShown, ...]
    back: tuple[Fact, ...]
    steps: tuple[Steps, ...]
    gate: Table
    cautions: tuple[Fact, ...]
    board: tuple[Table, ...]
    board_says: Prose
    climate_rows: int
    film: Table
    lots: Table
    photos: tuple[Sentence, ...]
