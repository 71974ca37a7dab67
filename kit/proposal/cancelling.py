"""The right to cancel as the client reads it, and whether it is ready to sign at home."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING

from kit.errors import PaperError
from kit.proposal import figures
from kit.proposal.catalogue import Words
from kit.proposal.shown import Cancel, CancelRow

if TYPE_CHECKING:
    import datetime

    from kit.bid import Offer
    from kit.job import Firm, Job, LastDay
    from kit.stock import Shelf

MOST_BYTES = 20_000
FILLED_IN = ("seller", "seller_address", "buyer", "date", "last_day")
"""What a notice may leave to be filled in, as {seller}; the last two it must."""


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
    notice = _notice(job, figures.long_date(day, say.locale), last, say)
    return Cancel(
        says=say(sold, date=figures.long_date(day, say.locale), day=last),
        rows=tuple(_row(one, say) for one in found),
        at_signature=say("cancel.at_signature", day=last),
        lacks=_lacks(job.firm, found, has_notice=bool(notice), say=say),
        notice=notice,
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


def _notice(job: Job, date: str, last_day: str, say: Words) -> tuple[str, ...]:
    """Paragraphs of the firm's own notice, filled in; the first is its caption."""
    firm = job.firm
    if not firm.cancel_notice:
        return ()
    text = read_notice(notice_file(firm.cancel_notice, say.tag))
    client = job.site.client
    given = {
        "seller": firm.name,
        "seller_address": firm.address,
        "buyer": client.person or client.name,
        "date": date,
        "last_day": last_day,
    }
    places = set(re.findall(r"\{(\w+)\}", text))
    if unknown := sorted(places - given.keys()):
        known = ", ".join(f"{{{name}}}" for name in FILLED_IN)
        found = f"{{{unknown[0]}}}"
        raise PaperError("firm, cancel_notice", found=found, expected=f"only {known}")
    for name in FILLED_IN[-2:]:
        if name not in places:
            found = f"no {{{name}}} in it"
            raise PaperError(
                "firm, cancel_notice", found=found, expected=f"a place for {{{name}}}"
            )
    filled = re.sub(r"\{(\w+)\}", lambda place: given[place[1]], text)
    parts = (" ".join(part.split()) for part in re.split(r"\n\s*\n", filled))
    return tuple(part for part in parts if part)


def notice_file(named: str, tag: str) -> Path:
    """File of the notice in the language of a tag such as ``es-MX``."""
    return Path(named.replace("{language}", tag.split("-", maxsplit=1)[0])).expanduser()


def read_notice(path: Path) -> str:
    """Text of the firm's official notice of cancellation.

    Raises
    ------
    PaperError
        If it is no text file of at most 20,000 bytes.
    """
    about = f"firm, cancel_notice {path.name}"
    expected = "a text file (.txt, UTF-8) of the official notice"
    try:
        content = path.read_bytes()
        if len(content) > MOST_BYTES:
            found = f"{len(content):,} bytes"
            raise PaperError(about, found=found, expected=f"at most {MOST_BYTES:,}")
        return content.decode("utf-8-sig")
    except UnicodeError:
        raise PaperError(about, found="no text", expected=expected) from None
    except (OSError, ValueError) as error:
        found = getattr(error, "strerror", None) or str(error)
        raise PaperError(about, found=found, expected=expected) from None
