"""A change of a floor that was agreed, priced: what it was, what it becomes."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from kit.job.records import Job
from kit.job.working import Workup, workup
from kit.money import ZERO
from kit.stock import Shelf, read_shelf


@dataclass(frozen=True)
class Change:
    """A floor before and after a change, both worked up on one shelf.

    Parameters
    ----------
    before, after : Job
    old, new : Workup
    shelf : Shelf
    agreed : Decimal
        What the floor before was agreed at, with all changes so far.
    said : str
        What else changes, in the words of whoever asks for it; may be empty.
    extra : Decimal
        What that adds to the price, or takes off it.
    extra_cost : Decimal or None
        What that is expected to cost; the owner's figure.
    extra_days : int
        By how many days that is longer on site.
    """

    before: Job
    after: Job
    old: Workup
    new: Workup
    shelf: Shelf
    agreed: Decimal
    said: str = ""
    extra: Decimal = ZERO
    extra_cost: Decimal | None = None
    extra_days: int = 0

    @property
    def difference(self) -> Decimal:
        """What the change adds to the price, or takes off it."""
        return self.new.offer.total - self.old.offer.total + self.extra

    @property
    def total(self) -> Decimal:
        """What the whole floor comes to with it."""
        return self.agreed + self.difference

    @property
    def days(self) -> int:
        """By how many days it is longer on site."""
        return self.new.work.days - self.old.work.days + self.extra_days

    @property
    def cost(self) -> Decimal | None:
        """What the change is expected to cost, the owner's figure; None if unknown."""
        if self.extra and self.extra_cost is None:
            return None
        return self.new.bid.cost - self.old.bid.cost + (self.extra_cost or ZERO)


def priced_change(
    before: Job,
    after: Job,
    *,
    agreed: Decimal,
    said: str = "",
    extra: Decimal = ZERO,
    extra_cost: Decimal | None = None,
    extra_days: int = 0,
    shelf: Shelf | None = None,
) -> Change:
    """Price a change as the difference of two floors on the shelf of today.

    What was agreed stands as it was: a shelf that went up meanwhile raises the price of
    what is new, never of what was agreed.

    Raises
    ------
    KitError
        If one of the two cannot be priced.
    """
    shelf = shelf or read_shelf()
    old, new = workup(before, shelf), workup(after, shelf)
    return Change(
        before, after, old, new, shelf, agreed, said, extra, extra_cost, extra_days
    )
