"""What a pour is called, at the table and on paper: its kept design, or its number."""

from __future__ import annotations

from collections.abc import Iterable

from kit.job.records import Design
from kit.pour.recipe import Recipe

SHORT = 1000
"""Numbers of pours have three digits at most: more are not read aloud over a table."""


def design_of(designs: Iterable[Design], recipe: Recipe, finish: str) -> Design | None:
    """Find the kept design of a pour, which it is in any finish; None if it was not kept.

    Of several that are kept of one pour, the one in this finish is meant.
    """
    poured = [design for design in designs if design.recipe == recipe]
    return next((one for one in poured if one.finish == finish), next(iter(poured), None))


def finish_beside(designs: Iterable[Design], design: Design, finish: str) -> str:
    """In which finish a kept design is shown beside a floor that is priced in `finish`.

    It is that one, so that only the pours differ; designs of one pour differ by nothing
    but their finish and keep each their own.
    """
    alike = sum(other.recipe == design.recipe for other in designs)
    return design.finish if alike > 1 else finish


def pour_number(recipe: Recipe) -> int:
    """Short number of a pour: its seed, of a long one the last digits. [0 to 999]

    It tells the pours of one job apart; what fixes a floor is the seed.
    """
    return recipe.seed % SHORT
