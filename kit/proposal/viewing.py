"""From a worked-up job to what its client reads, and nothing beyond.

Of the price only the offer and the payments are taken; the bid, with its lines
and costs, is never looked at here.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from kit.press.drawing import plan_drawing
from kit.press.names import check_names
from kit.press.page import PAGES, Drawing, Page
from kit.press.scale import Scale, largest_that_fits
from kit.proposal import figures, wording
from kit.proposal.designs import (
    Poured,
    PricedDesign,
    designs_shown,
    poured_on,
    priced_designs,
)
from kit.proposal.shots import Looks, chip, pour_within_walls, room_pair
from kit.proposal.shown import (
    Caution,
    Client,
    ClientView,
    ExtraRow,
    Firm,
    OptionRow,
    PaymentRow,
    PlanSheet,
    Price,
    RoomRow,
    Sheen,
    Swatch,
)
from kit.proposal.signed import signed_words
from kit.units import M_PER_FT, square_feet

if TYPE_CHECKING:
    from kit.bid import ExtraOption, FinishOption, Offer
    from kit.job import Job, Workup
    from kit.plan.floor import FloorPlan
    from kit.takeoff import Takeoff

PLAN_FRAME_TALL_PT = 280.0
AROUND_PT = 32.0


def client_view(
    job: Job,
    answers: Workup,
    pictures: Looks,
    *,
    page: Page | None = None,
    language: str = "en-US",
    poured: Poured | None = None,
    designs: tuple[PricedDesign, ...] | None = None,
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
    language : str
        Language of figures and dates, such as ``en-US``.
    poured : callable, optional
        Shows the same rooms poured by the recipe of a kept design.
    designs : tuple of PricedDesign, optional
        What `priced_designs` answers for the job, if it is at hand.

    Raises
    ------
    PaperError
        If a name on the measure sheet cannot be printed; no picture is made then.
    """
    from kit.job import standing_signature

    check_names(job)
    locale = language.replace("-", "_")
    page = page or PAGES[job.paper.page]
    client, offer = job.site.client, _named_only(job, answers.offer)
    chosen = next(option for option in offer.options if option.chosen)
    if designs is None:
        designs = priced_designs(job, pictures.shelf)
    sheens = _sheens(pictures, offer)
    swatches, reflects = _swatches(job, pictures, page)
    alt = (
        f"The whole floor from above within its walls, in {chosen.name.lower()}, poured in "
        f"{_listed([swatch.name for swatch in swatches])}."
    )
    return ClientView(
        page=page,
        language=language,
        title=f"A poured floor for {client.name}",
        number=job.number,
        dated=job.date,
        date=figures.long_date(job.date, locale),
        place=f"{job.title} at {client.address}" if client.address else job.title,
        firm=Firm(**{name: getattr(job.firm, name) for name in Firm.__slots__}),
        client=Client(client.name, client.person, client.address, client.email),
        price=_price(offer, figures.long_date(job.open_until, locale),
                     figures.short_date(job.open_until, locale), locale),
        cover=sheens,
        pour=pour_within_walls(pictures, answers.plan, job.finish, page=page, alt=alt),
        swatches=swatches,
        reflects=wording.reflects_words(reflects),
        flow_name=f"Pattern {job.recipe.seed}, kept for you",
        flow=wording.flow_words(job.recipe.flow),
        sheens=sheens,
        plan=_plan(answers, page),
        scope_in=wording.scope_words(
            answers.takeoff, answers.system, answers.work, chosen.name, offer
        ),
        scope_out=wording.left_out_words(offer),
        payments=tuple(
            PaymentRow(part.due, f"{part.share * 100:.0f}", figures.bare(part.amount))
            for part in answers.payments
        ),
        days=wording.days_of(answers.work, answers.system, chosen.name),
        cautions=tuple(Caution(one.title, one.says) for one in answers.cautions),
        terms=(Caution("Changes", wording.CHANGES),),
        designs=designs_shown(
            job, offer, designs, poured or poured_on(answers.plan, pictures.shelf), locale
        ),
        signed=signed_words(standing_signature(job, offer), locale),
    )  # fmt: skip


def _named_only(job: Job, offer: Offer) -> Offer:
    """The offer with the chosen finish and those that the paper is to price beside it."""
    named = job.paper.finishes
    kept = tuple(
        option
        for option in offer.options
        if not named or option.chosen or option.finish in named
    )
    return replace(offer, options=kept)


def _price(offer: Offer, until: str, until_short: str, locale: str) -> Price:
    return Price(
        total=figures.asked(offer.total, offer.currency, locale),
        total_bare=figures.bare(offer.total),
        per_sqft=figures.asked(offer.price_per_sqft, offer.currency, locale),
        symbol=figures.symbol(offer.currency, locale),
        area=f"{offer.area_sqft:,.1f}",
        basis=offer.area_basis,
        tax_note=offer.tax_note,
        open_until=until,
        open_until_short=until_short,
        options=tuple(_option(option, offer.currency, locale) for option in offer.options),
        extras=tuple(_extra(extra, offer, locale) for extra in offer.extras),
    )


def _option(option: FinishOption, currency: str, locale: str) -> OptionRow:
    return OptionRow(
        name=option.name,
        says=option.says,
        per_sqft=figures.bare(option.price_per_sqft),
        total=figures.bare(option.total),
        asked=figures.asked(option.total, currency, locale),
        difference=figures.difference(option.difference),
        chosen=option.chosen,
    )


def _extra(extra: ExtraOption, offer: Offer, locale: str) -> ExtraRow:
    adds = extra.adds
    return ExtraRow(
        name=extra.name,
        says=extra.says,
        amount=extra.blocked or extra.much(offer.currency, locale) or _first(extra.says),
        per_sqft="" if adds is None else figures.bare(adds / offer.area_sqft),
        adds="" if adds is None else figures.difference(adds),
        taken=extra.counts,
    )


def _first(sentence: str) -> str:
    """First words of a sentence, up to where it begins to explain."""
    words = sentence.split(":", maxsplit=1)[0]
    return f"{words[:1].lower()}{words[1:]}"


def _sheens(pictures: Looks, offer: Offer) -> tuple[Sheen, ...]:
    """The chosen finish beside the one priced that mirrors most otherwise, duller first.

    Grains in a coat would be a second difference: a coat without them is preferred.
    """
    chosen = next(option for option in offer.options if option.chosen)

    def coat(option: FinishOption) -> Any:
        return pictures.shelf.finish(option.finish, about="finish")

    def gloss(option: FinishOption) -> float:
        return float(coat(option).gloss_gu)

    plain = [one for one in offer.options if coat(one).texture_um == 0]
    other = max(plain or offer.options, key=lambda one: abs(gloss(one) - gloss(chosen)))
    # where one finish alone is priced it is shown alone
    pair = tuple(sorted({chosen.finish: chosen, other.finish: other}.values(), key=gloss))
    alts = tuple(
        f"Standing in the largest room, the floor in {one.name.lower()}. {one.says}"
        for one in pair
    )
    shots = room_pair(pictures, tuple(one.finish for one in pair), alts)
    return tuple(
        Sheen(one.name, one.says, shot, one.chosen)
        for one, shot in zip(pair, shots, strict=True)
    )


def _swatches(job: Job, pictures: Looks, page: Page) -> tuple[tuple[Swatch, ...], float]:
    """Each colour as it looks in the chosen finish, and what the whole floor returns."""
    from kit.look.colour import light_reflectance_value

    paints: Any = pictures.paints
    palette = job.recipe.palette
    found = []
    for place, colour in enumerate(palette.colours):
        alone = tuple(float(place == n) for n in range(len(palette.colours)))
        returned = light_reflectance_value(paints.film_reflectance(alone))
        part = float(colour.share)
        seen, mean = chip(
            pictures, colour.pigment, palette.tint, job.finish, part=part, page=page
        )
        found.append(
            Swatch(
                name=pictures.shelf.pigment(colour.pigment).name,
                share=figures.percent(colour.share),
                reflects=f"{float(returned):.0f}",
                srgb=mean,
                part=part,
                chip=seen,
            )
        )
    return tuple(found), float(paints.light_reflectance_value(palette.shares))


def _plan(answers: Workup, page: Page) -> PlanSheet:
    plan, takeoff = answers.plan, answers.takeoff
    rows, poured, rounded = _areas(takeoff)
    areas = {
        row.name: f"{row.area}\N{NO-BREAK SPACE}sq\N{NO-BREAK SPACE}ft" for row in rows
    }
    rooms = _listed([f"{name}, {area}" for name, area in areas.items()], mark=";")
    leaves = f" The way out is from {plan.way_out.room}."
    alt = f"{rooms}.{leaves if plan.way_out.is_marked else ''}"
    scale, drawing = _drawn_to_scale(plan, areas, page, alt)
    keys = {label.words for label in drawing.labels if label.tone == "key"}
    return PlanSheet(
        drawing=drawing,
        scale=scale.words,
        bar_ft=scale.bar_ft,
        bar_pt=scale.bar_pt,
        rooms=tuple(
            replace(row, key=str(number) if str(number) in keys else "")
            for number, row in enumerate(rows, start=1)
        ),
        poured=poured,
        basis=f"{takeoff.rule} {rounded}".strip(),
    )


def _drawn_to_scale(
    plan: FloorPlan, areas: dict[str, str], page: Page, alt: str
) -> tuple[Scale, Drawing]:
    """The plan at the largest scale at which it, with all its lengths, fits the page."""
    west, south, east, north = plan.bounds_m
    around = AROUND_PT
    while True:
        scale = largest_that_fits(
            east - west,
            north - south,
            frame_pt=(page.wide_pt, PLAN_FRAME_TALL_PT),
            around_pt=around,
        )
        told = _shortened(f"Floor plan at {scale.words}. {alt}")
        drawing = plan_drawing(plan, scale, areas, alt=told)
        beyond = drawing.width_pt - page.wide_pt
        if beyond <= 0:
            return scale, drawing
        around += beyond / 2


def _areas(takeoff: Takeoff) -> tuple[tuple[RoomRow, ...], RoomRow, str]:
    """Every figure rounded by itself, the sums too."""
    named = [(room.name, room.net_m2, room.perimeter_m) for room in takeoff.rooms]
    if takeoff.thresholds_m2 > 0:
        named.append(("In the doorways", takeoff.thresholds_m2, 0.0))
    feet = [square_feet(net) for _, net, _ in named]
    runs = [walls / M_PER_FT for _, _, walls in named]
    whole, around = square_feet(takeoff.net_m2), sum(runs)
    rows = tuple(
        RoomRow(name, figures.tenths(area), figures.tenths(run) if run else "")
        for (name, _, _), area, run in zip(named, feet, runs, strict=True)
    )
    poured = RoomRow("Poured", figures.tenths(whole), figures.tenths(around))
    apart = [
        words
        for words, parts, total in (("Areas", feet, whole), ("Walls", runs, around))
        if not figures.tenths_add_up(parts, total)
    ]
    note = f"{_listed(apart).capitalize()} are rounded, each by itself." if apart else ""
    return rows, poured, note


def _listed(words: list[str], *, mark: str = ",") -> str:
    if len(words) < 2:
        return "".join(words)
    return f"{f'{mark} '.join(words[:-1])}{mark if mark != ',' else ''} and {words[-1]}"


def _shortened(alt: str) -> str:
    return alt if len(alt) <= 900 else f"{alt[:880].rsplit(' ', 1)[0]} and more."
