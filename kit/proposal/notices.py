"""A firm's own official notice of cancellation, a text or a PDF; the kit has none."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from kit.errors import PaperError
from kit.press import outside
from kit.press.cleaning import clean_text
from kit.press.outside import checked_outside, sheets
from kit.press.page import PAGES, Facsimile, Page
from kit.press.showing import Line, Passage, Shown, rewritten
from kit.proposal import figures

if TYPE_CHECKING:
    import datetime

    from kit.job import Firm, Job
    from kit.proposal.catalogue import Words

MOST_BYTES = 20_000
PDF = ".pdf"
EXPECTED = "a text file (.txt, UTF-8) or a PDF of the official notice"
MUST = ("date", "last_day")
_PLACE = re.compile(r"\{(\w+)\}")
FILLED_IN = ("seller", "seller_address", "buyer", *MUST)
"""What a notice may leave to be filled in: a text as {seller}, a PDF in such a field."""
MARKS = " and ".join(f"{{{name}}}" for name in MUST)
"""What a notice that is a text must have in it, as it is typed."""
LONGEST_CAPTION = 80
HEAD_PT, GAP_PT = 12.0, 10.0
"""Above a page of the firm's own file: which copy it is."""
LEAST = 0.9
"""A notice that the law wants in ten points may not be made much smaller."""


@dataclass(frozen=True, slots=True)
class Notice(Shown):
    """A firm's own notice as paragraphs of lines, or as pages, which may be filled in."""

    caption: Line = ""
    paragraphs: tuple[tuple[Passage, ...], ...] = ()
    pages: tuple[Facsimile, ...] = ()
    is_filled: bool = True


def notice_of(firm: Firm, given: Mapping[str, str], tag: str) -> Notice:
    """Take in the firm's own notice and fill it in.

    Parameters
    ----------
    firm : Firm
    given : mapping of str to str
        What each place of `FILLED_IN` says.
    tag : str
        Language of the paper, such as ``es-MX``.

    Raises
    ------
    PaperError
        If it cannot be read or filled in.
    """
    if not firm.cancel_notice:
        return Notice()
    path = notice_file(firm.cancel_notice, tag)
    if path.suffix.lower() != PDF:
        places = tuple((name, given[name]) for name in FILLED_IN)
        return _of_text(read_notice(path), places, _about(path))
    content, names = _read_pdf(path)
    filled = {name: given[name] for name in FILLED_IN if name in names}
    pages = _pages(content, tuple(filled.items()), _about(path))
    return Notice(pages=pages, is_filled=bool(filled))


def places_of(
    job: Job, say: Words, day: datetime.date, last: datetime.date
) -> dict[str, str]:
    """What each place of `FILLED_IN` says of a sale that may be canceled until a day."""
    client = job.site.client
    return {
        "seller": job.firm.name,
        "seller_address": job.firm.address,
        "buyer": client.person or client.name,
        "date": figures.long_date(day, say.locale),
        "last_day": figures.week_date(last, say.locale),
    }


def scale_of(sheet: Facsimile, page: Page) -> float:
    """Share of its own size at which a page of the firm's file fits between the margins.

    Raises
    ------
    PaperError
        If it would have to be made much smaller.
    """
    tall = page.tall_pt - HEAD_PT - GAP_PT
    scale = min(1.0, page.wide_pt / sheet.wide_pt, tall / sheet.tall_pt)
    if scale < LEAST:
        found = f"print of {sheet.wide_pt / 72:.1f} x {sheet.tall_pt / 72:.1f} in on a page"
        room = f"{page.wide_pt / LEAST / 72:.1f} x {tall / LEAST / 72:.1f} in at most"
        raise PaperError("firm, cancel_notice", found=found, expected=room)
    return scale


@lru_cache(maxsize=4)
def _of_text(text: str, places: tuple[tuple[str, str], ...], about: str) -> Notice:
    """A text that is filled in; a short first line apart from the rest is its caption."""
    _check_places(set(_PLACE.findall(text)), about)
    given = dict(places)
    filled = _PLACE.sub(lambda place: given[place[1]], "\n".join(text.splitlines()))
    parts = (part.strip().splitlines() for part in re.split(r"\n\s*\n", filled))
    caption, *others = paragraphs = [tuple(lines) for lines in parts if lines]
    has_caption = others and len(caption) == 1 and len(caption[0]) <= LONGEST_CAPTION
    notice = Notice(
        caption=caption[0] if has_caption else "",
        paragraphs=tuple(others if has_caption else paragraphs),
    )
    return rewritten(
        notice, lambda _, line, limit: clean_text(line, about=about, limit=limit)
    )


def _check_places(places: set[str], about: str) -> None:
    """See that every place that must be in a text is, and none that nobody fills in."""
    lacking = [f"no {{{name}}}" for name in MUST if name not in places]
    unknown = [f"{{{name}}}" for name in sorted(places.difference(FILLED_IN))]
    known = ", ".join(f"{{{name}}}" for name in FILLED_IN)
    wanted = [f"{MARKS} in it"] if lacking else []
    wanted += [f"only {known}"] if unknown else []
    if wanted:
        found = " and ".join([*lacking, *unknown])
        raise PaperError(about, found=found, expected=", and ".join(wanted))


@lru_cache(maxsize=4)
def _pages(
    content: bytes, filled: tuple[tuple[str, str], ...], about: str
) -> tuple[Facsimile, ...]:
    """Pages of a PDF; the table asks for the same ones after every change."""
    return tuple(
        Facsimile(sheet.image, sheet.words, sheet.wide_pt, sheet.tall_pt)
        for sheet in sheets(content, dict(filled), about=about)
    )


def notice_file(named: str, tag: str) -> Path:
    """File of the notice in the language of a tag such as ``es-MX``."""
    return Path(named.replace("{language}", tag.split("-", maxsplit=1)[0])).expanduser()


def check_notice(path: Path, job: Job) -> None:
    """See that a notice can be printed with a job, before the paper asks for it.

    Raises
    ------
    PaperError
        As `notice_of` and `scale_of` do.
    """
    from kit.proposal.catalogue import words_in

    say = words_in(job.language)
    firm = job.firm.changed(cancel_notice=str(path))
    notice = notice_of(firm, places_of(job, say, job.date, job.date), say.tag)
    for sheet in notice.pages:
        scale_of(sheet, PAGES[job.paper.page])


def read_notice(path: Path) -> str:
    """Text of the firm's official notice of cancellation.

    Raises
    ------
    PaperError
        If it is no text file of at most 20,000 bytes.
    """
    content = _content(path, MOST_BYTES)
    try:
        return content.decode("utf-8-sig")
    except UnicodeError:
        raise PaperError(_about(path), found="no text", expected=EXPECTED) from None


def _read_pdf(path: Path) -> tuple[bytes, frozenset[str]]:
    """A PDF and the names of its fields, of which it has none or those that it must."""
    content = _content(path, outside.MOST_BYTES)
    names = _names(content, _about(path))
    missing = [name for name in MUST if name not in names]
    if names and missing:
        raise PaperError(
            _about(path),
            found="fields to fill in, but none named " + ", ".join(missing),
            expected="these among " + ", ".join(FILLED_IN) + ", or no fields",
        )
    return content, names


@lru_cache(maxsize=4)
def _names(content: bytes, about: str) -> frozenset[str]:
    """Names of the fields of a PDF that is fit to show."""
    return checked_outside(content, about=about)


def _content(path: Path, most: int) -> bytes:
    try:
        content = path.read_bytes()
    except (OSError, ValueError) as error:
        found = getattr(error, "strerror", None) or str(error)
        raise PaperError(_about(path), found=found, expected=EXPECTED) from None
    if len(content) > most:
        found = f"{len(content):,} bytes"
        raise PaperError(_about(path), found=found, expected=f"at most {most:,}")
    return content


def _about(path: Path) -> str:
    return f"firm, cancel_notice {path.name}"
