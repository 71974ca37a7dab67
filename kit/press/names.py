"""Words that a person typed and the paper will print, checked before any work is done."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from kit.press.cleaning import clean_text

if TYPE_CHECKING:
    from kit.job import Job

LONGEST, LONGEST_ADDRESS = 120, 300
FIRM = ("name", "person", "address", "phone", "email", "licence")
CLIENT = ("name", "person", "address", "email")


def check_names(job: Job) -> None:
    """See that the paper can print what a measure sheet calls things.

    Raises
    ------
    PaperError
        If a text is too long, or needs a character that the typefaces of the
        paper lack. The field is named as on the sheet: ``client, name``.
    """
    for where, text in _typed(job):
        limit = LONGEST_ADDRESS if where.endswith("address") else LONGEST
        clean_text(text, about=where, limit=limit)


def _typed(job: Job) -> Iterator[tuple[str, str]]:
    yield from (("job, title", job.title), ("job, number", job.number))
    for name in FIRM:
        yield f"firm, {name}", getattr(job.firm, name)
    for name in CLIENT:
        yield f"client, {name}", getattr(job.site.client, name)
    for room in job.site.rooms:
        yield f'room "{room.name}"', room.name
    for design in job.designs:
        yield f'design "{design.name}"', design.name
    if job.signed is not None:
        yield "signature, name", job.signed.name
