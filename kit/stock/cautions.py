"""What a client and a crew must be told: one record a caution.

The words are our own and defer to product sheets and current law; none quotes a
statute, and none promises what was not tested on this floor.
"""

from __future__ import annotations

from datetime import date
from typing import Literal

from pydantic import Field

from kit.record import Record
from kit.stock.records import Key, Words

Trigger = Literal[
    "always",
    "gloss",
    "smooth",
    "urethane_on_top",
    "epoxy_on_top",
    "below_grade",
    "painted",
    "before_1978",
    "flooring_to_1980",
    "household",
]
"""When a caution is due; `kit.stock.telling` knows what each word means."""


class Caution(Record):
    """Something that must be said, and when."""

    key: Key
    title: Words
    trigger: Trigger
    says: str = Field(
        min_length=1, max_length=600, description="In plain words, to the client."
    )
    crew: str = Field(
        default="", max_length=600, description="In plain words, to the crew: what to do."
    )
    source: Words
    checked: date = Field(description="Day the source was last looked at or recalled.")
