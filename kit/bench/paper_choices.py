"""What is chosen for the paper: who, from whom, until when, what it shows, who signs.

Each is a pure step from one Job to the next, as those of `kit.bench.choices`.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable, Sequence
from decimal import Decimal
from typing import Any

from kit.errors import SheetError
from kit.job import Job, Signature
from kit.job.records import MOST_STROKES
from kit.record import filled
from kit.site.text import fault_in

LONGEST = 120
LONGEST_ADDRESS = 200
FIRST_DAY, LAST_DAY = datetime.date(2000, 1, 1), datetime.date(2100, 12, 31)
LEAST_INK = 0.04
"""A signature reaches at least this far, as a share of its box; less is a slip."""
_TAGS = re.compile(r"</?[A-Za-z!][^>]*>?|&#?\w+;")
_MAIL = re.compile(r"[^@\s]+@[^@\s]+")
_PHONE = re.compile(r"[\d\s()+./-]*\d[\d\s()+./-]*((ext\.?|x)\s*\d+)?", re.IGNORECASE)


def with_words(job: Job, field: str, text: str) -> Job:
    """Write into one field of the paper, named as on a measure sheet: ``client, name``.

    Raises
    ------
    SheetError, PaperError
        If the text is none for that field, or the paper could not print it.
    """
    if field not in FIELDS:
        raise SheetError("field", found=field, expected="a field of the paper")
    about, name = field.split(", ")
    value = FIELDS[field](text, field)
    if about == "job":
        return filled(Job, {**dict(job), name: value}, where="job")
    if about == "firm":
        return job.changed(
            firm=filled(type(job.firm), {**dict(job.firm), name: value}, where="firm")
        )
    client = job.site.client
    client = filled(type(client), {**dict(client), name: value}, where="client")
    return job.changed(site=job.site.changed(client=client))


def with_page(job: Job, page: str) -> Job:
    """Print on another size of paper."""
    return job.changed(paper=job.paper.changed(page=page))


def with_sale_at(job: Job, at: str) -> Job:
    """Say where it is signed, which decides who may cancel, and until when."""
    return job.changed(
        sale=filled(type(job.sale), {**dict(job.sale), "at": at}, where="sale")
    )


def with_priced(job: Job, finish: str, on: bool, known: Sequence[str]) -> Job:
    """Price a finish beside the chosen one, or leave it out; the chosen one stays.

    Parameters
    ----------
    job : Job
    finish : str
    on : bool
    known : sequence of str
        Every finish on the shelf.
    """
    if finish not in known:
        raise SheetError("finish", found=finish, expected=", ".join(known))
    if finish == job.finish and not on:
        raise SheetError(
            "finish", found="the chosen one left out", expected="it on the paper, always"
        )
    priced = set(job.paper.finishes or known) | {job.finish}
    priced = priced | {finish} if on else priced - {finish}
    named = tuple(key for key in known if key in priced)
    return job.changed(
        paper=job.paper.changed(finishes=() if len(named) == len(known) else named)
    )


def with_design_shown(job: Job, name: str, on: bool) -> Job:
    """Show a kept design on the paper, or leave it out."""
    kept = [design.name for design in job.designs]
    if name not in kept:
        raise SheetError("design", found=name, expected="the name of a kept design")
    shown = set(kept if job.paper.designs is None else job.paper.designs)
    shown = shown | {name} if on else shown - {name}
    named = tuple(one for one in kept if one in shown)
    return job.changed(
        paper=job.paper.changed(designs=None if len(named) == len(kept) else named)
    )


def signed_by(
    job: Job,
    name: str,
    strokes: Any,
    *,
    total: Decimal,
    day: datetime.date,
    width_over_height: float = 3.0,
    typed: bool = False,
) -> Job:
    """Accept the floor as chosen, with a drawn signature or with the name typed.

    Raises
    ------
    SheetError, PaperError
        If there is no name, nothing is drawn, or the strokes are none.
    """
    name = _required(name, "name of who signs")
    if not typed:
        _check_ink(strokes)
    signature = filled(
        Signature,
        {
            "name": name,
            "day": day,
            "strokes": () if typed else strokes,
            "width_over_height": width_over_height,
            "total": total,
        },
        where="signature",
    )
    return job.changed(signed=signature)


def unsigned(job: Job) -> Job:
    """Take the signature off."""
    return job.changed(signed=None)


def _check_ink(strokes: Any) -> None:
    if not isinstance(strokes, list | tuple) or not strokes:
        raise SheetError(
            "signature", found="an empty box", expected="a signature drawn in it"
        )
    if len(strokes) > MOST_STROKES:
        raise SheetError(
            "signature", found=f"{len(strokes)} strokes", expected=f"at most {MOST_STROKES}"
        )
    try:
        spots = [(float(x), float(y)) for stroke in strokes for x, y in stroke]
    except (TypeError, ValueError):
        raise SheetError(
            "signature", found="no strokes", expected="places in the box that is signed in"
        ) from None
    reach = max(
        (max(along) - min(along) for along in zip(*spots, strict=True)), default=0.0
    )
    if reach < LEAST_INK:
        raise SheetError(
            "signature", found="no more than a dot", expected="a signature drawn in the box"
        )


def _plain(text: str, about: str) -> str:
    """Words without tags or what cannot be seen, which the paper's typefaces have."""
    from kit.press.cleaning import clean_text

    limit = LONGEST_ADDRESS if about.endswith("address") else LONGEST
    if len(text) > limit:
        raise SheetError(
            about, found=f"{len(text):,} characters", expected=f"at most {limit}"
        )
    if fault := fault_in(text):
        raise SheetError(
            about, found=fault, expected="one line of characters that are seen"
        )
    if tag := _TAGS.search(text):
        raise SheetError(about, found=tag[0], expected="plain words without markup")
    return clean_text(text, about=about, limit=limit)


def _required(text: str, about: str) -> str:
    words = _plain(text, about)
    if not words:
        raise SheetError(about, found="nothing", expected="some words")
    return words


def _mail(text: str, about: str) -> str:
    return _like(_MAIL, text, about, "an address such as name@place.example")


def _phone(text: str, about: str) -> str:
    return _like(_PHONE, text, about, "digits, with spaces, dashes, brackets or a plus")


def _like(pattern: re.Pattern[str], text: str, about: str, expected: str) -> str:
    """Plain words of a pattern, or none."""
    words = _plain(text, about)
    if words and not pattern.fullmatch(words):
        raise SheetError(about, found=words, expected=expected)
    return words


def _days(text: str, about: str) -> int:
    words = text.strip()
    if not re.fullmatch(r"\d{1,3}", words, re.ASCII) or not 1 <= int(words) <= 365:
        raise SheetError(
            about, found=words or "nothing", expected="a whole number of days from 1 to 365"
        )
    return int(words)


def _day(text: str, about: str) -> datetime.date:
    words = text.strip()
    try:
        day = datetime.datetime.strptime(words, "%Y-%m-%d").date()
    except ValueError:
        day = None
    if day is None or not FIRST_DAY <= day <= LAST_DAY:
        raise SheetError(
            about,
            found=words or "no whole date",
            expected=f"a day from {FIRST_DAY.year} to {LAST_DAY.year}, such as 2026-11-25",
        )
    return day


FIELDS: dict[str, Callable[[str, str], Any]] = {
    "client, name": _required,
    "client, person": _plain,
    "client, address": _plain,
    "client, email": _mail,
    "client, phone": _phone,
    "firm, name": _required,
    "firm, person": _plain,
    "firm, address": _plain,
    "firm, phone": _phone,
    "firm, email": _mail,
    "firm, licence": _plain,
    "job, title": _required,
    "job, number": _plain,
    "job, date": _day,
    "job, valid_days": _days,
}
"""Every field of the paper that is typed in, with what reads it."""
