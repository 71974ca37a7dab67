"""Sentences that follow from the job: the flow, what is in the price, when to walk."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from kit.knobs import knobs_of
from kit.pour.recipe import Flow
from kit.proposal.catalogue import Words
from kit.proposal.figures import asked, percent
from kit.proposal.measures import Measures
from kit.proposal.surveyed import surveyed_words
from kit.units import M_PER_FT

if TYPE_CHECKING:
    from kit.bid import ExtraOption, Offer
    from kit.coats import Coat, System
    from kit.job import Job
    from kit.stock import Shelf
    from kit.takeoff import Takeoff
    from kit.work import Work

TELLING = 0.25
"""How far from its start a knob must stand, as a share of its range, to be worth a word."""
MOST_WORDS = 4

BARE_CONCRETE = (30, 40)
"""Parts of 100 of the light that plain concrete reflects; common practice, no source."""


def flow_words(flow: Flow, measures: Measures) -> str:
    """Say in plain words how a floor is poured and worked."""
    say = measures.words
    count = len(flow.motions)
    traits = _traits(flow, say)
    return say(
        "floor.flow_says",
        width=measures.width(flow.ribbon_m),
        passes=say("floor.one_pass")
        if count == 1
        else say("floor.passes", count=say.count(count)),
        look=say("floor.look", traits=say.listed(traits)) if traits else "",
    )


def _traits(flow: Flow, say: Words) -> list[str]:
    """Words for the knobs that stand farthest from where they start."""
    told = []
    for knob in knobs_of(Flow):
        if knob.unit:
            continue
        away = (getattr(flow, knob.name) - knob.start) / (knob.high - knob.low)
        if abs(away) >= TELLING:
            end = say(f"trait.{knob.name}_{'high' if away > 0 else 'low'}")
            told.append((abs(away), say("floor.trait", trait=end)))
    return [words for _, words in sorted(told, reverse=True)[:MOST_WORDS]]


def reflects_words(value: float, say: Words) -> str:
    """Say how light the whole floor is, beside bare concrete."""
    low, high = BARE_CONCRETE
    number, most = (percent(round(part) / 100, say.locale) for part in (value, high))
    return say("floor.light", number=number, low=str(low), high=most)


def kept_name(job: Job) -> str:
    """Name of the design that the floor is poured as, if the paper shows it; else ""."""
    from kit.job import design_of

    named = job.paper.designs
    told = [one for one in job.designs if named is None or one.name in named]
    kept = design_of(told, job.recipe, job.finish)
    return kept.name if kept else ""


def design_words(job: Job, shelf: Shelf, say: Words) -> str:
    r"""Name what is signed for as the paper shows it: the kept design, else the pattern.

    >>> from kit.job import blank_job
    >>> from kit.proposal.catalogue import words_in
    >>> from kit.stock import read_shelf
    >>> design_words(blank_job(), read_shelf(), words_in("en")).replace("\xa0", " ")
    'pattern 3 in Deep well, Fjord blue and Kettle copper'
    """
    from kit.job import pour_number

    pigments = [shelf.pigment(color.pigment) for color in job.recipe.palette.colours]
    colors = say.listed([say.told(pigment.name) for pigment in pigments])
    if name := kept_name(job):
        return say("acceptance.design_kept", name=name, colors=colors)
    return say("acceptance.design", number=str(pour_number(job.recipe)), colors=colors)


def scope_words(
    takeoff: Takeoff, system: System, work: Work, offer: Offer, measures: Measures
) -> tuple[str, ...]:
    """List what is in the price: the work, the coats and the extras that were priced."""
    say = measures.words
    doing = {task.key for task in work.tasks}
    said = []
    if {"grind_field", "grind_edges"} & doing:
        said.append(say("scope.grind"))
    if takeoff.cracks_m > 0 and "fill_cracks" in doing:
        said.append(say("scope.cracks", length=measures.length(takeoff.cracks_m)))
    said += surveyed_words(takeoff, doing, measures)
    said += coat_lines(system, offer, say)
    for extra in offer.extras:
        if extra.counts:
            scope, much = say.told(extra.scope), amount_words(extra, offer, measures)
            said.append(say("scope.extra", extra=scope, amount=much) if much else scope)
    if "walk_through" in doing:
        said.append(say("scope.walk_through"))
    return tuple(words for words in said if words)


def coat_lines(system: System, offer: Offer, say: Words) -> list[str]:
    """List the coats of the floor itself, those of its extras not among them."""
    finish = say.told(next(option.name for option in offer.options if option.chosen))
    return [_coat_words(coat, finish, say) for coat in system.coats if not coat.extra]


def _coat_words(coat: Coat, finish: str, say: Words) -> str:
    match coat.kind:
        case "seal":
            return say("scope.seal")
        case "flood":
            return say("scope.flood", count=say.count(len(coat.pigments)))
        case "wear" if coat.passes > 1:
            passes = say.count(coat.passes)
            return say("scope.wear_passes", finish=finish, count=passes)
        case "wear":
            return say("scope.wear", finish=finish)
        case _:
            return ""


def amount_words(extra: ExtraOption, offer: Offer, measures: Measures) -> str:
    """How much of an extra, and at what price it is settled; may be empty.

    What is settled by the foot is told in feet, as it will be counted.
    """
    say = measures.words
    amount = say.told(extra.amount) if extra.amount else ""
    feet = re.fullmatch(r"([\d,]+\.\d) ft", extra.amount)
    if feet and measures.is_metric and extra.unit_price is None:
        amount = measures.length(float(feet[1].replace(",", "")) * M_PER_FT)
    each = each_words(extra, offer, say)
    return say("price.amount_each", amount=amount, each=each) if each else amount


def each_words(extra: ExtraOption, offer: Offer, say: Words) -> str:
    """Price of one unit of an allowance; empty for any other extra."""
    if extra.unit_price is None:
        return ""
    units = {"ft": "a_ft", "sq ft": "a_sqft", "piece": "a_piece"}
    return say(
        "price.each_before_tax" if extra.before_tax else "price.each",
        price=asked(extra.unit_price, offer.currency, say.locale),
        unit=say(f"price.{units[extra.unit]}"),
    )


def changed_words(keys: tuple[str, ...], say: Words) -> str:
    """Say what changed since the paper before; empty for nothing."""
    if not keys:
        return ""
    return say("changed.line", changes=say.listed([say(f"changed.{key}") for key in keys]))


def left_out_words(offer: Offer, work: Work, say: Words) -> tuple[str, ...]:
    """List what is not in the price, less what was taken after all."""
    had = {extra.left_out for extra in offer.extras if extra.counts}
    lacks = dict.fromkeys(extra.left_out for extra in offer.extras if extra.left_out)
    takes_up = any(task.key == "take_up_flooring" for task in work.tasks)
    return (
        say("scope.furniture_only" if takes_up else "scope.furniture"),
        say("scope.hollow"),
        *(say.told(words) for words in lacks if words not in had),
        say("scope.on_site"),
    )
