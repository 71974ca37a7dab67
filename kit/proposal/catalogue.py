"""Every word of the paper in one language, from one file of `kit/proposal/words`."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any

from kit.errors import PaperError
from kit.stock import read_shelf

FIRST = "en"
"""The language that the rooms below the paper speak, and that others are checked by."""
LANGUAGE = re.compile(r"([a-z]{2,3})(?:-([A-Z]{2}))?")
_PLACE = re.compile(r"\{(\w+)\}")


@dataclass(frozen=True)
class Words:
    """The words of one language.

    Parameters
    ----------
    tag : str
        BCP 47, with its country: ``es-US``.
    said : mapping of str to str
        What the paper says, by ``section.key``.
    ours : mapping of str to str
        What the shelf that came with the kit says, in its own words and in these.
    below : tuple of (pattern, str)
        Sentences of the rooms below, and how they are said here.
    """

    tag: str
    said: Mapping[str, str]
    ours: Mapping[str, str]
    below: tuple[tuple[re.Pattern[str], str], ...]

    def __call__(self, key: str, **given: str) -> str:
        """Say something, with what is given put in its places.

        What is put in is not searched for places again.
        """
        return _PLACE.sub(lambda place: given[place[1]], self.said[key])

    @property
    def locale(self) -> str:
        """As Babel writes it: ``es_US``."""
        return self.tag.replace("-", "_")

    def told(self, text: str) -> str:
        """Say what the shelf or a room below said; what is the owner's own stays so."""
        if text in self.ours:
            return self.ours[text]
        for pattern, ours in self.below:
            if found := pattern.fullmatch(text):
                parts = {name: self.told(part) for name, part in found.groupdict().items()}
                return _PLACE.sub(lambda place, parts=parts: parts[place[1]], ours)  # type: ignore[misc]
        return text

    def listed(self, words: Sequence[str], *, apart: bool = False) -> str:
        """Say several things in a row, with semicolons if they hold commas.

        >>> words_in("en").listed(["ash", "tar", "gull"])
        'ash, tar and gull'
        """
        if len(words) < 2:
            return "".join(words)
        key, mark = ("listed_apart", "; ") if apart else ("listed", ", ")
        return self(f"language.{key}", first=mark.join(words[:-1]), last=words[-1])

    def count(self, number: int) -> str:
        """Say a small number in letters, a larger one in figures."""
        numerals = self.said["language.numerals"].split()
        return numerals[number] if number < len(numerals) else str(number)


def languages() -> tuple[str, ...]:
    """Languages that the paper speaks, the first one first."""
    names = (
        file.name.removesuffix(".toml")
        for file in resources.files("kit.proposal").joinpath("words").iterdir()
        if file.name.endswith(".toml")
    )
    return tuple(sorted(names, key=lambda name: (name != FIRST, name)))


@cache
def words_in(language: str) -> Words:
    """Words of a language, such as ``es`` or ``es-MX``.

    Raises
    ------
    PaperError
        If the paper does not speak it.
    """
    tag = LANGUAGE.fullmatch(language)
    if tag is None or tag[1] not in languages():
        known = ", ".join(languages())
        raise PaperError(
            "language", found=language, expected=f"one of {known}, or such as en-US"
        )
    table = _table(tag[1])
    said = dict(_flat(table))
    spoken = [(k, text) for k, text in _flat(_table(FIRST)) if k.startswith("told.")]
    # the most that is sure goes first: "3 sq ft" is no length of "3 sq"
    spoken.sort(key=lambda entry: -len(_PLACE.sub("", entry[1])))
    below = tuple((_pattern(text), said[key]) for key, text in spoken)
    ours = dict(_shelf_words(table.get("shelf", {})))
    return Words(language if tag[2] else said["language.tag"], said, ours, below)


def _table(language: str) -> dict[str, Any]:
    file = resources.files("kit.proposal").joinpath("words", f"{language}.toml")
    return tomllib.loads(file.read_text(encoding="utf-8"))


def _flat(table: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    for section, entries in table.items():
        if section != "shelf":
            yield from ((f"{section}.{key}", text) for key, text in entries.items())


def _shelf_words(tables: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    """Pair what the shelf says with what a language says of the same field."""
    shelf = read_shelf()
    rows: dict[str, Sequence[Any]] = {
        "finish": shelf.finishes,
        "extra": shelf.extras,
        "pigment": shelf.pigments,
        "caution": shelf.cautions,
        "term": shelf.terms,
        "cancel": shelf.cancelling,
    }
    for kind, records in rows.items():
        for record in records:
            for field, text in tables.get(kind, {}).get(record.key, {}).items():
                yield getattr(record, field), text


def _pattern(text: str) -> re.Pattern[str]:
    """A sentence with places as a pattern that finds what stands in them."""
    parts = _PLACE.split(text)
    literal = (re.escape(part) for part in parts[::2])
    places = (f"(?P<{name}>.+)" for name in parts[1::2])
    woven = [piece for pair in zip(literal, [*places, ""], strict=True) for piece in pair]
    return re.compile("".join(woven))
