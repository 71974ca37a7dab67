"""What is noted of a job beside its states: each a record, none ever changed.

::

    Fact ─┬ Sending ── ProposalSent        what is about to go to the client, and what went
          ├ ProposalSent ─ Answer          what came back
          ├ ChangeOrder ── Answer          a difference in the price, agreed or not
          ├ Payment                        money noted, not moved
          ├ Plan, Log, Leftover            when and by whom, what happened, what is left
          ├ Attached                       a photo or a file, by what is in it
          ├ Closed                         what it took: hours, material, film, climate
          └ Withdrawn                      takes an earlier one back, which stays readable
"""

from __future__ import annotations

import datetime
from decimal import Decimal
from typing import Annotated, ClassVar, Literal

from pydantic import Field

from kit.record import Record
from kit.site.text import Line, Note
from kit.stock.records import Key

Amount = Annotated[
    Decimal,
    Field(gt=-(10**10), lt=10**10, max_digits=12, decimal_places=2, allow_inf_nan=False),
]
Sha256 = Annotated[str, Field(pattern=r"^[0-9a-f]{64}$")]
Day = Annotated[datetime.date, Field(strict=True)]
Celsius = Annotated[float, Field(ge=-40, le=60)]
Fraction = Annotated[float, Field(ge=0, le=1)]


class Fact(Record):
    """Something noted of a job; a kind of its own has a word of its own."""

    KIND: ClassVar[str]

    @property
    def amount(self) -> Decimal | None:
        """The money it is about, by which lists sum; none for most."""
        return None


class Sending(Fact):
    """A proposal about to go: it may have gone until it is noted as sent or taken back."""

    KIND = "sending"

    sha256: Sha256 = Field(description="Of the paper, before any seal.")
    number: int = Field(ge=1, strict=True, description="Of its revision, as printed.")
    to: Line = Field(description="Address that it goes to.")


class ProposalSent(Fact):
    """A proposal that went out, known by its bytes."""

    KIND = "proposal"

    sha256: Sha256 = Field(description="Of the file that was sent.")
    size_bytes: int = Field(gt=0, strict=True)
    total: Annotated[Amount, Field(gt=0)] = Field(description="What was asked.")
    cost: Amount | None = Field(
        default=None, description="What it was expected to cost; the owner's figure."
    )
    option: Line = Field(default="", description="The finish it proposes, by its key.")
    open_until: Day | None = None
    to: Line = Field(
        default="", description="Address, or the client's name where it was handed over."
    )
    number: int = Field(
        default=1, ge=1, strict=True, description="Of its revision, as printed."
    )
    unsealed: Sha256 | None = Field(
        default=None, description="Of the paper before it was sealed, if it was."
    )

    @property
    def amount(self) -> Decimal:
        """What was asked."""
        return self.total


class Answer(Fact):
    """What the client said to a proposal, or to a change order."""

    KIND = "answer"

    accepted: bool = Field(strict=True)
    option: Line = Field(default="", description="Which option was taken, by its key.")
    to: int | None = Field(
        default=None, ge=1, strict=True, description="Number of the fact it answers."
    )
    says: Note = ""


class ChangeOrder(Fact):
    """A change after signing, at a difference in the price; agreed by an `Answer`."""

    KIND = "change"

    says: Annotated[Note, Field(min_length=1)] = Field(description="What changes.")
    difference: Amount = Field(description="Added to the price, or taken off it.")
    cost: Amount | None = Field(
        default=None, description="What it is expected to cost; the owner's figure."
    )
    days: int = Field(default=0, ge=-60, le=60, strict=True)
    revision: int | None = Field(
        default=None, ge=1, strict=True, description="State of the job that it leads to."
    )
    sha256: Sha256 | None = Field(default=None, description="Of its paper, if it has one.")
    size_bytes: int | None = Field(default=None, gt=0, strict=True)

    @property
    def amount(self) -> Decimal:
        """The difference in the price."""
        return self.difference


class Payment(Fact):
    """A payment that came in, or went back where it is below nothing."""

    KIND = "payment"

    paid: Amount = Field(description="Received; below nothing if given back.")
    day: Day
    how: Line = Field(default="", description="Check, card, transfer, in words.")
    due: Line = Field(default="", description="Which instalment it is for.")

    @property
    def amount(self) -> Decimal:
        """What was received."""
        return self.paid


class Plan(Fact):
    """When it is to be done, and by whom; the newest one counts."""

    KIND = "plan"

    start: Day
    days: int = Field(ge=1, le=120, strict=True)
    crew: Line = ""
    says: Note = ""


class Log(Fact):
    """What happened on site on a day, with the climate if it was read."""

    KIND = "log"

    day: Day
    says: Note = ""
    air_c: Celsius | None = Field(default=None, description="Air. [°C]")
    slab_c: Celsius | None = Field(default=None, description="Slab. [°C]")
    humidity_share: Fraction | None = Field(
        default=None, description="Relative humidity of the air, 0.55 for 55 %."
    )


class Leftover(Fact):
    """Material that came back from a job."""

    KIND = "leftover"

    product: Key
    left_l: float = Field(gt=0, le=2000, description="Still usable. [l]")
    batch: Line = ""
    where: Line = ""


class Attached(Fact):
    """A photo or another file, kept under the SHA-256 of what is in it."""

    KIND = "file"

    name: Annotated[Line, Field(min_length=1)]
    sha256: Sha256
    size_bytes: int = Field(ge=0, strict=True)
    shows: Literal["photo", "file"] = "file"
    says: Note = ""


class TaskDone(Record):
    """A task as it was done: how much of it, and in how many person-hours."""

    task: Key
    crew: Line = Field(default="", description="Who did it; blank for the usual crew.")
    units: float = Field(
        gt=0, le=1e6, description="Units of the task's driver, each pass counted."
    )
    labor_h: float = Field(gt=0, le=10_000, description="Person-hours. [h]")


class CoatUsed(Record):
    """A coat as it was laid: where, from how much, and how thick it was found."""

    coat: Key
    area_m2: float = Field(gt=0, le=1e6, description="Covered, each pass counted. [m²]")
    used_l: float = Field(gt=0, le=1e5, description="Mixed and gone. [l]")
    film_um: float | None = Field(
        default=None, gt=0, le=20_000, description="Wet film of one pass as read. [µm]"
    )

    @property
    def spread_m2_l(self) -> float:
        """Area that a liter covered. [m²/l]"""
        return self.area_m2 / self.used_l

    @property
    def waste_share(self) -> float | None:
        """What went elsewhere over what is in the film, if the film was read."""
        if self.film_um is None:
            return None
        return self.used_l / (self.area_m2 * self.film_um * 1e-3) - 1.0


class Closed(Fact):
    """What a job took, told when it is closed; the newest one counts."""

    KIND = "closed"

    day: Day
    tasks: tuple[TaskDone, ...] = Field(default=(), alias="task", max_length=200)
    coats: tuple[CoatUsed, ...] = Field(default=(), alias="coat", max_length=40)
    days: int | None = Field(default=None, ge=1, le=365, strict=True)
    cost: Annotated[Amount, Field(ge=0)] | None = Field(
        default=None, description="All that it cost; the owner's figure."
    )
    defects: int = Field(default=0, ge=0, le=10_000, strict=True)
    air_c: Celsius | None = Field(default=None, description="Air, on the pour. [°C]")
    slab_c: Celsius | None = Field(default=None, description="Slab, on the pour. [°C]")
    humidity_share: Fraction | None = None
    says: Note = ""

    @property
    def amount(self) -> Decimal | None:
        """What it cost."""
        return self.cost


class Withdrawn(Fact):
    """An earlier fact was noted wrongly and no longer counts."""

    KIND = "withdrawn"

    number: int = Field(ge=1, strict=True, description="Of the fact that is taken back.")
    says: Note = ""


FACTS: dict[str, type[Fact]] = {
    kind.KIND: kind
    for kind in (
        Sending,
        ProposalSent,
        Answer,
        ChangeOrder,
        Payment,
        Plan,
        Log,
        Leftover,
        Attached,
        Closed,
        Withdrawn,
    )
}
"""Every kind of fact by the word that it is stored under; a word is never reused."""
