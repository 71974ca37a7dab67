"""From a worked-up job to what its client reads, and nothing beyond.

Of the price only the offer and the payments are taken; the bid, with its lines
and costs, is never looked at here.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from kit.press.logo import read_logo
from kit.press.names import check_names
from kit.press.ownface import read_face
from kit.press.page import PAGES, Page
from kit.proposal import figures, wording
from kit.proposal.cancelling import cancel_of
from kit.proposal.catalogue import Words, words_in
from kit.proposal.designs import (
    Poured,
    PricedDesign,
    designs_shown,
    poured_on,
    priced_designs,
)
from kit.proposal.measures import Measures
from kit.proposal.planned import plan_sheets
from kit.proposal.priced import payment_rows, price_of
from kit.proposal.shots import POUR_TALL_PT, Looks, chip, pour_within_walls, room_pair
from kit.proposal.shown import (
    Cancel,
    Caution,
    Client,
    ClientView,
    Firm,
    Sheen,
    Swatch,
)
from kit.proposal.signed import signed_words
from kit.proposal.strip import day_strip, hardening

if TYPE_CHECKING:
    from kit.bid import FinishOption, Offer
    from kit.job import Firm as JobFirm
    from kit.job import Job, Workup
    from kit.stock import Caution as ShelfCaution


FIGURES = "0123456789.,$%+\N{MINUS SIGN}"
"""What a typeface needs besides the words."""
LESS_TALL_PT = {4: 224.0, 5: 196.0, 6: 196.0}
"""With so many colors, so that the finishes stay on the page of the floor."""


def client_view(
    job: Job,
    answers: Workup,
    pictures: Looks,
    *,
    page: Page | None = None,
    language: str | None = None,
    poured: Poured | None = None,
    designs: tuple[PricedDesign, ...] | None = None,
    revision: tuple[int, tuple[str, ...]] = (1, ()),
) -> ClientView:
    """Show a job as its client may read it.

    Parameters
    ----------
    job : Job
    answers : Workup
    pictures : Looks
        Who shows the floor; each view is asked for once a finish.
    page : Page, optional
        Letter or A4; what the job says, unless given.
    language : str, optional
        Language of the paper, such as ``es`` or ``en-US``; what the job says, unless
        given.
    poured : callable, optional
        Shows the same rooms poured by the recipe of a kept design.
    designs : tuple of PricedDesign, optional
        What `priced_designs` answers for the job, if it is at hand.
    revision : (int, tuple of str)
        Number of the paper among those that go out, and keys of what changed since the
        one before.

    Raises
    ------
    PaperError
        If the paper does not speak the language, or a name on the measure sheet cannot
        be printed; no picture is made then.
    """
    from kit.job import pour_number, standing_signature

    check_names(job)
    say = words_in(language or job.language)
    signed = standing_signature(job, answers.offer)
    cancel = cancel_of(
        job, answers.offer, pictures.shelf, signed.day if signed else None, say
    )
    measures = Measures(say, job.paper.units)
    page = page or PAGES[job.paper.page]
    face = None
    if job.firm.font:
        face = read_face(Path(job.firm.font), needed=(*say.said.values(), FIGURES))
    client, offer = job.site.client, _named_only(job, answers.offer)
    chosen = next(option for option in offer.options if option.chosen)
    finish = say.told(chosen.name)
    if designs is None:
        designs = priced_designs(job, pictures.shelf)
    sheens = _sheens(pictures, offer, measures)
    swatches, reflects = _swatches(job, pictures, page, finish, measures)
    colors = say.listed([swatch.name for swatch in swatches])
    alt = say("floor.pour_alt", finish=finish.lower(), colors=colors)
    *larger, plan = plan_sheets(answers, page, measures)
    place = job.title
    if client.address:
        place = say("paper.place", title=job.title, address=client.address)
    return ClientView(
        page=page,
        language=say.tag,
        title=say("paper.title", client=client.name),
        number=job.number,
        dated=job.date,
        date=figures.long_date(job.date, say.locale),
        place=place,
        firm=_firm(job.firm, say),
        accent=job.firm.accent,
        face=face,
        client=Client(client.name, client.person, client.address, client.email),
        price=price_of(offer, job.open_until, measures),
        cover=sheens,
        pour=pour_within_walls(
            *(pictures, answers.plan, job.finish),
            page=page,
            alt=alt,
            tall_pt=LESS_TALL_PT.get(len(swatches), POUR_TALL_PT),
        ),
        swatches=swatches,
        reflects=wording.reflects_words(reflects, say),
        flow_name=say("floor.pattern", number=str(pour_number(job.recipe))),
        flow=wording.flow_words(job.recipe.flow, measures),
        design=wording.design_words(job, pictures.shelf, say),
        kept_as=wording.kept_name(job),
        sheens=sheens,
        plan=plan,
        larger_plans=tuple(larger),
        scope_in=wording.scope_words(
            answers.takeoff, answers.system, answers.work, offer, measures
        ),
        scope_out=wording.left_out_words(offer, answers.work, say),
        payments=payment_rows(answers.payments, measures, offer.currency),
        days=day_strip(
            *(answers.work, answers.system, finish),
            hardening(job.site, pictures.shelf.finish(job.finish), pictures.shelf),
            measures,
        ),
        cautions=_told(_due(answers.cautions, job, cancel), say),
        terms=_told(answers.terms, say),
        designs=designs_shown(
            job, offer, designs, poured or poured_on(answers.plan, pictures.shelf), measures
        ),
        signed=signed_words(signed, say),
        cancel=cancel,
        revision=str(revision[0]) if revision[0] > 1 else "",
        changed=wording.changed_words(revision[1], say),
        has_fields=job.paper.fields_to_sign,
    )


def _firm(firm: JobFirm, say: Words) -> Firm:
    names = [name for name in Firm.__slots__ if name != "logo"]
    logo = None
    if firm.logo:
        logo = read_logo(Path(firm.logo), alt=say("cover.logo_alt", firm=firm.name))
    return Firm(**{name: getattr(firm, name) for name in names}, logo=logo)


def _due(
    cautions: tuple[ShelfCaution, ...], job: Job, cancel: Cancel | None
) -> tuple[ShelfCaution, ...]:
    """Cautions to this buyer; what is worked out needs no general word."""
    asked = job.sale.buyer == "household" and cancel is None
    return tuple(one for one in cautions if asked or one.trigger != "household")


def _told(cautions: tuple[ShelfCaution, ...], say: Words) -> tuple[Caution, ...]:
    return tuple(Caution(say.told(one.title), say.told(one.says)) for one in cautions)


def _named_only(job: Job, offer: Offer) -> Offer:
    """The offer with the chosen finish and those that the paper is to price beside it."""
    named = job.paper.finishes
    kept = tuple(
        option
        for option in offer.options
        if not named or option.chosen or option.finish in named
    )
    return replace(offer, options=kept)


def _sheens(pictures: Looks, offer: Offer, measures: Measures) -> tuple[Sheen, ...]:
    """The chosen finish beside the one priced that mirrors most otherwise, duller first.

    Grains in a coat would be a second difference: a coat without them is preferred.
    """
    say = measures.words
    chosen = next(option for option in offer.options if option.chosen)

    def coat(option: FinishOption) -> Any:
        return pictures.shelf.finish(option.finish, about="finish")

    def gloss(option: FinishOption) -> float:
        return float(coat(option).gloss_gu)

    plain = [one for one in offer.options if coat(one).texture_um == 0]
    other = max(plain or offer.options, key=lambda one: abs(gloss(one) - gloss(chosen)))
    # where one finish alone is priced it is shown alone
    pair = tuple(sorted({chosen.finish: chosen, other.finish: other}.values(), key=gloss))
    told = [(say.told(one.name), say.told(one.says)) for one in pair]
    alts = tuple(
        say("floor.sheen_alt", finish=name.lower(), says=says) for name, says in told
    )
    shots = room_pair(pictures, tuple(one.finish for one in pair), alts)
    return tuple(
        Sheen(name, says, shot, one.chosen)
        for (name, says), one, shot in zip(told, pair, shots, strict=True)
    )


def _swatches(
    job: Job, pictures: Looks, page: Page, finish: str, measures: Measures
) -> tuple[tuple[Swatch, ...], float]:
    """Each colour as it looks in the chosen finish, and what the whole floor reflects."""
    from kit.look.colour import light_reflectance_value

    say = measures.words
    paints: Any = pictures.paints
    palette = job.recipe.palette
    found = []
    for place, colour in enumerate(palette.colours):
        alone = tuple(float(place == n) for n in range(len(palette.colours)))
        returned = light_reflectance_value(paints.film_reflectance(alone))
        part = float(colour.share)
        name = say.told(pictures.shelf.pigment(colour.pigment).name)
        alt = say("floor.chip_alt", color=name, finish=finish.lower())
        seen, mean = chip(
            pictures,
            colour.pigment,
            palette.tint,
            job.finish,
            part=part,
            page=page,
            alt=alt,
        )
        swatch = Swatch(
            name=name,
            share=figures.percent(colour.share, say.locale),
            reflects=figures.percent(round(float(returned)) / 100, say.locale),
            srgb=mean,
            part=part,
            chip=seen,
        )
        found.append(swatch)
    return tuple(found), float(paints.light_reflectance_value(palette.shares))
