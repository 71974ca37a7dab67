"""Words as they are sought: the same in every script, in both kinds of book."""

from __future__ import annotations

import re
import unicodedata

_RUN = re.compile(r"[^\W_]+")
_LONGEST = 60


def folded(text: str) -> str:
    """Text without accents and without large letters, in runs of letters and digits.

    >>> folded("Éva ŁUK, 12-b Straße_9")
    'eva łuk 12 b strasse 9'
    """
    bare = "".join(
        letter
        for letter in unicodedata.normalize("NFKD", text.casefold())
        if not unicodedata.combining(letter)
    )
    return " ".join(run[:_LONGEST] for run in _RUN.findall(bare))


def as_caseless(text: str) -> str:
    """Text as it is compared letter for letter, but for large and small ones.

    A NUL, which a server cannot hold, becomes a letter that stands for none.
    """
    return text.casefold().replace("\0", "\N{REPLACEMENT CHARACTER}")
