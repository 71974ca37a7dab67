"""What a client may take on top of the floor: one record an extra, and which go together.

An extra says what it adds: coats, a cove base, work, small things, or an allowance
that is settled by the foot. Whatever it adds is priced like the rest of the floor.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Annotated, Literal

from pydantic import Field

from kit.errors import ShelfError
from kit.record import Record
from kit.stock.house import Charge, CoatKind, Sundry, Task
from kit.stock.records import Finish, Key, Price, Words

AllowedUnit = Literal["ft", "sq ft", "piece"]
"""What an allowance is counted and settled by, as the contract says it."""


class ExtraCoat(Record):
    """A coat over the whole floor, on top of those that every floor has."""

    kind: CoatKind = Field(description="Whose days and buckets it shares.")
    before: Literal["seal", "flood", "wear"] = Field(description="Coat that goes over it.")
    name: Words
    product: Key = Field(description="Product it is made of.")
    film_um: float = Field(gt=0, le=5000, description="Wet film of one pass. [µm]")
    passes: int = Field(default=1, ge=1, le=4)
    upright_share: float = Field(
        default=1,
        gt=0,
        le=1,
        description="Film on risers, where it sags, over the flat.",
    )
    colors: Literal["none", "seal", "flood"] = Field(
        default="none", description="Coat whose colors it carries."
    )


class RunUp(Record):
    """A coat of the floor that is drawn up a base, thinner where it would sag."""

    coat: CoatKind
    film_share: float = Field(gt=0, le=1, description="Its film there, over the floor's.")


class CoveBase(Record):
    """The floor turned up the wall: a mortar base on a fillet, coated like the floor."""

    girth_m: float = Field(gt=0, le=0.5, description="Height along its face. [m]")
    radius_m: float = Field(ge=0, le=0.1, description="Of the fillet at its foot. [m]")
    build_um: float = Field(
        default=0, ge=0, le=20_000, description="Mortar on the wall above the fillet. [µm]"
    )
    product: Key = Field(description="Mortar it is made of.")
    runs_up: tuple[RunUp, ...] = Field(default=(), max_length=8)


class Allowance(Record):
    """Work nobody can measure yet: a quantity in the price, settled as it is found."""

    quantity: Annotated[Decimal, Field(gt=0, le=100_000)]
    unit: AllowedUnit
    price: Price = Field(description="Asked for one unit, before any tax on the price.")
    cost: Price = Field(description="What one unit costs the firm, overhead and all.")


class Extra(Record):
    """Something to take or leave; one table here is all an extra needs."""

    key: Key
    name: Words = Field(description="What the client reads.")
    says: Words = Field(description="What it does, in a few plain words.")
    scope: Words = Field(description="What is said to be in the price when it is taken.")
    left_out: str = Field(
        default="", max_length=240, description="What is not in the price without it."
    )
    coats: tuple[ExtraCoat, ...] = Field(default=(), max_length=8)
    base: CoveBase | None = None
    tasks: tuple[Task, ...] = Field(default=(), max_length=20)
    sundries: tuple[Sundry, ...] = Field(default=(), max_length=20)
    charges: tuple[Charge, ...] = Field(default=(), max_length=20)
    allowance: Allowance | None = None
    not_with: tuple[Key, ...] = Field(default=(), description="Extras it rules out.")
    needs: tuple[Key, ...] = Field(default=(), description="Extras it cannot do without.")
    given_by: tuple[Key, ...] = Field(
        default=(), description="Finishes that have it already; in them it adds nothing."
    )
    called_for_by: tuple[Key, ...] = Field(
        default=(), description="Cautions that are a reason to take it."
    )
    advice: str = Field(
        default="", max_length=240, description="When it is needed, while it is not taken."
    )
    at_table: bool = Field(
        default=True,
        description="Whether the table offers it; what a choice there makes itself, such "
        "as another color, it does not offer twice.",
    )
    source: Words

    @property
    def adds(self) -> bool:
        """Whether taking it makes any difference."""
        return bool(
            self.coats
            or self.base
            or self.tasks
            or self.sundries
            or self.charges
            or self.allowance
        )


def taken_of(
    keys: Sequence[str], extras: Sequence[Extra], *, about: str = "extras"
) -> tuple[Extra, ...]:
    """Extras of these keys, in the order of the shelf.

    Parameters
    ----------
    keys : sequence of str
    extras : sequence of Extra
        All that there are.
    about : str
        Field to name in the complaint.

    Raises
    ------
    ShelfError
        If a key is not on the shelf or stands twice, or two do not go together.
    """
    for key in keys:
        if key not in {extra.key for extra in extras}:
            choices = ", ".join(extra.key for extra in extras) or "none; none are offered"
            raise ShelfError(about, found=key, expected=f"one of {choices}")
        if keys.count(key) > 1:
            raise ShelfError(about, found=f"{key} twice", expected="it once")
    taken = tuple(extra for extra in extras if extra.key in keys)
    for extra in taken:
        for other in taken:
            if other.key in extra.not_with:
                raise ShelfError(
                    about,
                    found=f"{extra.name} and {other.name}",
                    expected="only one of the two",
                )
        for key in extra.needs:
            if key not in keys:
                needed = next(one.name for one in extras if one.key == key)
                raise ShelfError(
                    about, found=f"{extra.name} by itself", expected=f"{needed} with it"
                )
    return taken


def why_not(
    extra: Extra, taken: Sequence[Extra], extras: Sequence[Extra], finish: Finish
) -> str:
    """Say why an extra cannot be switched as things stand, or nothing if it can.

    Parameters
    ----------
    extra : Extra
        To be taken or, if it is among `taken`, left out.
    taken : sequence of Extra
    extras : sequence of Extra
        All that there are.
    finish : Finish
        The chosen one.
    """
    if finish.key in extra.given_by:
        return f"{finish.name} has it already."
    if extra in taken:
        held = [other.name for other in taken if extra.key in other.needs]
        return f"{held[0]} needs it." if held else ""
    for other in taken:
        if other.key in extra.not_with or extra.key in other.not_with:
            return f"Not together with {other.name}."
    missing = set(extra.needs) - {other.key for other in taken}
    for other in extras:
        if other.key in missing:
            return f"Only with {other.name}."
    return ""
