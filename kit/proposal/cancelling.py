"""The right to cancel as the client reads it, and whether it is ready to sign at home."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kit.proposal import figures
from kit.proposal.catalogue import Words
from kit.proposal.notices import notice_of, places_of
from kit.proposal.shown import Cancel, CancelRow

if TYPE_CHECKING:
    import datetime

    from kit.bid import Offer
    from kit.job import Firm, Job, LastDay
    from kit.stock import Shelf


def cancel_of(
    job: Job,
    offer: Offer,
    shelf: Shelf,
    signed_on: datetime.date | None,
    say: Words,
) -> Cancel | None:
    """Say until when a sale may be cancelled; nothing where no rule covers it.

    Parameters
    ----------
    job : Job
    offer : Offer
    shelf : Shelf
    signed_on : datetime.date or None
        Day of a signature that stands; the day of the proposal, without one.
    say : Words

    Raises
    ------
    PaperError
        If the firm's notice of cancellation cannot be read or filled in.
    """
    from kit.job import last_days

    day = signed_on or job.date
    region = getattr(shelf.house, "region", "")
    found = last_days(job.sale, offer.total, day, shelf, region=region)
    if not found:
        return None
    latest = max(found, key=lambda one: one.day)
    last = figures.week_date(latest.day, say.locale)
    sold = "cancel.sold_home" if job.sale.at == "home" else "cancel.sold_away"
    date = figures.long_date(day, say.locale)
    notice = notice_of(job.firm, places_of(job, say, day, latest.day), say.tag)
    has_notice = bool(notice.paragraphs or notice.pages)
    return Cancel(
        says=say(sold, date=date, day=last),
        rows=tuple(_row(one, say) for one in found),
        at_signature=say("cancel.at_signature", day=last),
        lacks=_lacks(job.firm, found, has_notice=has_notice, say=say),
        caption=notice.caption,
        notice=notice.paragraphs,
        pages=notice.pages,
        by_hand="" if notice.is_filled else say("cancel.by_hand", date=date, day=last),
    )


def _row(one: LastDay, say: Words) -> CancelRow:
    counted = "cancel.counted" if one.rule.saturdays else "cancel.not_counted"
    return CancelRow(
        rule=say.told(one.rule.name),
        days=str(one.days),
        saturdays=say(counted),
        last_day=figures.long_date(one.day, say.locale),
    )


def _lacks(
    firm: Firm, found: tuple[LastDay, ...], *, has_notice: bool, say: Words
) -> tuple[str, ...]:
    """Why the paper may not be signed at home yet."""
    lacks = [] if has_notice else [say("cancel.no_form")]
    needed = dict.fromkeys(part for one in found for part in one.rule.contact)
    missing = [say(f"cancel.{part}") for part in needed if not getattr(firm, part)]
    if missing:
        lacks.append(say("cancel.no_contact", missing=say.listed(missing)))
    return tuple(lacks)
