"""What it costs and what is asked: the owner's bid, and the client's offer.

They are two types on purpose. An `Offer` has no field in which a cost, a
margin, a rate or an hour could be put; paper and client screens take only it.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from kit.errors import Concern
from kit.money import ZERO, shown

LineKind = Literal[
    "materials",
    "labor",
    "equipment",
    "disposal",
    "subcontract",
    "travel",
    "overhead",
    "contingency",
    "margin",
    "discount",
    "rounding",
    "allowance",
    "tax",
]


@dataclass(frozen=True)
class Line:
    """One line of the owner's build-up, rounded to the cent once."""

    label: str
    amount: Decimal
    kind: LineKind
    how: str


@dataclass(frozen=True)
class BuildUp:
    """A floor in one finish with its extras, from its lines to what is asked.

    Parameters
    ----------
    lines : tuple of Line
        Each rounded once; their sum is ``total``.
    cost : Decimal
        All lines but margin, discount, rounding and any tax charged on the price.
    tax : Decimal
        Charged on the price; tax on what the firm buys is a cost.
    total : Decimal
    allowed : Decimal
        Allowances at their own price, before tax: no discount or rounding is of them.
    floor_price : Decimal
        Least to ask before tax, allowances at their own price in it.
    area_sqft : Decimal
        Net coated surface, to a hundredth. [ft²]
    concerns : tuple of Concern
    """

    lines: tuple[Line, ...]
    cost: Decimal
    tax: Decimal
    total: Decimal
    allowed: Decimal
    floor_price: Decimal
    area_sqft: Decimal
    price_per_sqft: Decimal
    concerns: tuple[Concern, ...]

    @property
    def before_tax(self) -> Decimal:
        """What is asked before tax that is charged on it."""
        return self.total - self.tax

    @property
    def margin(self) -> Decimal:
        """What is left above cost and tax, discount and rounding counted."""
        return self.before_tax - self.cost

    @property
    def margin_share(self) -> Decimal:
        """What is left as a part of the price before tax; nothing of no price."""
        return self.margin / self.before_tax if self.before_tax else ZERO

    @property
    def markup_share(self) -> Decimal:
        """What is left over the cost, always more than the margin's share; see there."""
        return self.margin / self.cost if self.cost else ZERO

    def sum_of(self, kind: LineKind) -> Decimal:
        """Sum of the printed lines of a kind."""
        return sum((line.amount for line in self.lines if line.kind == kind), ZERO)


@dataclass(frozen=True)
class FinishOption:
    """The same floor in one finish: what is asked, and the difference to the chosen one."""

    finish: str
    name: str
    says: str
    total: Decimal
    price_per_sqft: Decimal
    difference: Decimal
    chosen: bool


UNIT_WORDS = {"ft": "a foot", "sq ft": "a sq ft", "piece": "a piece"}
"""How the unit of an allowance is said after its price."""


@dataclass(frozen=True)
class ExtraOption:
    """The same floor with an extra switched: what that does to what is asked.

    Parameters
    ----------
    extra, name, says : str
    amount : str
        How much of it, in the client's words: ``129.6 ft``. May be empty.
    unit_price : Decimal or None
        At which an allowance is settled, for one ``unit``.
    unit : str
    before_tax : bool
        Whether sales tax comes on top of the unit price.
    difference : Decimal or None
        Of the total, if it is switched and all else stays; None where it cannot be.
    taken : bool
    counts : bool
        It is taken, and the finish does not have it already.
    blocked : str
        Why it cannot be switched, in a sentence, or nothing.
    scope, left_out : str
        What is said to be in the price with it, and not to be in it without.
    """

    extra: str
    name: str
    says: str
    amount: str
    unit_price: Decimal | None
    unit: str
    before_tax: bool
    difference: Decimal | None
    taken: bool
    counts: bool
    blocked: str
    scope: str
    left_out: str

    @property
    def adds(self) -> Decimal | None:
        """What it adds to the total, or added if it were taken."""
        if self.difference is None:
            return None
        return -self.difference if self.taken else self.difference

    def much(self, currency: str, locale: str = "en_US") -> str:
        """How much of it, and at what price: ``40 ft at $11.50 a foot``; may be empty."""
        if self.unit_price is None:
            return self.amount
        each = f"{shown(self.unit_price, currency, locale)} {UNIT_WORDS[self.unit]}"
        return f"{self.amount} at {each}{' before tax' if self.before_tax else ''}"


@dataclass(frozen=True)
class ExtraCost:
    """The owner's view of an extra: what it adds to cost, margin, person-hours, days.

    All None where it cannot be switched.
    """

    option: ExtraOption
    cost: Decimal | None
    margin: Decimal | None
    crew_hours: float | None
    days: int | None


@dataclass(frozen=True)
class Bid(BuildUp):
    """The owner's view: every line, cost and margin, and what else could be had.

    ``total`` is the sum of the printed ``lines`` to the cent; ``price_per_sqft``
    is total over ``area_sqft``, rounded for show and never multiplied back.
    """

    area_basis: str
    currency: str
    options: tuple[FinishOption, ...]
    extras: tuple[ExtraCost, ...]


@dataclass(frozen=True)
class Offer:
    """The client's view of the price: asked figures only.

    ``discount`` is what was taken off before tax, 0 or more; ``discount_note`` says so
    in a sentence, or nothing.
    """

    total: Decimal
    price_per_sqft: Decimal
    area_sqft: Decimal
    area_basis: str
    currency: str
    tax_note: str
    discount: Decimal
    discount_note: str
    options: tuple[FinishOption, ...]
    extras: tuple[ExtraOption, ...]


@dataclass(frozen=True)
class Payment:
    """A part of the total and when it is due; fit for the client."""

    due: str
    share: Decimal
    amount: Decimal
