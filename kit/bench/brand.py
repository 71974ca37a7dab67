"""How the paper looks: language, units, and what is the firm's own on it.

Each choice is a pure step from one Job to the next. A file that is chosen at the table is
read as the paper will read it before anything changes, and kept beside the book.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Callable
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from platformdirs import user_data_path

from kit.book.place import book_place
from kit.errors import KitError, SheetError
from kit.job import Job
from kit.record import filled
from kit.writing import write_file

UNITS = ("us", "metric")
FILES = ("logo", "font", "cancel_notice")
MOST_BYTES = 8_000_000
"""What a page may send in one piece; whoever prints needs less."""
_HEX = re.compile(r"#[0-9a-fA-F]{6}")


@cache
def spoken() -> dict[str, str]:
    """The languages of the paper, each by its own name."""
    from babel import Locale

    from kit.proposal.catalogue import languages

    names = {tag: Locale.parse(tag).get_display_name() or tag for tag in languages()}
    return {tag: f"{name[0].upper()}{name[1:]}" for tag, name in names.items()}


def with_language(job: Job, language: str) -> Job:
    """Print in another language; the firm's own typeface must have its letters."""
    if language not in spoken():
        raise SheetError("language", found=language, expected=" or ".join(spoken()))
    job = job.changed(language=language)
    if job.firm.font:
        _check_font(Path(job.firm.font), job)
    return job


def with_units(job: Job, units: str) -> Job:
    """Measure in feet and inches, or in meters: on the paper and at the table."""
    if units not in UNITS:
        raise SheetError("units", found=units, expected=" or ".join(UNITS))
    return job.changed(paper=job.paper.changed(units=units))


def with_accent(job: Job, color: str) -> Job:
    """Print in a color of the house; none is the most colorful one of the floor."""
    if color and not _HEX.fullmatch(color):
        raise SheetError("color", found=color, expected="one such as #1f4e79, or none")
    return _with_firm(job, accent=color.lower())


def with_file(job: Job, kind: str, path: str) -> Job:
    """Print with a logo, typeface or notice from a file of ours; none is without."""
    if kind not in FILES:
        raise SheetError("file", found=kind, expected=" or ".join(FILES))
    if path:
        _CHECKS[kind](Path(path), job)
    return _with_firm(job, **{kind: path})


def taken_in(job: Job, kind: str, name: str, content: bytes) -> Path:
    """Keep a file that was chosen on the page, once it is found fit to print.

    Raises
    ------
    KitError
        If it is no such file, too large, or cannot be written.
    """
    plain = re.sub(r"[^\w.-]+", "-", Path(name).name).strip("-.")[-80:] or kind
    if not content or len(content) > MOST_BYTES:
        raise SheetError(
            plain,
            found=f"{len(content) / 1e6:.1f} MB",
            expected=f"a file of at most {MOST_BYTES / 1e6:.0f} MB that is not empty",
        )
    with TemporaryDirectory(prefix="brand-") as folder:
        trial = Path(folder) / plain
        trial.write_bytes(content)
        with_file(job, kind, str(trial))
    digest = hashlib.sha256(content).hexdigest()[:12]
    return write_file(_folder() / digest / plain, content)


def brand_figures(job: Job) -> dict[str, Any]:
    """What the page shows of all this: no folder of the owner's, only names of files."""
    from kit.proposal.notices import MARKS

    firm = job.firm
    return {
        "marks": MARKS,
        "language": job.language.partition("-")[0],
        "languages": [list(one) for one in spoken().items()],
        "units": job.paper.units,
        "page": job.paper.page,
        "accent": firm.accent,
        **{kind: Path(getattr(firm, kind)).name for kind in FILES},
    }


def _with_firm(job: Job, **fields: str) -> Job:
    firm = filled(type(job.firm), {**dict(job.firm), **fields}, where="firm")
    return job.changed(firm=firm)


def _check_logo(path: Path, job: Job) -> None:
    from kit.press.logo import read_logo

    try:
        read_logo(path, alt=job.firm.name)
    except KitError:
        raise
    except Exception as error:
        # its pixels are unpacked by a library that complains in many ways
        found = f"a damaged picture ({type(error).__name__})"
        raise SheetError(path.name, found=found, expected="a PNG, JPEG or SVG") from None


def _check_font(path: Path, job: Job) -> None:
    from kit.press.ownface import read_face
    from kit.proposal.catalogue import words_in
    from kit.proposal.viewing import FIGURES

    read_face(path, needed=(*words_in(job.language).said.values(), FIGURES))


def _check_notice(path: Path, job: Job) -> None:
    from kit.proposal.notices import check_notice

    check_notice(path, job)


_CHECKS: dict[str, Callable[[Path, Job], None]] = {
    "logo": _check_logo,
    "font": _check_font,
    "cancel_notice": _check_notice,
}


def _folder() -> Path:
    """Beside the book, where that is a file; it is asked for again with every paper."""
    place = book_place()
    if isinstance(place, Path):
        return place.parent / "brand"
    return user_data_path("pourtable", appauthor=False) / "brand"
