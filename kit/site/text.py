"""Words people type: what may stand in a name, an address, a note."""

from __future__ import annotations

import re
import unicodedata
from typing import Annotated

from pydantic import AfterValidator, Field

_MARKUP = re.compile(r"[<>{}\\`$*]|#[A-Za-z]|&#?\w+;|\]\(|\|")


def fault_in(text: str, *, lines: bool = False) -> str | None:
    """Name the first character that must not stand in any text, or None.

    Controls, lone surrogates, unassigned and private characters and the marks
    that turn the writing direction are refused: on paper they hide or
    rearrange what is signed.
    """
    for character in text:
        if lines and character in "\n\t":
            continue
        kind = unicodedata.category(character)
        turning = unicodedata.bidirectional(character) in _TURNING
        if kind in {"Cc", "Cs", "Co", "Cn"} or turning or character in _TURNING_MARKS:
            return f"U+{ord(character):04X} {unicodedata.name(character, 'control')}"
    return None


_TURNING = {"LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI"}
_TURNING_MARKS = {"\u200e", "\u200f", "\u061c"}


def _plain_name(text: str) -> str:
    text = unicodedata.normalize("NFC", text).strip()
    if not text:
        msg = "a name, not an empty text"
        raise ValueError(msg)
    if mark := _MARKUP.search(text):
        msg = f"a plain name without markup such as {mark[0]}"
        raise ValueError(msg)
    return text


def _clean(text: str) -> str:
    return unicodedata.normalize("NFC", text).strip()


Name = Annotated[str, Field(min_length=1, max_length=120), AfterValidator(_plain_name)]
"""A person's, firm's or room's name: one line, no markup."""

Line = Annotated[str, Field(max_length=200), AfterValidator(_clean)]
"""One line of free text, may be empty."""

Note = Annotated[str, Field(max_length=2000), AfterValidator(_clean)]
"""A few sentences, may be empty."""
