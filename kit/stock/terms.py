"""Terms of the price: what is taken off it, and what law lets be asked at signing."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Literal

from pydantic import Field, PositiveInt, model_validator

from kit.errors import SheetError, ShelfError
from kit.record import Record
from kit.stock.house import Share
from kit.stock.records import Key, Price, Words


class Discount(Record):
    """What is taken off the price before tax: a share of it, or an amount, not both.

    Allowances are left out, for they are settled at their own unit price.
    """

    share: Share = Field(default=Decimal(0), description="Of the price; 0.05 is 5 percent.")
    amount: Price = Field(default=Decimal(0), description="In the currency of the house.")
    reason: str = Field(default="", max_length=120, description="What the client reads.")

    @model_validator(mode="after")
    def _one_of_both(self) -> Discount:
        if self.share and self.amount:
            raise SheetError(
                "discount",
                found=f"share {self.share} and amount {self.amount}",
                expected="one of the two",
            )
        return self

    @property
    def is_given(self) -> bool:
        """Whether anything is taken off."""
        return bool(self.share or self.amount)


NO_DISCOUNT = Discount()


NO_REGION = "none"
"""What a house names as its region where no rule of deposits is set."""


class DepositCap(Record):
    """What the law of a place lets be asked when a home contract is signed.

    A default to be looked up again: current local law governs.
    """

    key: Key
    name: Words = Field(description="The place, in words.")
    currency: str = Field(pattern=r"^[A-Z]{3}$", description="ISO 4217 code of `most`.")
    share: tuple[PositiveInt, PositiveInt] = Field(
        description="Most at signing as a part of the contract price: [1, 3] is a third."
    )
    most: Price | None = Field(
        default=None, description="Most at signing as an amount; the lesser counts."
    )
    bars_ahead: bool = Field(
        default=False, description="Later payments may not run ahead of the work done."
    )
    source: Words
    known: Literal["read", "secondary", "memory"] = Field(
        description="Whether the text was read, told by others, or recalled."
    )
    checked: date = Field(description="Day it was last looked at.")

    @model_validator(mode="after")
    def _is_a_part(self) -> DepositCap:
        part, whole = self.share
        if part > whole:
            raise ShelfError(
                f"deposit, {self.name}, share",
                found=f"{part} of {whole}",
                expected="a part of the whole, such as [1, 10]",
            )
        return self

    @property
    def says(self) -> str:
        """The rule in a few words: ``California: 1/10 of the price at signing``."""
        part, whole = self.share
        most = f", {self.most} {self.currency} at most" if self.most is not None else ""
        return f"{self.name}: {part}/{whole} of the price at signing{most}"
