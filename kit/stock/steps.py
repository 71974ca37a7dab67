"""What a crew does, step by step, and how: words of the trade that go with each coat."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from kit.record import Record
from kit.stock.records import Key, Words

When = Literal["prepare", "primer", "seal", "between", "flood", "wear", "after"]
"""The coat that a step belongs to, or what lies before, between or after coats."""


class Step(Record):
    """One thing to do or to see to."""

    key: Key
    when: When
    says: str = Field(min_length=1, max_length=300)
    source: Words
