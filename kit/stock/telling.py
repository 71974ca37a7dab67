"""Which cautions a floor calls for."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Protocol

from kit.stock.cautions import Caution, Trigger
from kit.stock.records import Finish, Product
from kit.stock.shelf import Shelf

GLOSSY_FROM_GU = 60.0
"""Gloss at 60° from which EN 13300 calls a coat glossy; from memory."""


class Surveyed(Protocol):
    """What a slab survey says, so that the shelf need not know a site."""

    @property
    def below_grade(self) -> bool: ...
    @property
    def painted(self) -> bool: ...
    @property
    def old_flooring(self) -> bool: ...


class Place(Protocol):
    """What a site says of its age and its slab."""

    @property
    def year_built(self) -> int | None: ...
    @property
    def slab(self) -> Surveyed: ...


@dataclass(frozen=True)
class Facts:
    """What decides: the place, the finish, and the product the finish is made of."""

    place: Place
    finish: Finish
    product: Product

    @property
    def is_glossy(self) -> bool:
        """Whether the client will see windows in it."""
        return self.finish.gloss_gu >= GLOSSY_FROM_GU

    def built_by(self, year: int) -> bool:
        """Whether it may be that old; an unknown year counts as old."""
        return self.place.year_built is None or self.place.year_built <= year


TRIGGERS: dict[Trigger, Callable[[Facts], bool]] = {
    "always": lambda _: True,
    "household": lambda _: True,  # who buys is known to the job, not to the floor
    "gloss": lambda facts: facts.is_glossy,
    "smooth": lambda facts: facts.finish.texture_um == 0 and not facts.is_glossy,
    "urethane_on_top": lambda facts: facts.product.kind == "urethane",
    "epoxy_on_top": lambda facts: facts.product.kind == "clear_epoxy",
    "below_grade": lambda facts: facts.place.slab.below_grade,
    "painted": lambda facts: facts.place.slab.painted,
    "before_1978": lambda facts: facts.built_by(1977),
    "flooring_to_1980": lambda facts: facts.place.slab.old_flooring or facts.built_by(1980),
}


def cautions_for(place: Place, finish: Finish, shelf: Shelf) -> tuple[Caution, ...]:
    """Pick the cautions that are due, in their order on the shelf."""
    facts = Facts(place, finish, shelf.product(finish.product))
    return tuple(c for c in shelf.cautions if TRIGGERS[c.trigger](facts))


def terms_for(place: Place, finish: Finish, shelf: Shelf) -> tuple[Caution, ...]:
    """Pick the terms that hold, in their order on the shelf."""
    facts = Facts(place, finish, shelf.product(finish.product))
    return tuple(term for term in shelf.terms if TRIGGERS[term.trigger](facts))
