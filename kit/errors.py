"""What the kit says when it cannot go on, and when it can but should not quietly.

::

    KitError                 one line: about, found, expected
    ├── SheetError           a field of a measure sheet or of a record
    ├── ShelfError           a pigment, product, finish or rate that is not on the shelf
    ├── MeasureError         a size that no floor can have
    ├── PictureError         a view, size or film that cannot be drawn
    ├── PlanError            a floor that cannot be poured as it is, and what would free it
    ├── PaperError           a proposal that must not leave the house
    ├── BookError            the job book cannot be read or written
    └── OutputError          a file or folder that cannot be written

No answer possible: raise. Answer possible but risky: return a `Concern` with it.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal


class KitError(Exception):
    """Something a person can put right, told in one line.

    Parameters
    ----------
    about : str
        The field or thing, in the words of the sheet: ``room "Hall", wall 3``.
    found : object, optional
        What stood there.
    expected : str, optional
        What belongs there, with the numbers.
    """

    def __init__(self, about: str, *, found: object = None, expected: str = "") -> None:
        self.about = about
        self.found = None if found is None else _shown(found)
        self.expected = expected
        super().__init__(self.line)

    @property
    def line(self) -> str:
        """The whole complaint on one line."""
        parts = []
        if self.found is not None:
            parts.append(f"found {self.found}")
        if self.expected:
            parts.append(f"expected {self.expected}")
        return f"{self.about}: {'; '.join(parts)}" if parts else self.about

    def __str__(self) -> str:
        return self.line


class SheetError(KitError):
    """A field of a measure sheet, or of a record made from one, is wrong."""


class ShelfError(KitError):
    """A pigment, product, finish or rate is not on the shelf, or is wrong there."""


class MeasureError(KitError):
    """A size that no floor can have."""


class PictureError(KitError):
    """A view, size or film that cannot be drawn."""


class PlanError(KitError):
    """A floor that cannot be poured as it is; what is expected would free it."""


class PaperError(KitError):
    """A proposal that must not leave the house as it is."""


class BookError(KitError):
    """The job book cannot be read or written."""


class OutputError(KitError):
    """A file or folder that cannot be written."""


@dataclass(frozen=True)
class Concern:
    """An answer that stands, with a risk that somebody should know of.

    Parameters
    ----------
    about : str
        The thing at risk: ``slab moisture``.
    says : str
        What the risk is, in a sentence.
    fix : str
        What to do about it, in a sentence.
    """

    about: str
    says: str
    fix: str


def _shown(found: object) -> str:
    """Make any value fit for one terminal line: no controls, no walls of text."""
    text = str(found) if isinstance(found, (str, Decimal)) else repr(found)
    text = "".join(c if c.isprintable() else "\N{REPLACEMENT CHARACTER}" for c in text)
    text = text if len(text) <= 90 else f"{text[:87]}..."
    return text or "an empty text"
