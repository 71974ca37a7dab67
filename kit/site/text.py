"""Words people type: what may stand in a name, an address, a note."""

from __future__ import annotations

import re
import unicodedata
from typing import Annotated

from pydantic import AfterValidator, Field

_MARKUP = re.compile(r"[<>{}\\`$*]|#[A-Za-z]|&#?\w+;|\]\(|\|")


def fault_in(text: str, *, lines: bool = False) -> str | None:
    """Name the first character that must not stand in any text, or None.

    Controls, lone surrogates, unassigned, private and invisible characters are
    refused: on paper they hide or rearrange what is signed. The joiners that
    some scripts need to be spelt are let through.
    """
    for character in text:
        if (lines and character in "\n\t") or character in _JOINERS:
            continue
        kind = unicodedata.category(character)
        if kind in {"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"}:
            return f"U+{ord(character):04X} {unicodedata.name(character, 'control')}"
    return None


_JOINERS = {"\u200c", "\u200d"}


def _one_line(text: str) -> str:
    if fault := fault_in(text):
        msg = f"one line without {fault}"
        raise ValueError(msg)
    return unicodedata.normalize("NFC", text).strip()


def _plain_name(text: str) -> str:
    text = _one_line(text)
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

Line = Annotated[str, Field(max_length=200), AfterValidator(_one_line)]
"""One line of free text, may be empty."""

Note = Annotated[str, Field(max_length=2000), AfterValidator(_clean)]
"""A few sentences, may be empty."""
