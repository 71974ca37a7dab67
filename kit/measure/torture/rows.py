"""A row of the fault table."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Fault:
    """One fault, how often it was brought about, and what became of what was kept.

    Parameters
    ----------
    name : str
    tries : int
        How often.
    kept : int
        Revisions or facts whose keeping was confirmed.
    lost : int
        Of these, those that were not in the book afterwards.
    broken : int
        Half-written revisions, doubled ones, gaps, books that did not open, faults that
        were not told in words.
    told : str
        What else was counted.
    """

    name: str
    tries: int
    kept: int
    lost: int
    broken: int
    told: str = ""

    @property
    def is_survived(self) -> bool:
        """Whether nothing was lost or broken, and it happened at all."""
        return self.tries > 0 and self.lost == 0 and self.broken == 0
