"""What a signature stands for, and when it no longer does."""

from __future__ import annotations

from collections.abc import Hashable
from typing import TYPE_CHECKING

from kit.job.records import Job, Signature

if TYPE_CHECKING:
    from kit.bid import Offer
    from kit.record import Record


def still_signed(before: Job, after: Job) -> Job:
    """Take the signature off a job that is no longer the one that was signed.

    Nothing that the paper prints may change under a signature. What it does not print
    may: how the client is reached, designs that are kept but not shown, and why there is
    a discount.
    """
    if after.signed is None or after.signed != before.signed:
        return after
    return after.changed(signed=None) if changed_since(before, after) else after


def changed_since(before: Job, after: Job) -> tuple[str, ...]:
    """Name what one signs for that differs between two states of a job."""
    one, other = _accepted(before), _accepted(after)
    return tuple(words for words in one if one[words] != other[words])


def standing_signature(job: Job, offer: Offer) -> Signature | None:
    """The signature of a job, if what it accepted is what is asked now."""
    signed = job.signed
    return signed if signed is not None and signed.total == offer.total else None


def _accepted(job: Job) -> dict[str, Hashable]:
    """All that is printed and signed for, each part under what it is called."""
    site, firm, paper = job.site, job.firm, job.paper
    return {
        "the pour": job.recipe,
        "the finish": job.finish,
        "the extras": job.extras,
        "the discount": (job.discount.share, job.discount.amount),
        "the rooms": _but(site, "client"),
        "who it is for": _but(site.client, "email", "phone"),
        "the notice of cancellation": firm.cancel_notice,
        "the logo": firm.logo,
        "the typeface": firm.font,
        "the color of the paper": firm.accent,
        "the firm": _but(firm, "cancel_notice", "logo", "font", "accent"),
        "where it is signed": job.sale.at,
        "the kind of sale": _but(job.sale, "at"),
        "the name of the job": job.title,
        "the number": job.number,
        "the date": job.date,
        "the time the price stands": job.valid_days,
        "the language": job.language,
        "the size of the paper": paper.page,
        "the kind of units": paper.units,
        "what the paper shows": (
            _but(paper, "page", "units", "designs"),
            tuple(
                design
                for design in job.designs
                if paper.designs is None or design.name in paper.designs
            ),
        ),
    }


def _but(record: Record, *left_out: str) -> tuple[Hashable, ...]:
    """Every field of a record but some."""
    return tuple(
        getattr(record, name) for name in type(record).model_fields if name not in left_out
    )
