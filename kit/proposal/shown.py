"""What a client may read: the only thing that the proposal's templates ever see.

Every figure is text, already formatted. There is no field here in which a cost,
a margin, a rate, a crew hour or a risk could be put, no field that takes any
value, and a name that is not below is refused, so that nothing of the owner's
side can reach the paper by a slip.
"""

from __future__ import annotations

import datetime
import types
from dataclasses import dataclass, field, fields
from functools import cache
from typing import Any, Union, get_args, get_origin, get_type_hints

from kit.errors import PaperError

LINE = 120
SENTENCE = 300
PROSE = 900

SIDE_PT = 54.0
GUTTER_PT = 12.0


def text(limit: int = LINE, *, default: str | None = None) -> Any:
    """Declare a text field that holds at most `limit` characters."""
    if default is None:
        return field(metadata={"limit": limit})
    return field(default=default, metadata={"limit": limit})


class Shown:
    """A part of the client's view; holds nothing but what its fields declare."""

    __slots__ = ()

    def __post_init__(self) -> None:
        for name, declared in _declared(type(self)).items():
            if not _fits(getattr(self, name), declared):
                about = f"{type(self).__name__}, {name}"
                found = f"a {type(getattr(self, name)).__name__}"
                raise PaperError(about, found=found, expected=_spoken(declared))


@cache
def _declared(kind: type) -> dict[str, Any]:
    return get_type_hints(kind)


def _fits(value: object, declared: Any) -> bool:
    """Tell whether a value is exactly of its declared type, all the way down."""
    origin = get_origin(declared)
    if origin is tuple:
        inner = get_args(declared)
        if type(value) is not tuple:
            return False
        if len(inner) == 2 and inner[1] is ...:
            return all(_fits(item, inner[0]) for item in value)
        return len(value) == len(inner) and all(map(_fits, value, inner))
    if origin in (Union, types.UnionType):
        return any(_fits(value, choice) for choice in get_args(declared))
    return type(value) is declared


def _spoken(declared: Any) -> str:
    return "formatted text" if declared is str else str(getattr(declared, "__name__", declared))


Point = tuple[float, float]
"""A place on a drawing, right of and below its upper left corner. [pt]"""


@dataclass(frozen=True, slots=True)
class Page(Shown):
    """A size of paper. [pt]"""

    name: str = text()
    width_pt: float
    height_pt: float

    @property
    def wide_pt(self) -> float:
        """Width between the side margins."""
        return self.width_pt - 2 * SIDE_PT

    @property
    def edge_pt(self) -> float:
        """Where the edge stands: amid the gutter after the second of six columns."""
        column = (self.wide_pt - 5 * GUTTER_PT) / 6
        return SIDE_PT + 2 * column + 1.5 * GUTTER_PT


LETTER = Page("us-letter", 612.0, 792.0)
A4 = Page("a4", 595.28, 841.89)


@dataclass(frozen=True, slots=True)
class Firm(Shown):
    """Who offers. An empty licence prints as a line to fill in."""

    name: str = text()
    person: str = text(default="")
    address: str = text(SENTENCE, default="")
    phone: str = text(default="")
    email: str = text(default="")
    licence: str = text(default="")


@dataclass(frozen=True, slots=True)
class Client(Shown):
    """Whom the paper is for."""

    name: str = text()
    person: str = text(default="")
    address: str = text(SENTENCE, default="")
    email: str = text(default="")


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
    alt: str = text(SENTENCE)
    focus: float = 0.36
    crop: tuple[float, float, float, float] = (0.0, 0.0, 1.0, 1.0)
    widest_px: int = 1400


@dataclass(frozen=True, slots=True)
class Sheen(Shown):
    """The floor in one finish, as the client would see it standing in the room."""

    name: str = text()
    says: str = text(SENTENCE)
    picture: Picture
    chosen: bool = False


@dataclass(frozen=True, slots=True)
class Swatch(Shown):
    """One colour of the metallic coat.

    ``part`` is its share as a number, for the width of the swatch; ``share``
    and ``reflects`` are what is printed; ``srgb`` is in 0..255.
    """

    name: str = text()
    share: str = text()
    reflects: str = text()
    srgb: tuple[int, int, int]
    part: float


@dataclass(frozen=True, slots=True)
class Shape(Shown):
    """A filled area of a drawing; inner rings are holes."""

    rings: tuple[tuple[Point, ...], ...]
    tone: str = text()


@dataclass(frozen=True, slots=True)
class Stroke(Shown):
    """A line of a drawing."""

    points: tuple[Point, ...]
    tone: str = text()


@dataclass(frozen=True, slots=True)
class Label(Shown):
    """Words on a drawing, centred on a place, turned by so many degrees."""

    at: Point
    words: str = text()
    tone: str = text()
    turn: float = 0.0


@dataclass(frozen=True, slots=True)
class Drawing(Shown):
    """A drawing to scale, in points from its upper left corner."""

    width_pt: float
    height_pt: float
    shapes: tuple[Shape, ...]
    strokes: tuple[Stroke, ...]
    labels: tuple[Label, ...]
    alt: str = text(PROSE)


@dataclass(frozen=True, slots=True)
class Pour(Shown):
    """The floor from above: its picture, and the walls that are drawn over it."""

    picture: Picture
    walls: Drawing


@dataclass(frozen=True, slots=True)
class RoomRow(Shown):
    """One line of the table of areas."""

    name: str = text()
    area: str = text()
    walls: str = text()


@dataclass(frozen=True, slots=True)
class PlanSheet(Shown):
    """The plan to scale and what was measured."""

    drawing: Drawing
    scale: str = text()
    bar_ft: int
    bar_pt: float
    rooms: tuple[RoomRow, ...]
    poured: RoomRow
    basis: str = text(SENTENCE)


@dataclass(frozen=True, slots=True)
class OptionRow(Shown):
    """The same floor in one finish."""

    name: str = text()
    says: str = text(SENTENCE)
    per_sqft: str = text()
    total: str = text()
    asked: str = text()
    difference: str = text()
    chosen: bool = False


@dataclass(frozen=True, slots=True)
class Price(Shown):
    """What is asked, and until when; ``total_bare`` is for columns headed ``symbol``."""

    total: str = text()
    total_bare: str = text()
    per_sqft: str = text()
    symbol: str = text()
    area: str = text()
    basis: str = text(SENTENCE)
    tax_note: str = text(SENTENCE)
    open_until: str = text()
    open_until_short: str = text()
    options: tuple[OptionRow, ...]


@dataclass(frozen=True, slots=True)
class PaymentRow(Shown):
    """One part of the payment plan."""

    when: str = text(SENTENCE)
    share: str = text()
    amount: str = text()


@dataclass(frozen=True, slots=True)
class DayBar(Shown):
    """Work on site, from the start of one day to the end of another, counted from 0."""

    words: str = text()
    first: int
    last: int
    pour: bool = False


@dataclass(frozen=True, slots=True)
class Return(Shown):
    """When the floor may be used again: days after the strip begins, and for what."""

    words: str = text()
    at: float


@dataclass(frozen=True, slots=True)
class Days(Shown):
    """The days on site as a strip."""

    names: tuple[str, ...]
    resting: tuple[bool, ...]
    bars: tuple[DayBar, ...]
    returns: tuple[Return, ...]
    note: str = text(SENTENCE, default="")


@dataclass(frozen=True, slots=True)
class Caution(Shown):
    """A thing the client should know, under one short label."""

    about: str = text()
    says: str = text(PROSE)


@dataclass(frozen=True, slots=True)
class ClientView(Shown):
    """The whole proposal as its reader sees it.

    Parameters
    ----------
    dated : datetime.date or None
        Day of the proposal, for the file; ``date`` is the same day in words.
    number : str
        The firm's own number for this proposal.
    place : str
        What is poured and where, in a sentence without its full stop.
    cover : tuple of Sheen
        Two finishes of one picture, parted at the wet edge. Empty without one.
    sheens : tuple of Sheen
        The finishes shown side by side.
    """

    page: Page
    language: str = text()
    title: str = text(2 * LINE)
    number: str = text()
    dated: datetime.date | None
    date: str = text()
    place: str = text(SENTENCE)
    firm: Firm
    client: Client
    price: Price | None
    cover: tuple[Sheen, ...]
    pour: Pour | None
    swatches: tuple[Swatch, ...]
    reflects: str = text(PROSE)
    flow_name: str = text(SENTENCE)
    flow: str = text(PROSE)
    sheens: tuple[Sheen, ...]
    plan: PlanSheet | None
    scope_in: tuple[str, ...]
    scope_out: tuple[str, ...]
    payments: tuple[PaymentRow, ...]
    days: Days | None
    cautions: tuple[Caution, ...]
    terms: tuple[Caution, ...]

    @property
    def missing(self) -> tuple[str, ...]:
        """What a proposal cannot go out without, and this one lacks."""
        needed = {
            "client, name": self.client.name,
            "date": self.date if self.dated else "",
            "firm, name": self.firm.name,
            "number": self.number,
            "price": self.price.total if self.price else "",
            "price per square foot": self.price.per_sqft if self.price else "",
            "day the price is open until": self.price.open_until if self.price else "",
        }
        return tuple(name for name, value in needed.items() if not value.strip())


def texts(part: Shown, *, about: str = "") -> list[tuple[str, str]]:
    """List every text of a view with the field it stands in."""
    found: list[tuple[str, str]] = []
    for entry in fields(part):  # type: ignore[arg-type]
        value = getattr(part, entry.name)
        where = f"{about}, {entry.name}" if about else entry.name
        for words, item in _each(where, value):
            if isinstance(item, str):
                found.append((words, item))
            elif isinstance(item, Shown):
                found.extend(texts(item, about=words))
    return found


def _each(where: str, value: object) -> list[tuple[str, object]]:
    if isinstance(value, tuple):
        return [(f"{where} {place + 1}", item) for place, item in enumerate(value)]
    return [(where, value)]
