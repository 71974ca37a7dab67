"""How ripe an estimate is, as estimators class it, and the range that goes with it."""

from __future__ import annotations

from dataclasses import dataclass

Range = tuple[tuple[int, int], tuple[int, int]]
"""Percent below and percent above: each from the narrow to the wide end."""

BUILDINGS: dict[int, Range] = {
    5: ((-20, -30), (30, 50)),
    4: ((-10, -20), (20, 30)),
    3: ((-5, -15), (10, 20)),
    2: ((-5, -10), (5, 15)),
    1: ((-3, -5), (3, 10)),
}
"""Ranges of [AACE56R08]_, building trades, about 80 % of outcomes; from memory."""

PLANTS: dict[int, Range] = {
    5: ((-20, -50), (30, 100)),
    4: ((-15, -30), (20, 50)),
    3: ((-10, -20), (10, 30)),
    2: ((-5, -15), (5, 20)),
    1: ((-3, -10), (3, 15)),
}
"""Ranges of [AACE18R97]_, process plants: outer ends read at second hand, inner ones from
memory. Carried beside the others, never averaged with them."""


@dataclass(frozen=True)
class EstimateClass:
    """The class of an estimate and what it says of its range.

    Parameters
    ----------
    number : int
        From 5, a guess, to 1, all known.
    why : str
    buildings, plants : tuple
        Percent below and above, each from the narrow to the wide end.
    """

    number: int
    why: str
    buildings: Range
    plants: Range

    @property
    def says(self) -> str:
        """Class and range in a sentence, with how they are known."""
        (low, lower), (high, higher) = self.buildings
        return (
            f"Class {self.number} ({self.why}): {-low} to {-lower} % below and "
            f"{high} to {higher} % above, for four of five such estimates "
            "(AACE 56R-08, from memory)."
        )


def class_of(*, slab_is_read: bool) -> EstimateClass:
    """Class of a bid on rooms that were measured.

    Parameters
    ----------
    slab_is_read : bool
        Whether moisture readings were taken.

    Notes
    -----
    Class 1 is never claimed: what grinding lays bare is not known when one bids. Which
    knowledge makes which class is our reading, for neither practice speaks of floors.
    """
    number, why = (
        (2, "rooms measured, slab read")
        if slab_is_read
        else (3, "rooms measured, slab not read")
    )
    return EstimateClass(number, why, BUILDINGS[number], PLANTS[number])
