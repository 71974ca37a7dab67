"""Who the floor is for, who pours it and on what, each a pure step to the next Job."""

from __future__ import annotations

from typing import Any

from kit.bench.paper_choices import with_words
from kit.bench.sizes import Sizes
from kit.errors import SheetError
from kit.job import UNNAMED_FIRM, Job
from kit.job.sheet import job_from
from kit.site import UNNAMED, tables
from kit.site.sheet import LARGEST_SHEET_BYTES

CLIENT = ("name", "person", "address", "email", "phone")
FIRM = (*CLIENT, "licence")
SLAB = ("below_grade", "painted", "old_flooring")


def with_client(job: Job, field: str, text: str) -> Job:
    """Fill in one field of the client's, as the paper takes it."""
    return with_words(job, f"client, {_known(field, CLIENT, 'client')}", text)


def with_firm(job: Job, field: str, text: str) -> Job:
    """Fill in one field of the firm's, as the paper takes it."""
    return with_words(job, f"firm, {_known(field, FIRM, 'firm')}", text)


def with_title(job: Job, text: str) -> Job:
    """Say what floor it is."""
    return with_words(job, "job, title", text)


def with_year(job: Job, text: str) -> Job:
    """Say when the building was put up; empty is not known."""
    plain = text.strip()
    if plain and not (plain.isascii() and plain.isdigit()):
        raise SheetError("year built", found=text, expected="a year such as 1931, or none")
    building = job.site.building.changed(year_built=int(plain) if plain else None)
    return job.changed(site=job.site.changed(building=building))


def with_slab(job: Job, field: str, answer: str) -> Job:
    """Say yes or no to a question about the slab."""
    if field not in SLAB or answer not in ("yes", "no"):
        raise SheetError(f"slab, {field}", found=answer, expected="yes or no")
    slab = job.site.slab.changed(**{field: answer == "yes"})
    return job.changed(site=job.site.changed(slab=slab))


def with_cracks(job: Job, text: str) -> Job:
    """Measure the cracks that are to be filled."""
    slab = job.site.slab.changed(cracks=Sizes.of(job).typed(text or "0", about="cracks"))
    return job.changed(site=job.site.changed(slab=slab))


def with_notes(job: Job, text: str) -> Job:
    """Note what was seen of the slab."""
    return job.changed(site=job.site.changed(slab=job.site.slab.changed(notes=text)))


def from_sheet(_: Job, text: str) -> Job:
    """Take everything from a measure sheet, by its text."""
    if len(text) > LARGEST_SHEET_BYTES:
        most = f"at most {LARGEST_SHEET_BYTES / 1e6:.0f} MB"
        raise SheetError("measure sheet", found=f"{len(text) / 1e6:.1f} MB", expected=most)
    return job_from(tables(text))


def who_figures(job: Job) -> dict[str, Any]:
    """What is filled in; what stands there before anybody was asked is left empty."""
    client, firm, slab = job.site.client, job.firm, job.site.slab
    year = job.site.year_built
    return {
        "title": job.title,
        "client": {f: getattr(client, f) for f in CLIENT}
        | ({"name": ""} if client.name == UNNAMED else {}),
        "firm": {f: getattr(firm, f) for f in FIRM}
        | ({"name": ""} if firm.name == UNNAMED_FIRM else {}),
        "year_built": "" if year is None else str(year),
        "slab": {f: getattr(slab, f) for f in SLAB},
        "cracks": Sizes.of(job).kept(slab.cracks),
        "notes": slab.notes,
    }


def _known(field: str, known: tuple[str, ...], about: str) -> str:
    if field not in known:
        raise SheetError(about, found=field, expected=f"one of {', '.join(known)}")
    return field
