"""A sheet that somebody else made, taken in as pictures of its pages and their words.

Nothing of the file itself goes into ours: fonts, scripts and structure of another's make
could not be vouched for. A page becomes a picture at print resolution, and what is
written on it stands beside the picture to be read aloud and searched. A page without
words that can be read so is refused.
"""

from __future__ import annotations

import re
import warnings
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from io import BytesIO
from typing import Any

import pikepdf
from PIL import Image, ImageChops

from kit.errors import PaperError
from kit.press.cleaning import unprintable
from kit.press.gate import ACTIVE_KEYS, dictionaries

PX_PER_IN = 200
MOST_BYTES, MOST_PAGES = 5_000_000, 4
"""Of a file; who reads it sees to the bytes."""
WIDEST_PT = 1008.0
"""Longest side of a page: legal paper."""
PALEST = 245
"""What is lighter is bare paper, of 255."""
LEAST_COLOR = 8
"""What differs less between red, green and blue is grey, of 255."""
HARMLESS = {"/AcroForm", "/OpenAction"}
"""Keys that say nothing bad of a file whose pages are only looked at."""


@dataclass(frozen=True)
class Sheet:
    """What is printed on a page, without the bare paper around it.

    Parameters
    ----------
    image : bytes
        PNG of 200 pixels an inch.
    words : str
    wide_pt, tall_pt : float
        Size of what is printed.
    """

    image: bytes
    words: str
    wide_pt: float
    tall_pt: float


def checked_outside(content: bytes, *, about: str) -> frozenset[str]:
    """See that a file is a plain PDF of a few pages, and name its fields to fill in.

    Raises
    ------
    PaperError
        If it is none, is encrypted or cut short, has no page or more than four, a page
        larger than legal paper, a script or an attachment.
    """
    try:
        with pikepdf.open(BytesIO(content), attempt_recovery=False) as document:
            if document.is_encrypted:
                raise PaperError(about, found="an encrypted file", expected="an open one")
            _check_pages(document, about)
            _check_parts(document, about)
            return frozenset(_names_of(document))
    except pikepdf.PasswordError:
        raise PaperError(about, found="an encrypted file", expected="an open one") from None
    except (pikepdf.PdfError, RecursionError, AttributeError, TypeError, ValueError):
        raise PaperError(
            about, found="a damaged file, or none", expected="a whole PDF"
        ) from None


def sheets(content: bytes, filled: Mapping[str, str], *, about: str) -> tuple[Sheet, ...]:
    """Draw the pages of a file that was checked, its fields filled in; bare pages go.

    Parameters
    ----------
    content : bytes
    filled : mapping of str to str
        What its fields are to say, by their names.
    about : str
        What it is called where it is refused.

    Raises
    ------
    PaperError
        If a page cannot be drawn, says nothing that can be read aloud, or does not say
        what was filled in.
    """
    found = []
    for number, (image, words) in enumerate(_drawn(_with(content, filled), about), start=1):
        ink = ImageChops.invert(image.convert("L")).point(
            lambda level: 255 * (level > 255 - PALEST)
        )
        box = ink.getbbox()
        if box is None:
            continue
        spoken = _spoken(words)
        if not spoken:
            raise PaperError(
                f"{about}, page {number}",
                found="a picture without words",
                expected="text that can be read aloud and searched",
            )
        found.append(_sheet(image.crop(box), spoken))
    if not found:
        raise PaperError(about, found="bare pages", expected="something printed on them")
    said = _bare(" ".join(sheet.words for sheet in found))
    for name, value in filled.items():
        if _bare(_spoken(value)) not in said:
            raise PaperError(
                f'{about}, field "{name}"',
                found="not all of what it is to say shown",
                expected="a field that is large enough, in a font that has the letters",
            )
    return tuple(found)


def _check_pages(document: pikepdf.Pdf, about: str) -> None:
    count = len(document.pages)
    if not 1 <= count <= MOST_PAGES:
        raise PaperError(about, found=f"{count} pages", expected=f"1 to {MOST_PAGES}")
    for page in document.pages:
        left, low, right, high = (float(at) for at in page.mediabox)
        if not 0 < max(abs(right - left), abs(high - low)) <= WIDEST_PT:
            found = f"a page of {abs(right - left):.0f} x {abs(high - low):.0f} points"
            raise PaperError(about, found=found, expected="legal paper or smaller")


def _check_parts(document: pikepdf.Pdf, about: str) -> None:
    for thing in document.objects:
        for part in dictionaries(thing):
            keys = set(part.keys()) & (ACTIVE_KEYS - HARMLESS)
            if keys or part.get("/S") in ("/JavaScript", "/Launch", "/SubmitForm"):
                found = ", ".join(sorted(keys)) or "an action"
                raise PaperError(about, found=found, expected="no script and no attachment")


def _names_of(document: pikepdf.Pdf) -> Iterator[str]:
    form: Any = document.Root.get("/AcroForm", {})
    for field in form.get("/Fields", ()):
        if field.get("/FT") == "/Tx":
            yield str(field.get("/T", ""))


def _with(content: bytes, filled: Mapping[str, str]) -> bytes:
    """The file with its text fields saying what they are to say."""
    if not filled:
        return content
    with pikepdf.open(BytesIO(content)) as document:
        for field in document.Root.AcroForm.Fields:
            if str(field.get("/T", "")) in filled:
                field.V = filled[str(field.T)]
                if "/AP" in field:
                    del field["/AP"]
        out = BytesIO()
        document.save(out)
    return out.getvalue()


def _drawn(content: bytes, about: str) -> Iterator[tuple[Image.Image, str]]:
    import pypdfium2 as pdfium

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            document = pdfium.PdfDocument(content)
            try:
                document.init_forms()
                for number in range(len(document)):
                    if document.formenv:
                        document[number].flatten()
                    page = document[number]
                    drawn = page.render(scale=PX_PER_IN / 72).to_pil()
                    yield drawn, page.get_textpage().get_text_bounded()
            finally:
                document.close()
    except pdfium.PdfiumError as error:
        raise PaperError(about, found=str(error), expected="a whole PDF") from None


def _sheet(image: Image.Image, words: str) -> Sheet:
    red, green, blue = image.convert("RGB").split()
    apart = (ImageChops.difference(red, other) for other in (green, blue))
    grey = not any(one.point(lambda level: level > LEAST_COLOR).getbbox() for one in apart)
    kept = image.convert("L").quantize(16) if grey else image.convert("RGB").quantize(64)
    out = BytesIO()
    kept.save(out, "PNG", optimize=True)
    pt = 72 / PX_PER_IN
    return Sheet(out.getvalue(), words, image.width * pt, image.height * pt)


def _spoken(words: str) -> str:
    """Words on one line; what our typefaces have not, as the dingbats of a list, goes."""
    joined = re.sub("[\ufffe\u00ad]", "", words)  # a word broken at the end of a line
    kept = (c if c.isprintable() and not unprintable(c) else " " for c in joined)
    return " ".join("".join(kept).split())


def _bare(words: str) -> str:
    return "".join(words.split()).casefold()
