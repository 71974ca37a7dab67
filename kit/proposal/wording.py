"""Sentences that follow from the job: the flow, what is in the price, when to walk."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kit.knobs import knobs_of
from kit.pour.recipe import Flow
from kit.proposal.shown import DayBar, Days, Return
from kit.units import M_PER_FT, M_PER_IN

if TYPE_CHECKING:
    from kit.bid import Offer
    from kit.coats import System
    from kit.takeoff import Takeoff
    from kit.work import Work

NUMERALS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
TELLING = 0.25
"""How far from its start a knob must stand, as a share of its range, to be worth a word."""
MOST_WORDS = 4

BARE_CONCRETE = (30, 40)
"""Parts of daylight of 100 that plain concrete returns; common practice, no source."""

AFTER_DAYS = (1.0, 3.0, 7.0)
"""Days from the last coat to shoes, light furniture, wheels; common practice, no source."""
LAST_COAT_AT = 0.7
"""Part of the last day that is over when the last coat is down."""
MOST_DAYS = 42

NOT_INCLUDED = (
    "Moving furniture, machines and fixtures, and taking up what lies on the slab",
    "Repairs where the slab is hollow or moves",
)
ON_SITE = ("Power, water, light and heat while we work and while the floor cures",)
CHANGES = (
    "Changes are agreed in writing, with their price and their days, before we do them."
)


def flow_words(flow: Flow) -> str:
    """Say in plain words how a floor is poured and worked."""
    inches = round(flow.ribbon_m / M_PER_IN)
    passes = _numeral(len(flow.motions))
    traits = _traits(flow)
    look = f" Against our usual hand it is {_listed(traits)}." if traits else ""
    return (
        f"Ribbons of color, about {inches} inches wide, worked by hand in {passes} "
        f"pass{'es' if len(flow.motions) != 1 else ''}.{look} Resin moves on its own until "
        "it sets, so your floor will be a sister of this picture, not its copy."
    )


def _traits(flow: Flow) -> list[str]:
    """Words for the knobs that stand farthest from where they start."""
    told = []
    for knob in knobs_of(Flow):
        if knob.unit:
            continue
        away = (getattr(flow, knob.name) - knob.start) / (knob.high - knob.low)
        if abs(away) >= TELLING:
            told.append((abs(away), f"more {knob.ends[away > 0]}"))
    return [words for _, words in sorted(told, reverse=True)[:MOST_WORDS]]


def reflects_words(value: float) -> str:
    """Say how light the whole floor is, beside bare concrete."""
    low, high = BARE_CONCRETE
    return (
        f"Seen from a step back, the floor returns about {value:.0f} of 100 parts of "
        f"daylight; bare concrete returns {low} to {high}."
    )


def scope_words(
    takeoff: Takeoff, system: System, work: Work, finish: str, offer: Offer
) -> tuple[str, ...]:
    """List what is in the price: the work, the coats and the extras that were priced."""
    doing = {task.key for task in work.tasks}
    said = []
    if {"grind_field", "grind_edges"} & doing:
        said.append("Protecting and masking, and grinding the slab with dust collection")
    if takeoff.cracks_m > 0 and "fill_cracks" in doing:
        feet = f"{takeoff.cracks_m / M_PER_FT:,.0f}\N{NO-BREAK SPACE}ft"
        said.append(f"Chasing and filling {feet} of cracks")
    for coat in (coat for coat in system.coats if not coat.extra):
        match coat.kind:
            case "seal":
                said.append("Tinted seal coat, the ground that the colors lie on")
            case "flood":
                colors = _numeral(len(coat.pigments))
                said.append(f"Metallic coat in your {colors} colors, poured to this plan")
            case "wear":
                passes = f" in {_numeral(coat.passes)} passes" if coat.passes > 1 else ""
                said.append(f"{finish} wear coat{passes}")
    for extra in offer.extras:
        if extra.counts:
            much = extra.much(offer.currency)
            said.append(f"{extra.scope}, {much}" if much else extra.scope)
    if "walk_through" in doing:
        said.append("Cleaning up, and walking the finished floor with you")
    return tuple(said)


def left_out_words(offer: Offer) -> tuple[str, ...]:
    """List what is not in the price, less what was taken after all."""
    had = {extra.left_out for extra in offer.extras if extra.counts}
    lacks = dict.fromkeys(extra.left_out for extra in offer.extras if extra.left_out)
    return (*NOT_INCLUDED, *(words for words in lacks if words not in had), *ON_SITE)


def days_of(work: Work, system: System, finish: str) -> Days | None:
    """Lay the days on site out as a strip, with the first uses after the last coat."""
    count = work.days + int(AFTER_DAYS[-1]) + 1
    if work.days < 1 or count > MOST_DAYS:
        return None
    primed = any(coat.kind == "primer" for coat in system.coats)
    ground = "Grind, prime, seal" if primed else "Grind, fill, seal"
    words = {"prepare": ground, "flood": "Pour", "wear": f"{finish} coat"}
    bars = []
    first = 0
    for stage in work.stages:
        if stage.days > 0:
            last = first + stage.days - 1
            bars.append(DayBar(words[stage.stage], first, last, stage.stage == "flood"))
            first = last + 1
    down = work.days - 1 + LAST_COAT_AT
    uses = (
        "Shoes, a day after",
        "Light furniture, three days after",
        "Wheels and rugs, a week after",
    )
    return Days(
        names=tuple(f"Day {day}" for day in range(1, count + 1)),
        resting=(False,) * count,
        bars=tuple(bars),
        returns=tuple(
            Return(use, down + after) for use, after in zip(uses, AFTER_DAYS, strict=True)
        ),
        note="Counted from the last coat, at room temperature. A colder room takes longer, "
        "and the product sheet governs. We agree the first day when you sign.",
    )


def _numeral(number: int) -> str:
    return NUMERALS[number] if number < len(NUMERALS) else str(number)


def _listed(words: list[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"
