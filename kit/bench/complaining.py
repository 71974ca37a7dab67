"""How a complaint is worded at the table: in sentences, and nowhere else.

The kit says ``room "Den", wall 3: found -3; expected a length``. A person who holds a tape
is told ``Wall 3 of Den is -3. Give a length.``
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from kit.errors import KitError

_IN_ROOM = re.compile(
    r'room "(?P<room>[^"]+)", (?P<part>(?:wall|walls|column) \d+)(?P<rest>.*)'
)
_OWN_FILE = re.compile(r"firm, (?:logo|font|cancel_notice) (.+)")
_PARTY = re.compile(r"(client|firm), (\w+)")
_NUMBER = re.compile(r"[-+]?[\d.][^A-Za-z]*(?:e[-+]?\d+)?(?:ft|in|m|cm|mm|mil|%)?")
_APART = re.compile(r"[,;x×]")
"""What may stand between several things that are typed into one field."""
_EMPTY = {"nothing", "an empty text"}
_NO_MORE = {"it to be given", "some words"}
"""What is expected of a field that may not be empty: no more than that it is empty says."""


@dataclass(frozen=True)
class Complaint:
    """Why a choice was not taken.

    Parameters
    ----------
    error : KitError
    """

    error: KitError

    @property
    def about(self) -> str:
        """The field, in the words of the sheet."""
        return self.error.about

    @property
    def says(self) -> str:
        """What is wrong and what would be right, where it stands alone."""
        return sentence(self.error)


def sentence(error: KitError, typed: Iterable[object] = ()) -> str:
    """Say what is wrong and what to give instead, where the field is not seen.

    Parameters
    ----------
    error : KitError
    typed : iterable
        What a person gave. A complaint that names one of these says what it is of the
        field; any other says what was found there.

    Examples
    --------
    >>> error = KitError("width", found="-3 ft", expected="a length from 1 ft to 50 ft")
    >>> sentence(error, ["-3 ft"])
    'Width is -3 ft. Give a length from 1 ft to 50 ft.'
    """
    field = spoken_field(error.about)
    if error.found is None and not error.expected:
        return _ended(field)
    if error.found in _EMPTY:
        return _joined(f"{field} is empty", _give(error))
    if error.found is not None and _is_typed(error.found, typed):
        return _joined(f"{field} is {_quoted(error.found)}", _give(error))
    return _joined(f"{field}: {error.found or 'not right'}", _needed(error))


def beside(error: KitError, typed: Iterable[object] = ()) -> str:
    """Say the same beside the field itself, which needs no naming there.

    >>> beside(KitError("wall 3", found="long", expected="a length"), ["long"])
    '“long” cannot be used. Give a length.'
    """
    if error.found is None:
        return sentence(error)
    if error.found in _EMPTY:
        return _joined("This cannot be empty", _give(error))
    if _is_typed(error.found, typed):
        return _joined(f"{_quoted(error.found)} cannot be used", _give(error))
    return _joined(_capital(error.found), _needed(error))


def spoken_field(about: str) -> str:
    """Name a field as a person would.

    >>> spoken_field('room "Den", wall 3'), spoken_field("client, name")
    ('Wall 3 of Den', "The client's name")
    >>> spoken_field("firm, cancel_notice ours.txt")
    'ours.txt'
    """
    if found := _IN_ROOM.fullmatch(about):
        about = f"{found['part']} of {found['room']}{found['rest']}"
    elif found := _OWN_FILE.fullmatch(about):
        about = found[1]
    elif found := _PARTY.fullmatch(about):
        about = f"the {found[1]}'s {found[2]}"
    about = re.sub(r'^room "([^"]+)"', r"\1", about.removeprefix("job, "))
    is_file = "." in about.partition(" ")[0]
    return about if is_file else _capital(about.replace("_", " "))


def _is_typed(found: str, typed: Iterable[object]) -> bool:
    """Whether what was found is what somebody gave, as it is shown on one line."""
    for one in typed:
        if isinstance(one, bool) or not isinstance(one, str | int | float):
            continue
        shown = str(KitError("", found=one).found)
        if found in (shown, shown.strip(), *map(str.strip, _APART.split(shown))):
            return True
    return False


def _quoted(found: str) -> str:
    return found if _NUMBER.fullmatch(found) else f"“{found}”"


def _give(error: KitError) -> str:
    return "" if error.expected in {"", *_NO_MORE} else f"Give {error.expected}"


def _needed(error: KitError) -> str:
    words = re.sub(r"\[\[(\w+)]]", r"\1", error.expected)
    return "" if words in {"", *_NO_MORE} else f"Needed: {words}"


def _joined(*parts: str) -> str:
    return " ".join(_ended(part) for part in parts if part)


def _ended(words: str) -> str:
    return words if words.endswith((".", "!", "?")) else f"{words}."


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
