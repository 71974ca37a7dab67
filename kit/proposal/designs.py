"""The kept designs that a paper shows: each worked up for its price, and seen."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from kit.proposal import figures
from kit.proposal.measures import Measures
from kit.proposal.shots import Looks, design_shot
from kit.proposal.shown import KeptDesign

if TYPE_CHECKING:
    from decimal import Decimal

    from kit.bid import Offer
    from kit.job import Design, Job, Workup
    from kit.plan.floor import FloorPlan
    from kit.pour.recipe import Recipe
    from kit.proposal.catalogue import Words
    from kit.stock import Shelf

Poured = Callable[["Recipe"], Looks]
"""Whoever can show the same rooms poured by another recipe."""


@dataclass(frozen=True)
class PricedDesign:
    """A kept design in the finish it is shown in, with every answer to that.

    Its bid is the owner's, as any bid.
    """

    design: Design
    finish: str
    answers: Workup


def priced_designs(job: Job, shelf: Shelf) -> tuple[PricedDesign, ...]:
    """Work up the kept designs that the paper of a job shows, in the order they were kept.

    Raises
    ------
    ShelfError
        If a design needs what is no longer on the shelf.
    """
    from kit.job import finish_beside, workup

    named = job.paper.designs
    priced = []
    for design in job.designs:
        if named is None or design.name in named:
            finish = finish_beside(job.designs, design, job.finish)
            other = job.changed(recipe=design.recipe, finish=finish)
            priced.append(PricedDesign(design, finish, workup(other, shelf)))
    return tuple(priced)


def poured_on(plan: FloorPlan, shelf: Shelf) -> Poured:
    """The rooms of a plan poured by any recipe, drawn as they are asked for."""
    from kit.job import Pictures

    return lambda recipe: Pictures(recipe, plan, shelf)


def designs_shown(
    job: Job,
    offer: Offer,
    priced: tuple[PricedDesign, ...],
    poured: Poured,
    measures: Measures,
) -> tuple[KeptDesign, ...]:
    """Show designs in their largest room, each beside the price of the chosen floor."""
    return tuple(_shown(job, offer, one, poured, measures) for one in priced)


def _difference_words(difference: Decimal, currency: str, say: Words) -> str:
    if not difference:
        return say("designs.same_price")
    sign = figures.MINUS if difference < 0 else figures.PLUS
    return f"{sign}{figures.asked(abs(difference), currency, say.locale)}"


def _chosen_in(job: Job, one: PricedDesign, looks: Looks, say: Words) -> str:
    """Say in which finish this pour is taken, where that is another than is shown."""
    from kit.job import design_of

    kept = design_of(job.designs, job.recipe, job.finish)
    if one.finish == job.finish or kept != one.design:
        return ""
    finish = say.told(looks.shelf.finish(job.finish, about="finish").name)
    return say("designs.chosen_in", finish=finish.lower())


def _shown(
    job: Job, offer: Offer, one: PricedDesign, poured: Poured, measures: Measures
) -> KeptDesign:
    design, asked, say = one.design, one.answers.offer, measures.words
    looks = poured(design.recipe)
    about = f'design "{design.name}", finish'
    finish = say.told(looks.shelf.finish(one.finish, about=about).name)
    pigments = [looks.shelf.pigment(c.pigment) for c in design.recipe.palette.colours]
    colors = say.listed([say.told(pigment.name) for pigment in pigments])
    alt = say("designs.alt", name=design.name, colors=colors, finish=finish.lower())
    per_area = measures.price_per_area(asked.total, asked.area_sqft, asked.currency)
    return KeptDesign(
        name=design.name,
        finish=finish,
        colors=colors,
        picture=design_shot(looks, one.finish, alt=alt),
        total=figures.asked(asked.total, asked.currency, say.locale),
        per_area=figures.asked(per_area, asked.currency, say.locale),
        difference=_difference_words(asked.total - offer.total, asked.currency, say),
        chosen=(design.recipe, one.finish) == (job.recipe, job.finish),
        chosen_in=_chosen_in(job, one, looks, say),
    )
