"""What a client may read: the only thing that the proposal's templates ever see.

Every figure is text, already formatted. There is no field here in which a cost,
a margin, a rate, a crew hour or a risk could be put, no field that takes any
value, and a name that is not below is refused, so that nothing of the owner's
side can reach the paper by a slip.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from kit.press.page import Drawing, Face, Facsimile, Logo, Page, Picture
from kit.press.showing import Line, Passage, Prose, Sentence, Shown
from kit.proposal.signed import Signed


@dataclass(frozen=True, slots=True)
class Firm(Shown):
    """Who offers. An empty licence prints as a line to fill in at its signature."""

    name: Line
    person: Line = ""
    address: Sentence = ""
    phone: Line = ""
    email: Line = ""
    licence: Line = ""
    logo: Logo | None = None


@dataclass(frozen=True, slots=True)
class Client(Shown):
    """Whom the paper is for."""

    name: Line
    person: Line = ""
    address: Sentence = ""
    email: Line = ""


@dataclass(frozen=True, slots=True)
class Sheen(Shown):
    """The floor in one finish, as the client would see it standing in the room."""

    name: Line
    says: Sentence
    picture: Picture
    chosen: bool = False


@dataclass(frozen=True, slots=True)
class Swatch(Shown):
    """One colour of the metallic coat.

    ``part`` is its share as a number, for the width of the chip; ``share`` and
    ``reflects`` are what is printed; ``srgb``, in 0..255, is the chip's mean.
    """

    name: Line
    share: Line
    reflects: Line
    srgb: tuple[int, int, int]
    part: float
    chip: Picture


@dataclass(frozen=True, slots=True)
class KeptDesign(Shown):
    """A pour of the same rooms that was kept, in the finish shown, at its price."""

    name: Line
    finish: Line
    colors: Sentence
    picture: Picture
    total: Line
    per_area: Line
    difference: Line
    chosen: bool = False
    chosen_in: Line = ""


@dataclass(frozen=True, slots=True)
class Pour(Shown):
    """The floor from above: its picture, and the walls that are drawn over it."""

    picture: Picture
    walls: Drawing


@dataclass(frozen=True, slots=True)
class RoomRow(Shown):
    """One line of the table of areas; ``key`` is its number on the plan, if it has one."""

    name: Line
    area: Line
    walls: Line
    key: Line = ""


@dataclass(frozen=True, slots=True)
class PlanSheet(Shown):
    """The plan to scale and what was measured."""

    drawing: Drawing
    scale: Line
    bar: Line
    bar_pt: float
    rooms: tuple[RoomRow, ...]
    poured: RoomRow
    basis: Sentence
    area_unit: Line
    length_unit: Line


@dataclass(frozen=True, slots=True)
class OptionRow(Shown):
    """The same floor in one finish."""

    name: Line
    says: Sentence
    per_area: Line
    total: Line
    asked: Line
    difference: Line
    chosen: bool = False


@dataclass(frozen=True, slots=True)
class ExtraRow(Shown):
    """Something on top of the floor: how much of it, and what it adds or would add.

    ``adds`` is empty where it cannot be had as things stand; ``amount`` then says why.
    """

    name: Line
    says: Sentence
    amount: Line
    per_area: Line
    adds: Line
    taken: bool = False


@dataclass(frozen=True, slots=True)
class AllowanceRow(Shown):
    """Work that is counted and settled as it is found: how much is in, at which price."""

    name: Line
    says: Sentence
    amount: Line
    each: Line
    adds: Line
    taken: bool = False


@dataclass(frozen=True, slots=True)
class Price(Shown):
    """What is asked, and until when; ``total_bare`` is for columns headed ``symbol``.

    ``area`` is in ``unit``, and prices for it are told with ``per``.
    """

    total: Line
    total_bare: Line
    per_area: Line
    symbol: Line
    area: Line
    unit: Line
    per: Line
    basis: Sentence
    tax_note: Sentence
    discount_note: Sentence
    open_until: Line
    open_until_short: Line
    options: tuple[OptionRow, ...]
    extras: tuple[ExtraRow, ...] = ()
    allowances: tuple[AllowanceRow, ...] = ()


@dataclass(frozen=True, slots=True)
class PaymentRow(Shown):
    """One part of the payment plan."""

    when: Sentence
    share: Line
    amount: Line


@dataclass(frozen=True, slots=True)
class DayBar(Shown):
    """Work on site, from the start of one day to the end of another, counted from 0."""

    words: Line
    first: int
    last: int
    pour: bool = False


@dataclass(frozen=True, slots=True)
class Return(Shown):
    """When the floor may be used again: days after the strip begins, and for what."""

    words: Line
    at: float


@dataclass(frozen=True, slots=True)
class Days(Shown):
    """The days on site as a strip."""

    names: tuple[Line, ...]
    resting: tuple[bool, ...]
    bars: tuple[DayBar, ...]
    returns: tuple[Return, ...]
    note: Sentence = ""


@dataclass(frozen=True, slots=True)
class Caution(Shown):
    """A thing the client should know, under one short label."""

    about: Line
    says: Prose


@dataclass(frozen=True, slots=True)
class CancelRow(Shown):
    """Until when one rule lets the client cancel."""

    rule: Sentence
    days: Line
    saturdays: Line
    last_day: Line


@dataclass(frozen=True, slots=True)
class Cancel(Shown):
    """The right to cancel a sale made away from the firm's place of business.

    Parameters
    ----------
    says : str
    rows : tuple of CancelRow
    at_signature : str
        What stands beside the line to sign.
    lacks : tuple of str
        Why the paper may not be signed at home yet; nothing if it may.
    caption : str
        Of the firm's own notice, if that has one.
    notice : tuple of tuple of str
        The firm's own notice, filled in: its paragraphs, each of its lines.
    pages : tuple of Facsimile
        The firm's own notice, where it is a PDF.
    by_hand : str
        What is to be written on it before it is signed; nothing if it is filled in.
    """

    says: Prose
    rows: tuple[CancelRow, ...]
    at_signature: Sentence
    lacks: tuple[Sentence, ...]
    caption: Line = ""
    notice: tuple[tuple[Passage, ...], ...] = ()
    pages: tuple[Facsimile, ...] = ()
    by_hand: Sentence = ""


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
    design : str
        What is signed for besides the finish, named as the paper shows it.
    kept_as : str
        Name of the kept design that the floor is poured as, in whatever finish; may be
        empty.
    sheens : tuple of Sheen
        The finishes shown side by side.
    accent : str
        Color of the firm, ``#1f4e79``; one of the floor's, if there is none.
    face : Face or None
        Typeface of the firm; ours, if there is none, and for what it lacks.
    larger_plans : tuple of PlanSheet
        The plan at larger scales, the largest first, for where the page has room.
    has_fields : bool
        Over each line to sign, an empty field to sign in on a computer.
    """

    page: Page
    language: Line
    title: Sentence
    number: Line
    dated: datetime.date | None
    date: Line
    place: Prose
    firm: Firm
    client: Client
    price: Price | None
    cover: tuple[Sheen, ...]
    pour: Pour | None
    swatches: tuple[Swatch, ...]
    reflects: Prose
    flow_name: Sentence
    flow: Prose
    design: Sentence
    sheens: tuple[Sheen, ...]
    plan: PlanSheet | None
    scope_in: tuple[Sentence, ...]
    scope_out: tuple[Sentence, ...]
    payments: tuple[PaymentRow, ...]
    days: Days | None
    cautions: tuple[Caution, ...]
    terms: tuple[Caution, ...]
    designs: tuple[KeptDesign, ...] = ()
    kept_as: Line = ""
    signed: Signed | None = None
    cancel: Cancel | None = None
    revision: Line = ""
    changed: Sentence = ""
    accent: Line = ""
    face: Face | None = None
    larger_plans: tuple[PlanSheet, ...] = ()
    has_fields: bool = False

    @property
    def missing(self) -> tuple[str, ...]:
        """What a proposal cannot go out without, and this one lacks."""
        needed = {
            "client, name": self.client.name,
            "date": self.date if self.dated else "",
            "firm, name": self.firm.name,
            "number": self.number,
            "price": self.price.total if self.price else "",
            "price per area": self.price.per_area if self.price else "",
            "day the price is open until": self.price.open_until if self.price else "",
        }
        return tuple(name for name, value in needed.items() if not value.strip())
