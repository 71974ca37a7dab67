"""What stands on any of our papers: its page, pictures, and drawings to scale."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from kit.press.showing import Line, Prose, Sentence, Shown, Words

SIDE_PT = 54.0
GUTTER_PT = 12.0
TOP_PT, FOOT_PT = 70.0, 58.0
"""Above and below what is printed."""

ShapeTone = Literal["wall", "floor", "column"]
StrokeTone = Literal["dimension", "tick", "extension", "opening", "arrow"]
LabelTone = Literal["dimension", "room", "small", "key", "area", "out", "column", "opening"]

Point = tuple[float, float]
"""A place on a drawing, right of and below its upper left corner. [pt]"""


@dataclass(frozen=True, slots=True)
class Page(Shown):
    """A size of paper. [pt]"""

    name: Line
    width_pt: float
    height_pt: float

    @property
    def wide_pt(self) -> float:
        """Width between the side margins."""
        return self.width_pt - 2 * SIDE_PT

    @property
    def tall_pt(self) -> float:
        """Height between the head and the foot of a page."""
        return self.height_pt - TOP_PT - FOOT_PT

    @property
    def edge_pt(self) -> float:
        """Where the edge stands: amid the gutter after the second of six columns."""
        column = (self.wide_pt - 5 * GUTTER_PT) / 6
        return SIDE_PT + 2 * column + 1.5 * GUTTER_PT


LETTER = Page("us-letter", 612.0, 792.0)
A4 = Page("a4", 595.28, 841.89)
PAGES = {"letter": LETTER, "a4": A4}
"""By what a job calls them."""


@dataclass(frozen=True, slots=True)
class Picture(Shown):
    """A picture and the sentence that stands for it where it cannot be seen.

    Parameters
    ----------
    image : bytes
        JPEG or PNG.
    alt : str
    focus : float
        Where its strongest reflection lies, as a share of its width.
    crop : tuple of float
        Part that is printed: left, top, right, bottom, as shares in [0, 1].
    widest_px : int
        Most pixels across that its printed width can use.
    """

    image: bytes
    alt: Sentence
    focus: float = 0.36
    crop: tuple[float, float, float, float] = (0.0, 0.0, 1.0, 1.0)
    widest_px: int = 1400


@dataclass(frozen=True, slots=True)
class Logo(Shown):
    """A firm's mark, fit for print; ``aspect`` is its width over its height."""

    image: bytes
    kind: Literal["png", "svg"]
    alt: Sentence
    aspect: float


@dataclass(frozen=True, slots=True)
class Face(Shown):
    """A firm's own typeface: its family's name, and its file."""

    family: Line
    font: bytes


@dataclass(frozen=True, slots=True)
class Facsimile(Shown):
    """What is printed on a page of somebody else's, as PNG and as its words. [pt]"""

    image: bytes
    words: Words
    wide_pt: float
    tall_pt: float


@dataclass(frozen=True, slots=True)
class Shape(Shown):
    """A filled area of a drawing; inner rings are holes."""

    rings: tuple[tuple[Point, ...], ...]
    tone: ShapeTone


@dataclass(frozen=True, slots=True)
class Stroke(Shown):
    """A line of a drawing."""

    points: tuple[Point, ...]
    tone: StrokeTone


@dataclass(frozen=True, slots=True)
class Label(Shown):
    """Words on a drawing, centred on a place, turned by so many degrees."""

    at: Point
    words: Line
    tone: LabelTone
    turn: float = 0.0


@dataclass(frozen=True, slots=True)
class Drawing(Shown):
    """A drawing to scale, in points from its upper left corner."""

    width_pt: float
    height_pt: float
    shapes: tuple[Shape, ...]
    strokes: tuple[Stroke, ...]
    labels: tuple[Label, ...]
    alt: Prose
