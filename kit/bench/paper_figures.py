"""What the paper's step shows: fields, choices, what is lacking, and the signature."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from kit.bench.brand import brand_figures
from kit.bench.complaining import sentence
from kit.bench.lacking import lacks_of_rooms, price_lacks
from kit.bench.paper_choices import FIELDS
from kit.errors import KitError
from kit.job import (
    UNNAMED_FIRM,
    Job,
    changed_since,
    finish_beside,
    standing_signature,
)
from kit.money import shown
from kit.site import UNNAMED
from kit.stock import Shelf

if TYPE_CHECKING:
    from kit.bid import Offer
    from kit.proposal.shown import Cancel

Figures = dict[str, Any]
HINTS = {"client, name": UNNAMED, "firm, name": UNNAMED_FIRM}
"""What stands in for a name before anybody was asked."""


def paper_figures(job: Job, offer: Offer | None, shelf: Shelf) -> Figures:
    """All that the paper's step draws, from what a client may see."""
    client = job.site.client
    lacks = lacking(job, offer, shelf)
    return {
        "until": f"The price stands until {long_day(job.open_until)}.",
        "fields": {field: _text(job, field) for field in FIELDS} | _unnamed(job),
        "hints": HINTS,
        "signer": client.person or ("" if client.name == UNNAMED else client.name),
        "accepts": _accepted(job, offer, shelf) if offer else "",
        "brand": brand_figures(job),
        "finishes": [
            {
                "key": one.key,
                "name": one.name,
                "chosen": one.key == job.finish,
                "on": not job.paper.finishes
                or one.key == job.finish
                or one.key in job.paper.finishes,
            }
            for one in shelf.finishes
        ],
        "designs": [
            {
                "name": one.name,
                "finish": shelf.finish(finish_beside(job.designs, one, job.finish)).name,
                "on": job.paper.designs is None or one.name in job.paper.designs,
            }
            for one in job.designs
        ],
        "lacks": lacks,
        "missing": missing(lacks),
        "besides": lacks_of_rooms(job.site, "") if offer else [],
        "advice": _advice(job),
        "sale": {
            "at": job.sale.at,
            "lacks": unready_at_home(job, offer, shelf),
            "notice": notice_attached(job, offer, shelf),
        },
        "signed": _signed(job, offer),
    }


def _accepted(job: Job, offer: Offer, shelf: Shelf) -> str:
    """What is signed for, named as on the paper: finish, design, extras and price."""
    from kit.proposal.catalogue import FIRST, words_in
    from kit.proposal.wording import design_words

    say = words_in(FIRST)
    taken = [extra.name for extra in offer.extras if extra.counts]
    extras = say.listed(taken, apart=any("," in name for name in taken))
    besides = f", with {extras}" if extras else ""
    finish, design = shelf.finish(job.finish).name.lower(), design_words(job, shelf, say)
    total = shown(offer.total, offer.currency)
    return f"the floor in {finish} ({design}){besides}, for {total}"


def lacking(job: Job, offer: Offer | None, shelf: Shelf) -> list[Figures]:
    """What the paper cannot go out without: its field, if it is typed in, and words."""
    found = [
        (job.site.client.name == UNNAMED, "client, name", "who the floor is for"),
        (job.firm.name == UNNAMED_FIRM, "firm, name", "the name of your firm"),
        (not job.number, "job, number", "a number for this proposal"),
    ]
    typed = [
        {"field": field, "needs": needs, "says": f"{needs[0].upper()}{needs[1:]}."}
        for lacks, field, needs in found
        if lacks
    ]
    if offer is None:
        return [{"field": "", **price_lacks(job.site)}, *typed]
    try:
        _cancel(job, offer, shelf)
    except KitError as error:
        needs = "a notice of cancellation that can be printed"
        return [*typed, _unusable("cancel_notice", needs, sentence(error))]
    return typed


def _unusable(own: str, needs: str, says: str) -> Figures:
    """A file of the firm's own that is to be changed before the paper can be set."""
    return {"field": "", "own": own, "needs": needs, "says": says}


def unready_at_home(job: Job, offer: Offer | None, shelf: Shelf) -> list[Figures]:
    """Why a buyer should not sign it yet where the law lets him cancel, and what mends it.

    A notice that cannot be used is `lacking` to the whole paper and not told here.
    """
    cancel = _readable(job, offer, shelf)
    if cancel is None:
        return []
    firm = job.firm
    asked = [part for part in ("phone", "email") if not getattr(firm, part)]
    mends: list[Figures] = [] if firm.cancel_notice else [{"own": "cancel_notice"}]
    mends += [{"field": f"firm, {part}"} for part in asked[:1]]
    return [mend | {"says": says} for mend, says in zip(mends, cancel.lacks, strict=False)]


def notice_attached(job: Job, offer: Offer | None, shelf: Shelf) -> str:
    """File name of the notice of cancellation that goes out with it; "" if none does."""
    return Path(job.firm.cancel_notice).name if _readable(job, offer, shelf) else ""


def _readable(job: Job, offer: Offer | None, shelf: Shelf) -> Cancel | None:
    """What the paper says of cancelling; nothing where its notice cannot be used."""
    try:
        return _cancel(job, offer, shelf) if offer else None
    except KitError:
        return None


def _cancel(job: Job, offer: Offer, shelf: Shelf) -> Cancel | None:
    """What the paper says of cancelling, its notice read as it is for print."""
    from kit.press.page import PAGES
    from kit.proposal.cancelling import cancel_of
    from kit.proposal.catalogue import words_in
    from kit.proposal.notices import scale_of

    cancel = cancel_of(job, offer, shelf, None, words_in(job.language))
    for sheet in cancel.pages if cancel else ():
        scale_of(sheet, PAGES[job.paper.page])
    return cancel


def missing(lacks: list[Figures]) -> str:
    """All that is lacking in one sentence; "" when nothing is."""
    named = [one["needs"] for one in lacks]
    if not named:
        return ""
    last = f"{', '.join(named[:-1])} and {named[-1]}" if named[1:] else named[0]
    why = [one["says"] for one in lacks if "own" in one]
    return " ".join([f"Before it can go out: {last}.", *why])


def came_off(before: Job, now: Job, *, is_taken_back: bool) -> str:
    """What is said when a signature went; nothing where that was what was asked for."""
    if before.signed is None or now.signed is not None:
        return ""
    whose = f"{before.signed.name}'s signature came off"
    if is_taken_back:
        return f"{whose}, for signing was the last step. Redo brings it back."
    if changed := changed_since(before, now):
        return f"{whose}, for {changed[0]} changed. Undo brings both back."
    return ""


def long_day(day: Any) -> str:
    """``Wednesday, December 23, 2026``, whatever the machine's locale."""
    from babel.dates import format_date

    return str(format_date(day, "full", locale="en_US"))


def _advice(job: Job) -> list[Figures]:
    """What the paper can do without, but reads better with."""
    found = [
        (
            not job.site.client.address,
            "client, address",
            "Without an address the paper does not say where the floor is.",
        ),
        (
            not (job.firm.phone or job.firm.email),
            "firm, phone",
            "Without a phone or email clients cannot reach you from the paper.",
        ),
        (
            not job.firm.licence,
            "firm, licence",
            "Without a license number a line is left for it.",
        ),
    ]
    return [{"field": field, "says": says} for lacks, field, says in found if lacks]


def _unnamed(job: Job) -> Figures:
    """The fields that nobody has filled in, empty."""
    return {field: "" for field, hint in HINTS.items() if _text(job, field) == hint}


def _text(job: Job, field: str) -> str:
    about, name = field.split(", ")
    record: Any = {"job": job, "firm": job.firm, "client": job.site.client}[about]
    return str(getattr(record, name))


def _signed(job: Job, offer: Offer | None) -> Figures | None:
    signed = standing_signature(job, offer) if offer else None
    if signed is None or offer is None:
        return None
    how = "Signed" if signed.strokes else "Accepted with the name typed"
    return {
        "name": signed.name,
        "says": f"{how} by {signed.name} on {long_day(signed.day)}, for "
        f"{shown(signed.total, offer.currency)}.",
        "strokes": [list(map(list, stroke)) for stroke in signed.strokes],
        "ratio": signed.width_over_height,
    }
