"""What a signature stands for, and when it no longer does."""

from __future__ import annotations

from collections.abc import Hashable
from typing import TYPE_CHECKING

from kit.job.records import Job, Signature

if TYPE_CHECKING:
    from kit.bid import Offer


def still_signed(before: Job, after: Job) -> Job:
    """Take the signature off a job that is no longer the one that was signed.

    What the paper shows beside the accepted choice, how long the price stood and
    how people are reached may change under a signature; the floor, its price, its
    place and the two parties may not.
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
    site = job.site
    return {
        "the pour": job.recipe,
        "the finish": job.finish,
        "the extras": job.extras,
        "the discount": (job.discount.share, job.discount.amount),
        "the rooms": tuple(
            getattr(site, n) for n in type(site).model_fields if n != "client"
        ),
        "who it is for": (site.client.name, site.client.address),
        "the firm": job.firm.name,
        "the name of the job": job.title,
        "the number": job.number,
        "the date": job.date,
    }
