"""Rules by which a client may take back a signature: one record a rule.

The kit counts days; it carries no text of any law, and the law in force governs.
"""

from __future__ import annotations

from datetime import date
from typing import Literal

from pydantic import Field

from kit.record import Record
from kit.stock.records import Key, Price, Words


class CancelRule(Record):
    """How many business days a home sale may be cancelled in, and which days count."""

    key: Key
    name: Words = Field(description="Whose rule it is, in words.")
    region: str = Field(
        default="",
        max_length=40,
        description="Where it holds, such as us_ca; blank is everywhere.",
    )
    days: int = Field(ge=1, le=60, description="Business days after that of the signature.")
    days_from_65: int | None = Field(
        default=None, ge=1, le=60, description="Instead, for a buyer of 65 or older."
    )
    days_after_disaster: int | None = Field(
        default=None, ge=1, le=60, description="Instead, after a declared disaster."
    )
    saturdays: bool = Field(default=True, description="Whether a Saturday counts.")
    least_at_home: Price = Field(description="Price from which a sale at home is covered.")
    least_away: Price = Field(
        description="Price from which a sale elsewhere, away from the office, is covered."
    )
    contact: tuple[Literal["email", "phone"], ...] = Field(
        default=(), description="What of the firm the paper must show."
    )
    source: Words
    known: Literal["read", "secondary", "memory"] = Field(
        description="Whether the text was read, told by others, or recalled."
    )
    checked: date = Field(description="Day it was last looked at.")
